package eval

import (
	"context"
	"io/fs"
	"path"
	"slices"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

// EntryName is the file that a folder's plan starts from.
const EntryName = "farm.star"

// maxYears bounds how many earlier plans one plan reaches, through however many of them.
const maxYears = 40

// years are the plans of a chain of earlier years: each is read once, whoever looks back to it.
type years struct {
	read    map[string]*Result // by entry
	reading []string           // entries of the plans being read, the newest first
	trace   *[]Call            // where calls are noted; nil in normal use
	run     func(context.Context, fs.FS, string, *years) *Result
}

func pastBuiltins() []*Builtin {
	return []*Builtin{
		{
			Name: "previous", Also: []string{"earlier", "last_year", "past"}, Group: "ground", Free: 1, Returns: "an earlier plan",
			Summary: "looks back to the plan of an earlier year",
			Doc: "The path is that of the plan's folder or first file, from the file that names it. Rotation is then judged " +
				"by the ground itself: plots that give `east` and `north` in both plans are laid over one another, others are " +
				"matched by their names. The earlier plan's own `previous` is followed, so naming last year's is enough.",
			Example: "last = previous(\"../2026\")\nplant(row(bench, at = 4 * ft), last.crops[\"eggplant\"], fill = True)",
			Params:  []Param{text("path", "of the earlier plan, from this file").required().also("folder", "file", "plan")},
			build:   buildPrevious,
		},
	}
}

var previousHandle = &Handle{Name: "earlier_plan", Summary: "the plan of an earlier year", Attrs: []Attr{
	attr("year", "a whole number", "the year it is for", func(_ *evaluator, p *farm.Previous) starlark.Value {
		return starlark.MakeInt(p.Farm.Year.Value)
	}),
	attr("crops", "a dict", "the crops it plants, by name, and by variety where that tells one", func(ev *evaluator, p *farm.Previous) starlark.Value {
		return ev.cropsOf(p.Farm)
	}),
	attr("harvests", "a dict", "the mass of each crop that it records as harvested, by the names of crops; counted pieces are not in it", func(ev *evaluator, p *farm.Previous) starlark.Value {
		return ev.harvestsOf(p.Farm)
	}),
	attr("last_frost", "a date", "the last frost it reckons with", func(ev *evaluator, p *farm.Previous) starlark.Value {
		if p.Farm.Site == nil || !p.Farm.Site.LastFrost.Given {
			return starlark.None
		}
		return dateValue{Date: p.Farm.Site.LastFrost.Value, ev: ev}
	}),
}}

// cropsOf gives the crops that a farm plants by their titles, and by their varieties' names where those are
// unlike all others.
func (ev *evaluator) cropsOf(f *farm.Farm) *starlark.Dict {
	d := starlark.NewDict(len(f.Crops))
	put := func(name string, c *farm.Crop) {
		if _, taken, _ := d.Get(starlark.String(name)); !taken && name != "" {
			d.SetKey(starlark.String(name), ev.handle(cropHandle, c)) // a text can always be a key
		}
	}
	for _, of := range []func(*farm.Crop) string{(*farm.Crop).Title, func(c *farm.Crop) string { return c.Variety }} {
		for _, p := range f.Plantings {
			if p.Crop != nil {
				put(of(p.Crop), p.Crop)
			}
		}
	}
	d.Freeze()
	return d
}

// harvestsOf sums up by crop and variety what a farm records as harvested. A record that names no crop is of what
// its row or plot grows, where that is one crop.
func (ev *evaluator) harvestsOf(f *farm.Farm) *starlark.Dict {
	called := map[string]*farm.Crop{}
	for _, p := range f.Plantings {
		if c := p.Crop; c != nil {
			for _, name := range []string{c.Title(), c.Name, c.Variety} {
				if name = strings.ToLower(name); called[name] == nil && name != "" {
					called[name] = c
				}
			}
		}
	}
	sums := map[string]float64{}
	var titles []string
	for _, r := range f.Records {
		if r.Kind != farm.Harvested || !r.Mass.Given {
			continue
		}
		crop := harvestedCrop(f, r, called)
		if crop == nil {
			continue
		}
		title := crop.Title()
		if _, again := sums[title]; !again {
			titles = append(titles, title)
		}
		sums[title] += r.Mass.Value.SI
	}
	d := starlark.NewDict(len(titles))
	for _, title := range titles {
		d.SetKey(starlark.String(title), quantityValue{quantity.Of(sums[title], quantity.Mass), ev}) // a text can always be a key
	}
	d.Freeze()
	return d
}

// harvestedCrop is the crop that a record is of, nil when it cannot be told.
func harvestedCrop(f *farm.Farm, r *farm.Record, called map[string]*farm.Crop) *farm.Crop {
	switch {
	case r.Planting != nil:
		return r.Planting.Crop
	case r.Crop != nil:
		return r.Crop
	case r.Where.Value != "":
		parts := strings.Split(strings.ToLower(r.Where.Value), "/")
		for _, part := range slices.Backward(parts) { // the last may be a number: "okra/2"
			if c := called[strings.Join(strings.Fields(part), " ")]; c != nil {
				return c
			}
		}
		return nil
	}
	var only *farm.Crop
	for _, p := range f.Plantings {
		if p.Crop == nil || p.Row == nil || p.Row != r.Row && p.Row.Plot != r.Plot {
			continue
		}
		if only != nil && only.Title() != p.Crop.Title() {
			return nil
		}
		only = p.Crop
	}
	return only
}

func buildPrevious(c *call) starlark.Value {
	d := &farm.Previous{Decl: c.decl(), Path: c.text("path")}
	result, problem := c.ev.earlier(c.module, d)
	if problem != nil {
		problem.Primary.Span = d.Path.Span
		c.ev.report(problem.chain(d.Chain))
		return poison{}
	}
	d.Farm = result.Farm
	for _, f := range result.Findings {
		if f.Rule.Severity == diag.Error {
			d.Errors++
		}
	}
	c.ev.farm.Earlier = append(c.ev.farm.Earlier, d)
	return c.ev.handle(previousHandle, d)
}

// earlier reads the plan that a declaration looks back to.
func (ev *evaluator) earlier(from *module, d *farm.Previous) (*Result, *found) {
	target := beside(from, d.Path.Value)
	if target == "" {
		return nil, leadsOut(d.Path.Value)
	}
	if info, err := fs.Stat(ev.fsys, target); err == nil && info.IsDir() {
		target = path.Join(target, EntryName)
	}
	d.Entry = target
	if slices.Contains(ev.years.reading, target) {
		if len(ev.years.reading) == 1 {
			return nil, finding(loadCycle, source.Span{}, "%s looks back to itself", target).
				help("name the folder of an earlier year: previous(\"../2026\")")
		}
		return nil, finding(loadCycle, source.Span{}, "%s looks back to %s, which looks back to it: %s",
			ev.years.reading[len(ev.years.reading)-1], target, strings.Join(append(slices.Clone(ev.years.reading), target), ", then ")).
			help("a plan looks back to earlier years only")
	}
	if r := ev.years.read[target]; r != nil {
		return r, nil
	}
	if len(ev.years.read) >= maxYears {
		return nil, finding(loadTooDeep, source.Span{}, "the plans look back to more than %d others", maxYears).
			help("rotation needs no more than ten years: leave out previous in the oldest")
	}
	// A plan that cannot be read at all is told of as any file that is not there.
	if _, problem := ev.readAt(from, target); problem != nil {
		return nil, problem
	}
	r := ev.years.run(ev.ctx, ev.fsys, target, ev.years)
	ev.years.read[target] = r
	return r, nil
}
