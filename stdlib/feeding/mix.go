package feeding

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Offer is a product that a mix can be made of.
type Offer struct {
	Product Product
	Price   float64 // for each kg bought; NaN: not known
	Stock   float64 // kg left over, which costs nothing more and is not bought again
	Buy     float64 // the most that can be bought, kg; +Inf: any amount; 0: only what is left over
}

// Caps are the most that a mix may give; +Inf where there is no limit. NoCaps has none.
type Caps struct {
	Nutrients         // kg; nitrogen as it becomes available, as in the need
	Salt      float64 // N and K2O together, kg, all of the nitrogen
}

// NoCaps limits nothing.
func NoCaps() Caps {
	inf := math.Inf(1)
	return Caps{Nutrients{inf, inf, inf}, inf}
}

// Part is one product's share of a mix, kg.
type Part struct {
	Offer    int // index into the offers
	Leftover float64
	Bought   float64
}

// Mass is the whole of a part, kg.
func (p Part) Mass() float64 { return p.Leftover + p.Bought }

// Mix is the cheapest way to meet a need.
type Mix struct {
	Parts     []Part    // in the order of the offers, those that are used
	Cost      float64   // of what is bought; offers without a price add nothing
	Gives     Nutrients // nitrogen at the middle of what becomes available, kg
	GivesLow  Nutrients
	GivesHigh Nutrients
	Salt      float64 // N and K2O together, kg
	Priced    bool    // every offer that could be bought had a price
}

// Lacking is a nutrient of which the products cannot give enough.
type Lacking struct {
	Nutrient Nutrient
	Need     float64 // kg
	Most     float64 // kg that the products at hand can give within the caps
	Absent   bool    // no product has any of it
}

// Conflict is a cap that keeps the need from being met, everything else as it is.
type Conflict struct {
	Nutrient Nutrient // of the cap; Salt for the salt
	Limit    float64  // kg
	Least    float64  // kg that the mix would have to be allowed
}

// Salt names the cap on N and K2O together in a Conflict.
const Salt Nutrient = "salt"

// NoMixError says why no mix meets a need. Lacking names the nutrients that cannot be met even alone; where it is empty,
// each is possible, but not all within the caps and the stock. Conflicts names the caps any one of
// which, raised to its Least, would make the mix possible.
type NoMixError struct {
	Lacking   []Lacking
	Conflicts []Conflict
}

func (e *NoMixError) Error() string {
	var why []string
	for _, l := range e.Lacking {
		if l.Absent {
			why = append(why, fmt.Sprintf("no product has %s", l.Nutrient))
		} else {
			why = append(why, fmt.Sprintf("the products give at most %.4g kg %s of %.4g kg", l.Most, l.Nutrient, l.Need))
		}
	}
	for _, c := range e.Conflicts {
		why = append(why, fmt.Sprintf("the limit of %.4g kg %s would have to be %.4g kg", c.Limit, c.Nutrient, c.Least))
	}
	if why == nil {
		why = []string{"several limits together forbid it"}
	}
	return "no mix meets the need: " + strings.Join(why, "; ")
}

// Blend gives the cheapest mix of the offers that feeds at least the need, kg, within the caps, by linear
// programming. Nitrogen counts at the middle of what becomes available of each product, P2O5 and K2O in full. What is
// left over costs nothing, so it goes first wherever it helps. Among mixes of equal cost (to one part in
// 10⁹) it takes the lightest, and of those what comes first among the offers. Offers without a price count as
// dear as the dearest that has one, and all as 1 for each kg where none has; Priced tells so.
//
// A need of 0 or less asks for nothing. The error is a *NoMixError when there is no such mix, and another only for
// numbers that are no amounts.
func Blend(offers []Offer, need Nutrients, caps Caps) (Mix, error) {
	for _, o := range offers {
		if !(o.Stock >= 0) || !(o.Buy >= 0) || o.Price < 0 {
			return Mix{}, fmt.Errorf("%s: stock, price and what can be bought must be at least 0", o.Product.Name)
		}
	}
	p, columns, priced := program(offers, need, caps)
	x, err := p.Solve()
	if err == ErrInfeasible {
		return Mix{}, noMix(offers, need, caps)
	}
	if err != nil {
		return Mix{}, err
	}
	if lighter, err := p.lightest(x).Solve(); err == nil {
		x = lighter
	}
	return mixOf(offers, columns, x, priced), nil
}

// lightest is the program for the least mass among the amounts that cost no more than x. Each column weighs a thousandth
// more than the one before, so that of two that do the same the first is taken.
func (p Program) lightest(x []float64) Program {
	cost := ProgramRow{Name: "cost", Over: p.Cost}
	cost.Bound = cost.value(x) * (1 + slackShare)
	next := Program{Rows: append(slices.Clip(p.Rows), cost)}
	for j := range p.Cost {
		next.Cost = append(next.Cost, 1+0.001*float64(j))
	}
	return next
}

// column is one variable of the program: a product from what is left over, or bought.
type column struct {
	offer  int
	bought bool
}

