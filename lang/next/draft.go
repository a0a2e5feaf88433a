package next

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/lang/report"
	"haulm/stdlib/quantity"
)

// draft is a plan taken apart: its calls, what each gave, and what is to change when they are written again.
type draft struct {
	farm   *farm.Farm
	calls  []*eval.Call // that are written, in the order in which they were made
	gave   map[any]*eval.Call
	refs   map[any]int                // how often the calls speak of a thing
	rowsOf map[*farm.Plot][]*farm.Row // from the plot's first side

	plantedIn map[*farm.Row][]*farm.Planting

	at       string                   // the text's path from the root
	header   string                   // what stands before everything else
	previous string                   // the path of the plan before, "" for none
	grown    map[*farm.Plot][]string  // calls of history that say what grew, where there is no path
	years    int                      // by which dates move on; 0 for a copy
	accepts  map[*eval.Call][]accept  // comments that go along
	own      map[*eval.Call]*own      // rates by the record
	tasks    []ownTask                // paces by the record that the plan has no task for
	told     map[*farm.Plot][]string  // comments at the head of a plot's section
	left     map[*eval.Call]*leftOver // of each stock
}

type accept struct{ code, reason string }

func acceptText(list []accept) string { return fmt.Sprint(list) }

// leftOver is what the season leaves of a stock.
type leftOver struct {
	amount   quantity.Quantity
	was, use string
}

// newDraft takes a plan apart. With years, what belongs to the season that was is left out.
func newDraft(facts *derive.Facts, calls []eval.Call, years int) *draft {
	f := facts.Farm
	d := &draft{
		farm: f, gave: map[any]*eval.Call{}, refs: map[any]int{}, rowsOf: map[*farm.Plot][]*farm.Row{},
		plantedIn: map[*farm.Row][]*farm.Planting{}, years: years, accepts: map[*eval.Call][]accept{},
		told: map[*farm.Plot][]string{}, left: map[*eval.Call]*leftOver{},
	}
	for i := range calls {
		for _, g := range calls[i].Gave {
			d.gave[g] = &calls[i]
		}
	}
	wanted := map[*eval.Call]bool{}
	for i := range calls {
		if c := &calls[i]; !c.Earlier && !d.isDropped(c) {
			d.want(c, wanted)
		}
	}
	for i := range calls {
		if wanted[&calls[i]] {
			d.calls = append(d.calls, &calls[i])
		}
	}
	if years != 0 {
		d.setLeft(facts)
		d.setOwn(facts)
	}
	for _, c := range d.calls {
		d.count(c)
	}
	for _, t := range d.tasks {
		if t.work.Crop != nil {
			d.refs[t.work.Crop]++
		}
	}
	for _, r := range f.Rows {
		d.rowsOf[r.Plot] = append(d.rowsOf[r.Plot], r)
	}
	for _, rows := range d.rowsOf {
		slices.SortStableFunc(rows, func(a, b *farm.Row) int { return cmp.Compare(a.At.Value.SI, b.At.Value.SI) })
	}
	for _, p := range f.Plantings {
		d.plantedIn[p.Row] = append(d.plantedIn[p.Row], p)
	}
	return d
}

// want takes a call among those that are written, and the crops of earlier plans that it speaks of.
func (d *draft) want(c *eval.Call, wanted map[*eval.Call]bool) {
	if wanted[c] {
		return
	}
	wanted[c] = true
	crop := func(t any) {
		if _, ok := t.(*farm.Crop); ok && d.gave[t] != nil && d.gave[t].Earlier {
			d.want(d.gave[t], wanted)
		}
	}
	crop(c.On)
	for i := range c.Args {
		for _, t := range c.Args[i].Things {
			crop(t)
		}
	}
}

// count counts what a call speaks of.
func (d *draft) count(c *eval.Call) {
	if c.On != nil {
		d.refs[c.On]++
	}
	if d.isOut(c) {
		return
	}
	for i := range c.Args {
		a := &c.Args[i]
		if d.leavesOut(c, a) && a.Param.Name != "zone" {
			continue
		}
		for _, t := range a.Things {
			d.refs[t]++
		}
		if a.From != nil {
			d.refs[a.From.Site]++
		}
	}
}

// isDropped tells whether a call has no place in the text.
func (d *draft) isDropped(c *eval.Call) bool {
	switch {
	case c.Of.Group == "values":
		return true
	case d.years == 0:
		return false
	}
	return c.Of.Group == "record" || c.Of.Name == "weather" || c.Of.Name == "previous"
}

// isOut tells whether a call is only told of, in a comment.
func (d *draft) isOut(c *eval.Call) bool {
	if d.years == 0 {
		return false
	}
	left := d.left[c]
	return c.Of.Name == "credit" || left != nil && left.amount.SI <= 0
}

// leavesOut tells whether an argument is not written with its call.
func (d *draft) leavesOut(c *eval.Call, a *eval.Arg) bool {
	if d.own[c].has(a.Param.Name) {
		return true
	}
	switch c.Of.Name + " " + a.Param.Name {
	case "rows zone", "row zone":
		return true // the writer says the zone of the place
	case "site weather", "plant soil_temperature", "sow soil_temperature", "stock on":
		return d.years != 0
	}
	return false
}

// inlined tells whether a call is written where its value is used, rather than as a statement of its own.
func (d *draft) inlined(c *eval.Call) bool {
	switch c.Of.Name {
	case "soil", "soil_test", "climate", "pipe":
		return d.refs[c.Gave[0]] == 1
	}
	return false
}

