package next

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/lang/report"
	"haulm/stdlib/quantity"
)

// own is what the record puts in the place of what the plan said in a call.
type own struct {
	args []ownArg
	said string
}

type ownArg struct{ name, text string }

// has tells whether it takes the place of an argument: of the same, or of another way to say a pace.
func (o *own) has(name string) bool {
	if o == nil {
		return false
	}
	for _, a := range o.args {
		if a.name == name || slices.Contains(paces, a.name) && slices.Contains(paces, name) {
			return true
		}
	}
	return false
}

func (o *own) add(name, text string) { o.args = append(o.args, ownArg{name, text}) }

// paces are the arguments of a task that say how long it takes.
var paces = []string{"takes", "per_length", "per_area", "per_plant", "picked"}

// setOwn takes the farm's own rates over from its record: days and yields for each planting of a crop, the pace of
// work for the task of the name, else as a task more.
func (d *draft) setOwn(facts *derive.Facts) {
	d.own = map[*eval.Call]*own{}
	if facts.Record == nil {
		return
	}
	year := d.farm.Year.Value
	rates := map[string]*own{}
	for _, r := range facts.Record.Rates() {
		o := &own{said: fmt.Sprintf("By the record of %d: ", year) + strings.Join(d.rateWords(r), ", ") + "."}
		if r.Days > 0 {
			o.add("days_to_maturity", fmt.Sprint(r.Days))
		}
		if r.Window > 0 {
			o.add("harvest_window", fmt.Sprint(r.Window))
		}
		if r.Yield > 0 {
			o.add("yield_per_length", report.RoundExpr(d.farm.Units, quantity.Of(r.Yield, quantity.LineMass)))
		}
		if len(o.args) > 0 {
			rates[r.Crop.Title()] = o
		}
	}
	for _, c := range d.calls {
		if p, ok := onlyGave[*farm.Planting](c); ok && p.Crop != nil && rates[p.Crop.Title()] != nil {
			d.own[c] = rates[p.Crop.Title()]
		}
	}
	for _, w := range facts.Record.Work() {
		pace := report.OwnPace(d.farm.Units, w)
		name, value, ok := strings.Cut(pace, " = ")
		if !ok || w.Per == "" && d.taskOf(w) == nil {
			continue
		}
		o := &own{said: fmt.Sprintf("By the record of %d: %.1f h in %s.", year, w.Hours, times(w.Times))}
		o.add(name, value)
		if c := d.taskOf(w); c != nil {
			d.own[c] = o
			continue
		}
		d.tasks = append(d.tasks, ownTask{w, o})
	}
}

// ownTask is a task that the plan did not have.
type ownTask struct {
	work *derive.WorkRecord
	own  *own
}

func times(n int) string {
	if n == 1 {
		return "one entry"
	}
	return fmt.Sprintf("%d entries", n)
}

// rateWords says what was recorded of a crop beside what was planned.
func (d *draft) rateWords(r *derive.OwnRate) []string {
	var said []string
	planned := func(n int) string {
		if n == 0 {
			return ""
		}
		return fmt.Sprintf(" (%d planned)", n)
	}
	if r.Days > 0 {
		said = append(said, fmt.Sprintf("%d days to the first harvest%s", r.Days, planned(r.PlannedDays)))
	}
	if r.Window > 0 {
		said = append(said, fmt.Sprintf("%d days of harvest%s", r.Window, planned(r.PlannedWindow)))
	}
	if r.Yield > 0 {
		said = append(said, fmt.Sprintf("%s from %s", d.farm.Units.Format(quantity.Of(r.Picked, quantity.Mass)), d.farm.Units.Format(quantity.Meters(r.Length))))
	}
	return said
}

// taskOf is the task that gives the pace of a kind of work, nil when none does.
func (d *draft) taskOf(w *derive.WorkRecord) *eval.Call {
	for _, c := range d.calls {
		t, ok := onlyGave[*farm.Task](c)
		if ok && strings.EqualFold(t.Name.Value, w.Name) && t.Plot == nil && t.Row == nil && t.Planting == nil &&
			(t.Crop == nil) == (w.Crop == nil) && (t.Crop == nil || t.Crop.Title() == w.Crop.Title()) {
			return c
		}
	}
	return nil
}

// onlyGave is the one thing that a call declared, when it is of a kind.
func onlyGave[T any](c *eval.Call) (T, bool) {
	var none T
	if len(c.Gave) != 1 {
		return none, false
	}
	t, ok := c.Gave[0].(T)
	return t, ok
}

// ownTasks writes the tasks that the plan did not have, of crops that it plants.
func (w *writer) ownTasks() {
	for _, t := range w.tasks {
		where := ""
		if t.work.Crop != nil {
			where = ", where = " + w.thing(t.work.Crop)
		}
		w.put("# "+t.own.said, fmt.Sprintf("task(%q%s, %s = %s)", t.work.Name, where, t.own.args[0].name, t.own.args[0].text))
	}
}
