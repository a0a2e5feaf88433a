package derive

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/stdlib/quantity"
)

// Work is all jobs of one name, or those of them for one crop or on one plot.
type Work struct {
	Name string
	Jobs []*Job

	labor *Labor
	units system
	year  int
}

// mostJobs of a name are each told in full.
const mostJobs = 6

// Why gives the sum of the jobs, and where they are few, each of them.
func (w *Work) Why() []Reckoning {
	sum := Reckoning{Title: w.Name, Equation: "sum of its jobs", Source: commonPractice}
	hours := 0.0
	var each []Reckoning
	for _, j := range w.Jobs {
		hours += j.Hours
		sum.Inputs = append(sum.Inputs, Input{Name: j.Title() + ", week of " + j.From.Long(w.year), Value: hoursText(j.Hours), Source: j.Source()})
		if len(w.Jobs) <= mostJobs {
			each = append(each, j.Why(w.labor, w.units, w.year)...)
		}
	}
	sum.Result = hoursText(hours)
	if len(w.Jobs) == 1 {
		return each
	}
	return append([]Reckoning{sum}, each...)
}

// findWork gives the jobs that a text names: "weeding", "weeding/okra", "weeding/Lower bench"; false when no job is
// called so.
func (facts *Facts) findWork(want string) (Item, bool) {
	name, of, _ := strings.Cut(want, "/")
	name, of = strings.TrimSpace(name), strings.TrimSpace(of)
	l := facts.Labor()
	w := &Work{labor: l, units: facts.Farm.Units, year: facts.Farm.Year.Value}
	for _, j := range l.Jobs {
		on := j.Plot != nil && plain(j.Plot.Decl.Name.Value) == of
		if plain(j.Name) == name && (of == "" || plain(j.What) == of || on || j.crop != nil && plain(j.crop.Name) == of) {
			w.Name = j.Name
			w.Jobs = append(w.Jobs, j)
		}
	}
	return Item{Work: w}, len(w.Jobs) > 0
}

// findWare gives the thing to buy that a text names, or is the beginning of the name of; false when none, or several,
// are.
func (facts *Facts) findWare(want string) (Item, bool) {
	if _, err := strconv.Atoi(want); want == "" || err == nil {
		return Item{}, false
	}
	var begin []*Purchase
	for _, p := range facts.Shopping().Wares {
		if name := plain(p.Ware.Name); name == want {
			return Item{Ware: p, facts: facts}, true
		} else if strings.HasPrefix(name, want) {
			begin = append(begin, p)
		}
	}
	if len(begin) != 1 {
		return Item{}, false
	}
	return Item{Ware: begin[0], facts: facts}, true
}

// mostUses of a ware are told one by one.
const mostUses = 30

// Why gives how much of a ware is used, what is at hand, and what is to be bought.
func (p *Purchase) Why(units system, year int) []Reckoning {
	show := func(q quantity.Quantity) string {
		if q.Dim == quantity.Ratio {
			return strconv.FormatFloat(q.SI, 'f', -1, 64)
		}
		return units.Format(q)
	}
	need := Reckoning{Title: "Needed of " + p.Ware.Name, Equation: "sum of its uses", Result: show(p.Amount), Source: commonPractice}
	for i, u := range p.Uses {
		if i == mostUses {
			need.Inputs = append(need.Inputs, Input{Name: fmt.Sprintf("and %d more uses", len(p.Uses)-mostUses), Source: "as these"})
			break
		}
		in := Input{Name: u.For, Value: show(u.Amount), Source: u.Where.Title()}
		if u.By.IsSet() {
			in.Value += " by " + u.By.Long(year)
		}
		if in.Source == "" {
			in.Source = "the whole farm"
		}
		need.Inputs = append(need.Inputs, in)
	}
	buy := Reckoning{
		Title: "To buy", Equation: "needed - in stock", Result: show(p.Buy), Source: commonPractice,
		Inputs: []Input{{Name: "needed", Value: show(p.Amount), Source: "see there"}, {Name: "in stock", Value: show(p.Stock), Source: thisPlan}},
	}
	if p.Ware.Pack.SI > 0 {
		buy.Equation += ", rounded up to packs"
		if slices.ContainsFunc(p.Uses, func(u Use) bool { return len(u.Cuts) > 0 }) {
			buy.Equation += ", the longest cuts first, each from the first pack that still holds it"
		}
		buy.Inputs = append(buy.Inputs, Input{Name: "pack", Value: show(p.Ware.Pack), Source: "what is sold"})
		buy.Result += fmt.Sprintf(" in %d", p.Packs)
	}
	return []Reckoning{need, buy}
}
