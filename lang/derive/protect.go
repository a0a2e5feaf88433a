package derive

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Protection is the spray calendar of a plan: what is put on which rows on which day, and from when those may be
// entered and picked again by the labels' intervals, as the plan copied them.
type Protection struct {
	Applications []*Application  // by day, then in the order of declaration
	Idle         []*farm.Protect // those that find nothing standing on any of their days

	rows map[*Row][]*Application
	year int
}

// Application is one protectant put on some rows on one day.
type Application struct {
	Decl      *farm.Protect
	Number    int // 1 for the first of its Decl
	Day       season.Date
	Rows      []*Row      // those of the place in which something stands that day
	Plantings []*Planting // that stand in them
	Enter     season.Date // first day on which anyone may work there again
	Harvest   season.Date // first day on which what stands there may be picked again

	Area    float64           // of the ground treated, m2; 0 when it is not known
	Unknown string            // why it is not known
	Product quantity.Quantity // protectant for the area; the zero Quantity when the area or the rate is not known
	Water   float64           // for the area, m3; 0 when not known
}

// mostApplications bounds what is believed of one protect(...): no label allows a spraying every other day of a year.
const mostApplications = 200

// Hours of the day that an evening's spraying ends and a morning's work begins: what is sprayed is sprayed when the
// day's work is done and bees are home (common practice).
const (
	sprayed   = 18.0
	workBegin = 6.0
)

// Protection gives the spray calendar, laid out when first asked for.
func (facts *Facts) Protection() *Protection {
	facts.protection.once.Do(func() { facts.protection.of = newProtection(facts) })
	return facts.protection.of
}

func newProtection(facts *Facts) *Protection {
	pr := &Protection{year: facts.Farm.Year.Value}
	if len(facts.Farm.Protects) == 0 {
		return pr
	}
	rows := make(map[*farm.Row]*Row, len(facts.Rows))
	for _, r := range facts.Rows {
		rows[r.Decl] = r
	}
	plots := make(map[*farm.Plot]*Plot, len(facts.Plots))
	for _, p := range facts.Plots {
		plots[p.Decl] = p
	}
	for _, d := range facts.Farm.Protects {
		if d == nil || d.Protectant == nil || !d.On.Value.IsSet() {
			continue
		}
		var where []*Row
		if p := plots[d.Plot]; d.Plot != nil && p != nil {
			where = p.Rows
		} else if r := rows[d.Row]; d.Row != nil && r != nil {
			where = []*Row{r}
		}
		list := applications(d, where)
		if len(list) == 0 && len(where) > 0 {
			pr.Idle = append(pr.Idle, d)
		}
		pr.Applications = append(pr.Applications, list...)
	}
	slices.SortStableFunc(pr.Applications, func(a, b *Application) int { return cmp.Compare(a.Day, b.Day) })
	pr.rows = map[*Row][]*Application{}
	for _, a := range pr.Applications {
		for _, r := range a.Rows {
			pr.rows[r] = append(pr.rows[r], a)
		}
	}
	return pr
}

// On gives what is put on a row, by day.
func (pr *Protection) On(r *Row) []*Application { return pr.rows[r] }

// applications lists the days of one protect(...) on which something stands in its rows.
func applications(d *farm.Protect, where []*Row) []*Application {
	var list []*Application
	last := d.On.Value
	if d.Every.Value > 0 {
		last = d.On.Value.Add(365)
		if d.Until.Value.IsSet() {
			last = min(last, d.Until.Value)
		}
	}
	for day := d.On.Value; day <= last && len(list) < mostApplications; day = day.Add(max(1, d.Every.Value)) {
		a := &Application{Decl: d, Number: len(list) + 1, Day: day}
		for _, r := range where {
			n := len(a.Plantings)
			for _, p := range r.Plantings {
				if p.Plant.IsSet() && p.Plant <= day && (!p.Clear.IsSet() || day < p.Clear) {
					a.Plantings = append(a.Plantings, p)
				}
			}
			if len(a.Plantings) > n {
				a.Rows = append(a.Rows, r)
			}
		}
		if len(a.Rows) > 0 {
			a.workOut()
			list = append(list, a)
		}
	}
	return list
}

