package derive

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/farm"
)

// recordPlaces finds the plantings that records name. Its maps are made when they are first needed.
type recordPlaces struct {
	facts *Facts
	decls map[*farm.Planting]*Planting
	rows  map[*farm.Row]*Row
	plots map[string]*Plot // by plain name
	named map[string]*Row  // by plain "plot/row", the row by its name and by its number
	known map[string]found // texts looked up before
	lost  int              // of those, that are in the plan nowhere
}

type found struct {
	list []*Planting
	why  string
}

func newRecordPlaces(facts *Facts) *recordPlaces { return &recordPlaces{facts: facts} }

// of gives the plantings of a record's place, or why there are none: what it names is not there. It may be there
// and empty.
func (x *recordPlaces) of(d *farm.Record) ([]*Planting, string) {
	switch {
	case d.Planting != nil:
		if x.decls == nil {
			x.decls = make(map[*farm.Planting]*Planting, len(x.facts.Plantings))
			for _, p := range x.facts.Plantings {
				x.decls[p.Decl] = p
			}
		}
		if p := x.decls[d.Planting]; p != nil {
			return []*Planting{p}, ""
		}
		return nil, ""
	case d.Row != nil:
		if x.rows == nil {
			x.rows = make(map[*farm.Row]*Row, len(x.facts.Rows))
			for _, r := range x.facts.Rows {
				x.rows[r.Decl] = r
			}
		}
		if r := x.rows[d.Row]; r != nil {
			return r.Plantings, ""
		}
		return nil, ""
	case d.Plot != nil:
		for _, p := range x.facts.Plots {
			if p.Decl == d.Plot {
				return plantingsOf(p), ""
			}
		}
		return nil, ""
	case d.Crop != nil:
		list := x.those(func(p *Planting) bool {
			return p.Decl.Crop.Name == d.Crop.Name && (d.Crop.Variety == "" || d.Crop.Variety == p.Decl.Crop.Variety)
		})
		if len(list) == 0 {
			return nil, "no " + d.Crop.Title() + " is planted"
		}
		return list, ""
	case d.Where.Value == "":
		return x.facts.Plantings, ""
	}
	text := d.Where.Value
	if x.known == nil {
		x.known = map[string]found{}
	}
	f, ok := x.known[text]
	if !ok {
		if f.list, f.why = x.find(text); f.why != "" {
			x.lost++
		}
		x.known[text] = f
	}
	return f.list, f.why
}

func plantingsOf(p *Plot) []*Planting {
	var all []*Planting
	for _, r := range p.Rows {
		all = append(all, r.Plantings...)
	}
	return all
}

func (x *recordPlaces) those(is func(*Planting) bool) []*Planting {
	var all []*Planting
	for _, p := range x.facts.Plantings {
		if is(p) {
			all = append(all, p)
		}
	}
	return all
}

// mostGuesses is how many names that are nowhere are set beside all that there are; a file with more has slipped
// otherwise.
const mostGuesses = 20

// find looks a name up: a plot, "plot/row", a crop in one of them or on the whole farm, and after it the number of one
// of several by planting day.
func (x *recordPlaces) find(text string) ([]*Planting, string) {
	x.index()
	want := plain(text)
	if list, ok := x.within(want); ok {
		return list, ""
	}
	head, last := cutLast(want)
	if list := x.crop(head, last); len(list) > 0 {
		return list, ""
	}
	if n, err := strconv.Atoi(last); err == nil && n > 0 && head != "" {
		place, crop := cutLast(head)
		if list := byDay(x.crop(place, crop)); n <= len(list) {
			return list[n-1 : n], ""
		}
	}
	if x.lost >= mostGuesses {
		return nil, fmt.Sprintf("nothing in the plan is called %q", text)
	}
	if head == "" {
		return nil, fmt.Sprintf("nothing in the plan is called %q: %s", text, suggest(want, x.names(), "it has no plots"))
	}
	item, err := Find(x.facts, text)
	switch {
	case err != nil:
		return nil, err.Error()
	case item.Planting != nil:
		return []*Planting{item.Planting}, ""
	}
	return nil, fmt.Sprintf("%q is no place where something grows", text)
}

func (x *recordPlaces) index() {
	if x.plots != nil {
		return
	}
	x.plots, x.named = map[string]*Plot{}, make(map[string]*Row, 2*len(x.facts.Rows))
	for _, p := range x.facts.Plots {
		name := plain(p.Decl.Name.Value)
		if name == "" || x.plots[name] != nil {
			continue
		}
		x.plots[name] = p
		for _, r := range p.Rows {
			x.named[name+"/"+strconv.Itoa(r.Number)] = r
			x.named[name+"/row "+strconv.Itoa(r.Number)] = r
		}
		for _, r := range p.Rows { // a name goes before another row's number
			x.named[name+"/"+plain(r.Name())] = r
		}
	}
}