// program writes the mix as a linear program: for each offer a column of leftovers and one of what is bought, a row
// for each need and cap, and a row for each limited column.
func program(offers []Offer, need Nutrients, caps Caps) (p Program, columns []column, priced bool) {
	price, priced := prices(offers)
	for i, o := range offers {
		if o.Stock > 0 {
			columns = append(columns, column{i, false})
			p.Cost = append(p.Cost, 0)
		}
		if o.Buy > 0 {
			columns = append(columns, column{i, true})
			p.Cost = append(p.Cost, price[i])
		}
	}
	over := func(share func(Product) float64) []float64 {
		coefficients := make([]float64, len(columns))
		for j, c := range columns {
			coefficients[j] = share(offers[c.offer].Product)
		}
		return coefficients
	}
	for _, n := range fed {
		share := over(func(p Product) float64 { return p.feedsMid().Of(n) })
		if need.Of(n) > 0 {
			p.Rows = append(p.Rows, ProgramRow{"need " + string(n), share, true, need.Of(n)})
		}
		if limit := caps.Of(n); !math.IsInf(limit, 1) {
			p.Rows = append(p.Rows, ProgramRow{"cap " + string(n), share, false, limit})
		}
	}
	if !math.IsInf(caps.Salt, 1) {
		p.Rows = append(p.Rows, ProgramRow{"cap salt", over(func(p Product) float64 { return p.Salt(1) }), false, caps.Salt})
	}
	for j, c := range columns {
		limit, kind := offers[c.offer].Stock, "stock "
		if c.bought {
			limit, kind = offers[c.offer].Buy, "buy "
		}
		if !math.IsInf(limit, 1) {
			one := make([]float64, len(columns))
			one[j] = 1
			p.Rows = append(p.Rows, ProgramRow{kind + offers[c.offer].Product.Name, one, false, limit})
		}
	}
	return p, columns, priced
}

// prices fills in what is not known.
func prices(offers []Offer) (price []float64, priced bool) {
	dearest, known := 1.0, false
	priced = true
	for _, o := range offers {
		switch {
		case math.IsNaN(o.Price):
			priced = priced && o.Buy == 0
		case !known || o.Price > dearest:
			dearest, known = o.Price, true
		}
	}
	for _, o := range offers {
		if math.IsNaN(o.Price) {
			price = append(price, dearest)
		} else {
			price = append(price, o.Price)
		}
	}
	return price, priced
}

func mixOf(offers []Offer, columns []column, x []float64, priced bool) Mix {
	m := Mix{Priced: priced}
	for j, c := range columns {
		if x[j] <= 0 {
			continue
		}
		if len(m.Parts) == 0 || m.Parts[len(m.Parts)-1].Offer != c.offer {
			m.Parts = append(m.Parts, Part{Offer: c.offer})
		}
		part := &m.Parts[len(m.Parts)-1]
		if c.bought {
			part.Bought = x[j]
			if price := offers[c.offer].Price; !math.IsNaN(price) {
				m.Cost += price * x[j]
			}
		} else {
			part.Leftover = x[j]
		}
	}
	for _, part := range m.Parts {
		p := offers[part.Offer].Product
		low, high := p.Feeds(part.Mass())
		m.Gives = m.Gives.Plus(p.feedsMid().Scale(part.Mass()))
		m.GivesLow, m.GivesHigh = m.GivesLow.Plus(low), m.GivesHigh.Plus(high)
		m.Salt += p.Salt(part.Mass())
	}
	return m
}

// noMix finds out why, by relaxing one thing after the other.
func noMix(offers []Offer, need Nutrients, caps Caps) *NoMixError {
	e := &NoMixError{}
	p, _, _ := program(offers, need, caps)
	isNeed := func(r ProgramRow) bool { return r.AtLeast }
	for _, n := range fed {
		at := slices.IndexFunc(p.Rows, func(r ProgramRow) bool { return r.Name == "need "+string(n) })
		if at < 0 {
			continue
		}
		row := p.Rows[at]
		alone := Program{Cost: negated(row.Over), Rows: slices.DeleteFunc(slices.Clone(p.Rows), isNeed)}
		x, err := alone.Solve()
		if err != nil { // without bound: as much as one likes
			continue
		}
		if most := row.value(x); most < row.Bound*(1-1e-9) {
			absent := !slices.ContainsFunc(row.Over, func(v float64) bool { return v > 0 })
			e.Lacking = append(e.Lacking, Lacking{n, row.Bound, most, absent})
		}
	}
	for i, row := range p.Rows {
		name, isCap := strings.CutPrefix(row.Name, "cap ")
		if !isCap {
			continue
		}
		without := Program{Cost: row.Over, Rows: slices.Delete(slices.Clone(p.Rows), i, i+1)}
		if x, err := without.Solve(); err == nil {
			e.Conflicts = append(e.Conflicts, Conflict{Nutrient(name), row.Bound, row.value(x)})
		}
	}
	return e
}

func negated(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = -v[i]
	}
	return out
}