// workOut sets the intervals and the amounts of an application.
func (a *Application) workOut() {
	p := a.Decl.Protectant
	a.Enter = a.Day.Add(ClosedDays(p.Reentry.Value.SI))
	a.Harvest = max(a.Enter, a.Day.Add(p.Preharvest.Value))
	for _, q := range a.Plantings {
		ground := q.strip() * q.stretch()
		if !(ground > 0) || math.IsInf(ground, 0) {
			a.Area, a.Unknown = 0, fmt.Sprintf("the ground of %s in %s is not known", q.Decl.Crop.Title(), q.Row.Name())
			return
		}
		a.Area += ground
	}
	switch {
	case p.Rate.Given:
		a.Product = quantity.Of(p.Rate.Value.SI*a.Area, quantity.Mass)
	case p.LiquidRate.Given:
		a.Product = quantity.Of(p.LiquidRate.Value.SI*a.Area, quantity.Volume)
	}
	if p.Water.Given {
		a.Water = p.Water.Value.SI * a.Area
	}
}

// stretch is the length of row that the planting owns within the row, m; 0 when it stands nowhere.
func (p *Planting) stretch() float64 {
	if !p.Placed() {
		return 0
	}
	return max(0, min(p.Owns.To, p.Row.Length)-max(p.Owns.From, 0))
}

// ClosedDays gives the days from the day of spraying to the first morning on which the re-entry interval, in s, has
// run out, spraying having ended in the evening.
func ClosedDays(reentry float64) int {
	first := 24 - sprayed + workBegin // hours from spraying to the next morning
	return 1 + int(math.Max(0, math.Ceil((reentry/3600-first)/24-1e-9)))
}

// Uses gives the protectants that the calendar takes.
func (pr *Protection) Uses() []Use {
	var uses []Use
	for _, a := range pr.Applications {
		if a.Product.SI <= 0 {
			continue
		}
		p := a.Decl.Protectant
		w := Ware{Kind: ProtectantWare, Of: p, Name: p.Name.Value, Price: p.Price.Value}
		switch {
		case a.Product.Dim == quantity.Mass && p.Pack.Given:
			w.Pack = p.Pack.Value
		case a.Product.Dim == quantity.Volume && p.LiquidPack.Given:
			w.Pack = p.LiquidPack.Value
		}
		uses = append(uses, Use{Ware: w, Amount: a.Product, By: a.Day, For: "sprayed", Where: a.Place()})
	}
	return uses
}

// events gives the days of spraying.
func (pr *Protection) events(all []Event) []Event {
	for _, a := range pr.Applications {
		e := Event{On: a.Day, Until: season.None, Do: "spray", What: a.Decl.Protectant.Name.Value, Where: a.Place()}
		e.Note = "closed until " + a.Enter.Long(pr.year) + ", no harvest before "
		if a.Harvest == a.Enter {
			e.Note += "then"
		} else {
			e.Note += a.Harvest.Long(pr.year)
		}
		all = append(all, e)
	}
	return all
}

// Place is where the plan puts it: a row or a plot.
func (a *Application) Place() Item {
	if a.Decl.Plot != nil {
		return Item{Plot: a.Rows[0].Plot}
	}
	return Item{Row: a.Rows[0]}
}

// NextHarvest gives the planting under it that is first picked after its day and soonest; nil when none is.
func (a *Application) NextHarvest() *Planting {
	var next *Planting
	for _, p := range a.Plantings {
		if p.FirstHarvest > a.Day && (next == nil || p.FirstHarvest < next.FirstHarvest) {
			next = p
		}
	}
	return next
}
