package derive

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/agnivade/levenshtein"
)

// Item is one thing of the farm that has a name: exactly one exported field is set.
type Item struct {
	Plot     *Plot
	Row      *Row
	Planting *Planting
	Zone     *ZoneWater
	Work     *Work
	Ware     *Purchase
	Care     *Care

	facts *Facts // for the units and the year of a ware
}

// Why gives the reckonings of the item.
func (i Item) Why() []Reckoning {
	switch {
	case i.Planting != nil:
		return i.Planting.Why()
	case i.Row != nil:
		return i.Row.Why()
	case i.Plot != nil:
		return i.Plot.Why()
	case i.Zone != nil:
		return i.Zone.Why()
	case i.Work != nil:
		return i.Work.Why()
	case i.Care != nil:
		return i.Care.Why()
	case i.Ware != nil:
		return i.Ware.Why(i.facts.Farm.Units, i.facts.Farm.Year.Value)
	}
	return nil
}

// Title names the item for people: "Lower bench, row 3, bell pepper".
func (i Item) Title() string {
	switch {
	case i.Planting != nil:
		return Item{Row: i.Planting.Row}.Title() + ", " + i.Planting.Decl.Crop.Title()
	case i.Row != nil:
		return i.Row.Plot.Decl.Name.Value + ", " + i.Row.Name()
	case i.Plot != nil:
		return i.Plot.Decl.Name.Value
	case i.Zone != nil:
		return "zone " + i.Zone.Decl.Name.Value
	case i.Work != nil:
		return i.Work.Name
	case i.Ware != nil:
		return i.Ware.Ware.Name
	case i.Care != nil:
		return "Heat and lifting"
	}
	return ""
}

// Find gives the thing that a text names: "Lower bench", "Lower bench/3", "Lower bench/row 3/bell pepper", "zone
// fruiting" or "fruiting", a job ("weeding", "weeding/okra"), "heat" or "lifting", a thing to buy, a crop that is
// planted once, or the number of a planting as the table of plantings shows it. Case, underscores and hyphens do not
// matter. The error names what there is near by.
func Find(facts *Facts, item string) (Item, error) {
	want := plain(item)
	var plot *Plot
	for _, p := range facts.Plots { // the longest name that the text starts with, for names with a slash
		name := plain(p.Decl.Name.Value)
		if (want == name || strings.HasPrefix(want, name+"/")) && name != "" &&
			(plot == nil || len(name) > len(plain(plot.Decl.Name.Value))) {
			plot = p
		}
	}
	if plot == nil {
		if name, ok := strings.CutPrefix(want, "zone "); ok {
			return facts.findZone(name)
		}
		return facts.findElse(item, want)
	}
	rest := strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(want, plain(plot.Decl.Name.Value)), "/"))
	if rest == "" {
		return Item{Plot: plot}, nil
	}
	row, rest := plot.findRow(rest)
	if row == nil {
		names := make([]string, len(plot.Rows))
		for i, r := range plot.Rows {
			names[i] = r.Name()
		}
		return Item{}, fmt.Errorf("plot %q has no row %q: %s", plot.Decl.Name.Value, rest, suggest(rest, names, "it has no rows"))
	}
	if rest == "" {
		return Item{Row: row}, nil
	}
	return row.findPlanting(rest)
}

// findElse gives what a text names that begins with no plot: a job, a zone, a thing to buy, the one planting of a
// crop, or a planting by its number.
func (facts *Facts) findElse(item, want string) (Item, error) {
	if n, err := strconv.Atoi(want); err == nil {
		if n >= 1 && n <= len(facts.Plantings) {
			return Item{Planting: facts.Plantings[n-1]}, nil
		}
		return Item{}, fmt.Errorf("there is no planting %d: the plan has %d plantings", n, len(facts.Plantings))
	}
	var names []string
	for _, p := range facts.Plots {
		names = append(names, p.Decl.Name.Value)
	}
	if first, _, ok := strings.Cut(item, "/"); facts.Farm == nil || ok {
		if facts.Farm != nil {
			if found, ok := facts.findWork(want); ok {
				return found, nil
			}
		}
		return Item{}, fmt.Errorf("there is no plot %q: %s", strings.TrimSpace(first), suggest(want, names, "the plan has no plots"))
	}
	if want == "heat" || want == "lifting" || want == "heat and lifting" {
		return Item{Care: facts.Care()}, nil
	}
	if found, ok := facts.findWork(want); ok {
		return found, nil
	}
	if found, err := facts.findZone(want); err == nil {
		return found, nil
	}
	if found, ok := facts.findWare(want); ok {
		return found, nil
	}
	if of := facts.plantingsOf(want); len(of) == 1 {
		return Item{Planting: of[0]}, nil
	} else if len(of) > 1 {
		return Item{}, fmt.Errorf("%d plantings are of %q: ask for one by its number, %s", len(of), item, numbers(of))
	}
	return Item{}, fmt.Errorf("nothing in the plan is called %q: %s", item, suggest(want, append(names, facts.named()...), "it has no plots"))
}