// instead gives what is written for an argument when that is not the value it had.
func (w *writer) instead(c *eval.Call, a *eval.Arg) (string, bool) {
	if len(a.Things) == 1 && movesAlong(c) {
		if p, ok := a.Things[0].(*farm.Plot); ok {
			return w.thing(w.l.target(p)), true
		}
	}
	switch {
	case c.Of.Name == "farm" && a.Param.Name == "year":
		return strconv.Itoa(int(a.Number) + w.years), true
	case c.Of.Name == "stock" && w.left[c] != nil && slices.Contains([]string{"amount", "volume", "length", "count"}, a.Param.Name):
		q := w.left[c].amount
		if q.SI <= 0 {
			return "", false // told of as it was
		}
		if a.Param.Name == "count" {
			return number(math.Floor(q.SI + 1e-9)), true
		}
		return w.farm.Units.Exact(q), true
	}
	return "", false
}

// remarks are what is told beside a call of what was changed in it.
func (d *draft) remarks(c *eval.Call) []string {
	if d.years == 0 {
		return nil
	}
	var told []string
	year := d.farm.Year.Value
	for i := range c.Args {
		a := &c.Args[i]
		if a.From == nil && a.Date.IsSet() && a.Date.Month() == 2 && a.Date.Day() == 29 && laterYear(a.Date, d.years).Day() == 28 {
			told = append(told, fmt.Sprintf("The day given by %s was 29 February.", a.Param.Name))
		}
		if d.leavesOut(c, a) {
			switch a.Param.Name {
			case "weather":
				told = append(told, fmt.Sprintf("The weather of %d is left out.", year))
			case "soil_temperature":
				told = append(told, fmt.Sprintf("The soil temperature measured in %d is left out.", year))
			}
		}
	}
	if o := d.own[c]; o != nil {
		told = append(told, o.said)
	}
	switch c.Of.Name {
	case "site":
		told = append(told, "The average frosts, moved on by the calendar. Dates reckoned from them move when you correct them.")
	case "plot":
		told = append(told, d.testRemark(c)...)
	case "plant", "sow":
		if stays(c.Gave[0].(*farm.Planting)) {
			told = append(told, "It stands where it stood; what it takes to plant it is counted all the same.")
		}
	case "credit":
		told = append(told, fmt.Sprintf("It was for %d. Write it again if the ground gives nitrogen this year too:", year))
	case "stock":
		if left := d.left[c]; left != nil {
			told = append(told, fmt.Sprintf("%d: %s at hand, %s used. Weigh or count what is left.", year, left.was, left.use))
		}
	}
	return told
}

// testRemark asks for a new soil test where the one there is is older than two seasons.
func (d *draft) testRemark(c *eval.Call) []string {
	soil := c.Gave[0].(*farm.Plot).Soil
	if soil == nil || soil.Test == nil {
		return nil
	}
	on, year := soil.Test.On, d.farm.Year.Value+d.years
	switch {
	case !on.Given:
		return []string{"The soil test has no day: test again if it is older than two seasons."}
	case year-on.Value.Year() > 2:
		return []string{fmt.Sprintf("The soil test is of %d: test again.", on.Value.Year())}
	}
	return nil
}

// setLeft works out what the season leaves of what is in stock: of several stocks of a ware, the first that has any.
func (d *draft) setLeft(facts *derive.Facts) {
	used := map[*derive.Purchase]float64{}
	for _, c := range d.calls {
		if c.Of.Name != "stock" {
			continue
		}
		s := c.Gave[0].(*farm.Stock)
		for _, p := range facts.Shopping().Wares {
			if !p.Ware.Is(s) || p.Amount.Dim != s.Amount.Value.Dim {
				continue
			}
			if _, known := used[p]; !known {
				used[p] = p.Amount.SI
			}
			use := min(used[p], s.Amount.Value.SI)
			used[p] -= use
			if use <= 0 {
				break
			}
			rest := d.roundDown(s.Amount.Value.SI-use, p.Amount.Dim)
			d.left[c] = &leftOver{quantity.Of(rest, p.Amount.Dim), d.said(s.Amount.Value), d.said(quantity.Of(use, p.Amount.Dim))}
			break
		}
	}
}

// said is how people say an amount; pieces are a plain number.
func (d *draft) said(q quantity.Quantity) string {
	if q.Dim == quantity.Ratio {
		return number(math.Round(q.SI*10) / 10)
	}
	return d.farm.Units.Format(q)
}

// roundDown brings an amount to a tenth of the likeliest unit of the farm, not upwards; pieces to whole ones.
func (d *draft) roundDown(v float64, dim quantity.Dimension) float64 {
	step := 1.0
	for _, u := range quantity.UnitsOf(dim) {
		if dim != quantity.Ratio && u.System == d.farm.Units {
			step = u.SI / 10
			break
		}
	}
	return math.Floor(v/step+1e-9) * step
}

// setHeader writes what stands at the head of the next year's plan.
func (d *draft) setHeader() {
	name, year := d.farm.Name.Value, d.farm.Year.Value
	d.header = fmt.Sprintf("\"\"\"%s, season %d, begun from the plan of %d.\"\"\"\n\n", docText(name), year+d.years, year) +
		"# Dates are the same days of the year; those reckoned from a frost date still are. " +
		"What happened in " + strconv.Itoa(year) + " is left out.\n" +
		"# Read it through, and change what was not worth doing again.\n\n"
}

// docText is a text for the plan's first string.
func docText(text string) string {
	return strings.NewReplacer(`\`, "/", `"`, "'").Replace(report.InComment(text))
}

// folder is how the text names the plan before: its folder, or its file where that has another name.
func (d *draft) folder(entry string) string {
	if path.Base(entry) == eval.EntryName {
		entry = path.Dir(entry)
	}
	return relative(path.Dir(d.at), entry)
}
