package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// OwnRates gives the farm's own rates beside the plan's: of crops their days, window and yield, of work its pace.
func OwnRates(facts *derive.Facts) Table {
	t := newTable("own_rates", facts)
	t.Columns = []Column{
		{Head: "of", Key: "of"},
		{Head: "what", Key: "what"},
		{Head: "planned", Key: "planned"},
		{Head: "own", Key: "own"},
		{Head: "from", Key: "from"},
		{Head: "for the next plan", Key: "line", keep: 1},
	}
	if facts == nil || facts.Record == nil {
		return t
	}
	for _, o := range facts.Record.Rates() {
		of := counted(o.Plantings, "planting")
		add := func(what, planned, own, from, line string) {
			t.Rows = append(t.Rows, []Cell{textCell(o.Crop.Title()), textCell(what), textCell(planned), textCell(own), textCell(from), textCell(line)})
		}
		if o.Days > 0 {
			add("days to first harvest", days(o.PlannedDays), days(o.Days), of, fmt.Sprintf("days_to_maturity = %d", o.Days))
		}
		if o.Window > 0 {
			add("days of harvest", days(o.PlannedWindow), days(o.Window), of, fmt.Sprintf("harvest_window = %d", o.Window))
		}
		if o.Yield > 0 {
			planned := ""
			if o.PlannedYield > 0 {
				planned = t.units.Format(quantity.Of(o.PlannedYield, quantity.LineMass))
			}
			add("yield", planned, t.units.Format(quantity.Of(o.Yield, quantity.LineMass)), t.harvestOf(o), "yield_per_length = "+t.expr(o.Yield, quantity.LineMass))
		}
	}
	for _, w := range facts.Record.Work() {
		if line := t.taskArgs(w); line != "" {
			of := w.What
			if of == "" {
				of = "every crop"
			}
			t.Rows = append(t.Rows, []Cell{textCell(of), textCell(w.Name), textCell(t.pace(w.Plan, w.Per)), textCell(t.pace(w.Each, w.Per)),
				textCell(decimal(w.Hours, 1) + " h, " + counted(w.Times, "record")), textCell(line)})
		}
	}
	return t
}

func days(n int) string {
	if n == 0 {
		return ""
	}
	return counted(n, "day")
}

func (t *Table) harvestOf(o *derive.OwnRate) string {
	return t.units.Format(quantity.Of(o.Picked, quantity.Mass)) + " from " + t.units.Format(quantity.Meters(o.Length))
}

// expr writes a quantity as plans do, to three digits.
func (t *Table) expr(v float64, d quantity.Dimension) string {
	return RoundExpr(t.units, quantity.Of(v, d))
}

// RoundExpr writes a quantity as plan text to three digits.
func RoundExpr(units quantity.System, q quantity.Quantity) string {
	text := units.Expr(q)
	number, unit, ok := strings.Cut(text, " * ")
	x, err := strconv.ParseFloat(number, 64)
	if !ok || err != nil {
		return text
	}
	return threeDigits(x) + " * " + unit
}

// threeDigits writes a number as plan text.
func threeDigits(v float64) string {
	if v == 0 {
		return "0"
	}
	places := max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))
	return decimal(v, places)
}

func (t *Table) taskArgs(w *derive.WorkRecord) string { return OwnPace(t.units, w) }

// OwnPace is the argument of a task that gives the own pace of work as plan text, "" when it is not known.
func OwnPace(units quantity.System, w *derive.WorkRecord) string {
	if w.Each == 0 || w.Hours == 0 {
		return ""
	}
	switch w.Per {
	case "m":
		return "per_length = " + RoundExpr(units, quantity.Of(w.Each, quantity.LineTime))
	case "m2":
		return "per_area = " + RoundExpr(units, quantity.Of(w.Each, quantity.AreaTime))
	case "plant":
		return "per_plant = " + RoundExpr(units, quantity.Of(w.Each, quantity.Time))
	case "kg":
		return "picked = " + RoundExpr(units, quantity.Of(1/w.Each, quantity.MassRate))
	case "":
		return "takes = " + RoundExpr(units, quantity.Of(w.Each, quantity.Time))
	}
	return ""
}

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
