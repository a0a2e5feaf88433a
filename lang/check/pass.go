package check

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// slack is how far a length may miss its limit unseen: half a millimeter, less than anyone can set out
// with a tape and more than sums of inches and feet lose in floating point.
const slack = 0.0005

// pass is one run of all rules over one farm.
type pass struct {
	facts  *derive.Facts
	farm   *farm.Farm
	units  quantity.System
	access float64 // m
	spray  float64 // m

	calls map[place]int // how many declarations each call made; see sole
	laid  map[laidKey]*laid
	found []found
	at    map[likes][]int // findings by what they share, to join those of one loop
}

// place is where a span begins: enough to tell calls and arguments apart, and cheaper to hash.
type place struct {
	file  *source.File
	start source.Point
}

func placeOf(s source.Span) place { return place{s.File, s.Start} }

// likes is what findings of one text have in common; the calls nearest to and farthest from the
// declaration stand for the whole chain.
type likes struct {
	rule          *diag.Rule
	primary       place
	nearest, last place
}

// found is a finding with what is needed to join it with its likes.
type found struct {
	diag.Diagnostic
	subject  string
	chain    []source.Span
	likewise []string // subjects of the findings joined to this one
}

func newPass(facts *derive.Facts) *pass {
	f := facts.Farm
	return &pass{
		facts:  facts,
		farm:   f,
		units:  f.Units,
		access: f.Access.Value.SI,
		spray:  f.SprayAccess.Value.SI,
		at:     map[likes][]int{},
		laid:   map[laidKey]*laid{},
	}
}

// apartAtMost is how many findings with the same subject and place are told one by one.
const apartAtMost = 5

// report adds a finding that declaration d is to blame for. A loop makes many declarations from one
// text: their findings differ in the subject only, so all but the first become a few words at its end.
// A subject may be empty where it has no name.
func (p *pass) report(d *farm.Decl, subject string, finding diag.Diagnostic) {
	key := likes{rule: finding.Rule, primary: placeOf(finding.Primary.Span)}
	if n := len(d.Chain); n > 0 {
		key.nearest, key.last = placeOf(d.Chain[0]), placeOf(d.Chain[n-1])
	}
	here := p.at[key]
	for _, i := range here {
		first := &p.found[i]
		if slices.Equal(first.chain, d.Chain) && (!first.isAbout(subject) || len(here) >= apartAtMost) {
			first.likewise = append(first.likewise, subject)
			return
		}
	}
	for _, call := range d.Chain {
		finding.Related = append(finding.Related, diag.Label{Span: call, Text: diag.CalledFrom})
	}
	p.at[key] = append(here, len(p.found))
	p.found = append(p.found, found{Diagnostic: finding, subject: subject, chain: d.Chain})
}

// isAbout tells whether the finding just reported or joined had this subject: two findings of one thing
// at one place are two.
func (f *found) isAbout(subject string) bool {
	if n := len(f.likewise); n > 0 {
		return subject != "" && f.likewise[n-1] == subject
	}
	return subject != "" && f.subject == subject
}

// findings gives what was reported.
func (p *pass) findings() []diag.Diagnostic {
	out := make([]diag.Diagnostic, len(p.found))
	for i := range p.found {
		f := &p.found[i]
		out[i] = f.Diagnostic
		others := slices.DeleteFunc(slices.Compact(slices.Clone(f.likewise)), func(s string) bool { return s == f.subject })
		switch n := len(f.likewise); {
		case n == 0:
		case len(others) == 0:
			out[i].Message += ". " + count(n, "1 more like it is made here", "%d more like it are made here")
		default:
			out[i].Message += ". The same holds for " + some(unlike(f.subject, others))
		}
	}
	return out
}

// unlike takes off the names what they share with the first: "tomato in " before and " of Lower bench"
// after.
func unlike(first string, names []string) []string {
	before, _, in := strings.Cut(first, " in ")
	at := strings.Index(first, " of ")
	out := make([]string, len(names))
	for i, name := range names {
		if in {
			name = strings.TrimPrefix(name, before+" in ")
		}
		if at >= 0 {
			name = strings.TrimSuffix(name, first[at:])
		}
		out[i] = name
	}
	return out
}

// some lists a few names: all of up to four, else three and how many more.
func some(names []string) string {
	if len(names) > 4 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:3], ", "), len(names)-3)
	}
	last := len(names) - 1
	if last == 0 {
		return names[0]
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// short prints a spacing or a gap, long a place or a greater length.
func (p *pass) short(meters float64) string { return p.units.Short(quantity.Meters(meters)) }
func (p *pass) long(meters float64) string  { return p.units.Format(quantity.Meters(meters)) }

// expr is a length as a plan writes it.
func (p *pass) expr(meters float64) string { return p.units.Expr(quantity.Meters(meters)) }

// day prints a date as people say it, with the year only when it is not the plan's.
func (p *pass) day(d season.Date) string { return d.Long(p.farm.Year.Value) }

// rowName says which row, "row 3 of Lower bench"; rowHere leaves the plot out.
func rowName(r *derive.Row) string {
	if r.Plot == nil || r.Plot.Decl == nil || r.Plot.Decl.Name.Value == "" {
		return rowHere(r)
	}
	return rowHere(r) + " of " + r.Plot.Decl.Name.Value
}

func rowHere(r *derive.Row) string { return r.Name() }

// plotName says which plot.
func plotName(pl *farm.Plot) string {
	if pl == nil || pl.Name.Value == "" {
		return "the plot"
	}
	return pl.Name.Value
}

// cropName says what is planted, variety and all.
func cropName(pl *derive.Planting) string {
	if pl.Decl == nil || pl.Decl.Crop == nil {
		return "the planting"
	}
	return pl.Decl.Crop.Title()
}

// where says what is planted where: "tomato in row 3 of Lower bench".
func where(pl *derive.Planting) string {
	if pl.Row == nil {
		return cropName(pl)
	}
	return cropName(pl) + " in " + rowName(pl.Row)
}

// putIn is the grower's word for putting it into the row.
func putIn(pl *derive.Planting) string {
	if pl.Decl.Direct {
		return "Sow"
	}
	return "Plant"
}

// days counts days or, when they come out even, weeks, in words.
func days(n int) string {
	switch {
	case n == 1:
		return "1 day"
	case n == 7:
		return "1 week"
	case n != 0 && n%7 == 0:
		return fmt.Sprintf("%d weeks", n/7)
	}
	return fmt.Sprintf("%d days", n)
}

// plants counts plants in words.
func plants(n int) string {
	if n == 1 {
		return "1 plant"
	}
	return fmt.Sprintf("%d plants", n)
}