// within gives what grows in a plot or a row.
func (x *recordPlaces) within(name string) ([]*Planting, bool) {
	if r := x.named[name]; r != nil {
		return r.Plantings, true
	}
	if p := x.plots[name]; p != nil {
		return plantingsOf(p), true
	}
	return nil, false
}

// crop gives the plantings of a crop in a plot or a row, or on the whole farm where the place is empty.
func (x *recordPlaces) crop(place, crop string) []*Planting {
	list := x.facts.Plantings
	if place != "" {
		var ok bool
		if list, ok = x.within(place); !ok {
			return nil
		}
	}
	var all []*Planting
	for _, p := range list {
		if p.isCalled(crop) {
			all = append(all, p)
		}
	}
	return all
}

// isCalled tells whether a plain text names the planting's crop or variety.
func (p *Planting) isCalled(text string) bool {
	c := p.Decl.Crop
	return text != "" && (text == plain(c.Title()) || text == plain(c.Name) || text == plain(c.Ident) || text == plain(c.Variety))
}

// names are those that a text without a slash may be a slip for.
func (x *recordPlaces) names() []string {
	var all []string
	for _, p := range x.facts.Plots {
		all = append(all, p.Decl.Name.Value)
	}
	seen := map[*farm.Crop]bool{}
	for _, p := range x.facts.Plantings {
		if c := p.Decl.Crop; !seen[c] {
			seen[c] = true
			all = append(all, c.Title(), c.Name)
			if c.Variety != "" {
				all = append(all, c.Variety)
			}
		}
	}
	return all
}

func cutLast(text string) (head, last string) {
	if i := strings.LastIndexByte(text, '/'); i >= 0 {
		return text[:i], text[i+1:]
	}
	return "", text
}

// byDay sorts plantings by the day that is planned for them.
func byDay(list []*Planting) []*Planting {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b *Planting) int { return int(a.planned().Plant) - int(b.planned().Plant) })
	return list
}

// Path names the planting so that a record finds it again: "Lower bench/3/okra", with "/2" for the second of its
// crop in that row.
func (p *Planting) Path() string {
	text := Item{Row: p.Row}.path() + "/" + p.Decl.Crop.Title()
	var same []*Planting
	for _, q := range p.Row.Plantings {
		if q.Decl.Crop.Title() == p.Decl.Crop.Title() {
			same = append(same, q)
		}
	}
	if len(same) > 1 {
		text += "/" + strconv.Itoa(slices.Index(byDay(same), p)+1)
	}
	return text
}

func (i Item) path() string {
	r := i.Row
	name := r.Decl.Name.Value
	if name == "" {
		name = strconv.Itoa(r.Number)
	}
	return r.Plot.Decl.Name.Value + "/" + name
}

// jobWords are other words that people write for jobs.
var jobWords = map[string]jobKind{
	"planted": plantingJob, "transplanted": plantingJob, "transplanting": plantingJob, "set out": plantingJob, "plant": plantingJob,
	"sown": sowingJob, "sowed": sowingJob, "seeded": sowingJob, "seeding": sowingJob, "sow": sowingJob,
	"sown in trays": traySowing, "tray seeding": traySowing, "started": traySowing,
	"cleared": clearing, "weeded": weeding, "pruned": pruning, "sprayed": spraying, "washed": washing, "picked": picking, "fed": feedingJob,
	"potted on": pottingOn, "strung": stringing,
}

// jobCalled finds the job of the plan's own making that a text names.
func jobCalled(text string) (jobKind, bool) {
	name := plain(text)
	if i := slices.Index(jobNames[:], name); i >= 0 {
		return jobKind(i), true
	}
	kind, ok := jobWords[name]
	return kind, ok
}

// jobName brings what a record calls a job to the job's own name.
func jobName(text string) string {
	if kind, ok := jobCalled(text); ok {
		return jobNames[kind]
	}
	return text
}

// knowsJob tells whether a job or a task of the plan has a name.
func (x *recordPlaces) knowsJob(text string) bool {
	if _, ok := jobCalled(text); ok {
		return true
	}
	return slices.ContainsFunc(x.facts.Farm.Tasks, func(d *farm.Task) bool { return d != nil && plain(d.Name.Value) == plain(text) })
}

func (x *recordPlaces) nearestJob(text string) string { return newForeman(x.facts).nearest(text) }