// plantingsOf are those of a crop or variety.
func (facts *Facts) plantingsOf(want string) []*Planting {
	var of []*Planting
	for _, p := range facts.Plantings {
		if p.isOf(want) {
			of = append(of, p)
		}
	}
	return of
}

// isOf tells whether a planting is of the crop or variety that a plain text names.
func (p *Planting) isOf(text string) bool {
	c := p.Decl.Crop
	return text == plain(c.Title()) || text == plain(c.Name) || text == plain(c.Ident) || c.Variety != "" && text == plain(c.Variety)
}

// named are the names of what is no plot and can be asked for: crops, zones, jobs and things to buy.
func (facts *Facts) named() []string {
	var names []string
	for _, p := range facts.Plantings {
		names = append(names, p.Decl.Crop.Title())
	}
	if facts.Water != nil {
		for _, z := range facts.Water.Zones {
			names = append(names, z.Decl.Name.Value)
		}
	}
	for _, j := range facts.Labor().Jobs {
		names = append(names, j.Name)
	}
	for _, p := range facts.Shopping().Wares {
		names = append(names, p.Ware.Name)
	}
	return names
}

// numbers lists plantings as the table of plantings numbers them.
func numbers(of []*Planting) string {
	list := make([]string, len(of))
	for i, p := range of {
		list[i] = strconv.Itoa(p.Number)
	}
	return strings.Join(list, ", ")
}

func (facts *Facts) findZone(want string) (Item, error) {
	var names []string
	if facts.Water != nil {
		for _, z := range facts.Water.Zones {
			name := z.Decl.Name.Value
			if plain(name) == want {
				return Item{Zone: z}, nil
			}
			names = append(names, name)
		}
	}
	return Item{}, fmt.Errorf("there is no zone %q: %s", want, suggest(want, names, "the plan has no zones"))
}

// findRow gives the row that the text starts with and what follows it; the text's first part when
// there is no such row.
func (p *Plot) findRow(text string) (*Row, string) {
	first, after, _ := strings.Cut(text, "/")
	first, after = strings.TrimSpace(first), strings.TrimSpace(after)
	for _, r := range p.Rows {
		name := plain(r.Name())
		if text == name {
			return r, ""
		}
		if rest, ok := strings.CutPrefix(text, name+"/"); ok {
			return r, strings.TrimSpace(rest)
		}
	}
	if n, err := strconv.Atoi(strings.TrimSpace(strings.TrimPrefix(first, "row"))); err == nil && n >= 1 && n <= len(p.Rows) {
		return p.Rows[n-1], after
	}
	return nil, first
}

func (r *Row) findPlanting(text string) (Item, error) {
	var found []*Planting
	var names []string
	for _, p := range r.Plantings {
		names = append(names, p.Decl.Crop.Title())
		if p.isOf(text) {
			found = append(found, p)
		}
	}
	switch len(found) {
	case 1:
		return Item{Planting: found[0]}, nil
	case 0:
		return Item{}, fmt.Errorf("%s of plot %q has no planting of %q: %s", r.Name(), r.Plot.Decl.Name.Value, text,
			suggest(text, names, "nothing is planted there"))
	}
	return Item{}, fmt.Errorf("%s of plot %q has %d plantings of %q: ask for one by its number, %s", r.Name(),
		r.Plot.Decl.Name.Value, len(found), text, numbers(found))
}

// suggest lists the names nearest to the one asked for, at most four.
func suggest(want string, names []string, none string) string {
	near := slices.Clone(names)
	slices.SortStableFunc(near, func(a, b string) int {
		return levenshtein.ComputeDistance(want, plain(a)) - levenshtein.ComputeDistance(want, plain(b))
	})
	var list []string
	for _, name := range near {
		if q := strconv.Quote(name); name != "" && len(list) < 4 && !slices.Contains(list, q) {
			list = append(list, q)
		}
	}
	if len(list) == 0 {
		return none
	}
	return "try " + strings.Join(list, ", ")
}

var plainly = strings.NewReplacer("_", " ", "-", " ", "'", "", `"`, "")

// plain takes off what does not matter in a name.
func plain(name string) string {
	name = plainly.Replace(name)
	parts := strings.Split(strings.ToLower(name), "/")
	for i := range parts {
		parts[i] = strings.Join(strings.Fields(parts[i]), " ")
	}
	return strings.Join(parts, "/")
}
