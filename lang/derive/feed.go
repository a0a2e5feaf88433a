package derive

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Feeding is what the soil tests say, what the plantings need, and what is fed to them. Rates are kg/m2, masses kg.
type Feeding struct {
	Plots     []*PlotFeeding     // one for each of Facts.Plots
	Plantings []*PlantingFeeding // one for each of Facts.Plantings
	Doses     []*Dose            // by day, then by feeding and place; those without a day last
	Failed    []*FeedFailure     // feedings to need that no mix can meet
	Late      []*farm.Feed       // whose day comes when everything there is harvested
	Products  []*ProductFeeding  // in the order of declaration, those that are fed or in stock
	Injected  []*Injection       // feedings through the water, by day and zone

	units      quantity.System
	facts      *Facts
	byRow      map[*farm.Row][]*Row // of one row each
	byPlanting map[*farm.Planting]*Planting
	kept       map[keptKey]keptMix
}

// PlotFeeding is what is known of a plot's soil.
type PlotFeeding struct {
	Plot    *Plot
	Test    *farm.SoilTest // nil when the plan gives none
	P, K    *feeding.Rating
	Unrated error              // why P or K is not rated though the test gives it; nil otherwise
	Rich    bool               // P is rated very high
	Credit  feeding.Span       // nitrogen that it gives without being fed
	Parts   []CreditPart       // of Credit
	Target  float64            // pH that lime is to bring it to; 0 when it needs none or nothing is known
	Lime    []feeding.LimeRate // by each table, as pure calcium carbonate
}

// CreditPart is one of a plot's credits.
type CreditPart struct {
	Decl *farm.Credit
	feeding.Credit
}

// PlantingFeeding is what a planting needs and gets.
type PlantingFeeding struct {
	Planting *Planting
	Area     float64 // of its ground, m2; 0 when not known
	Unknown  string  // why its need is not known; "" when it is
	Unrated  bool    // the soil test of its plot is not rated
	Need     feeding.Need
	Of       *farm.Decl // that gives the need: a need(...) or a soil_test(...); nil when a table does
	Credit   feeding.Span
	Doses    []*Dose // by day

	Low, Mid, High feeding.Nutrients // fed on each area, nitrogen as it becomes available; without Credit
	rich           bool
	once           farm.Amount // most nitrogen in one application, by the need
	by             [3]feeding.Source
}

// Dose is one product put on one planting, or on a row that is not planted, on one day.
type Dose struct {
	Feed     *farm.Feed
	Product  *farm.Product
	Row      *Row
	Planting *Planting   // nil for a row without plantings
	Day      season.Date // None when not known
	Area     float64     // m2
	Length   float64     // of its lines, m
	Mass     float64     // kg
	Leftover float64     // of that, what was in stock, kg
}

// FeedFailure is a need that the products of a feeding cannot meet.
type FeedFailure struct {
	Feed      *farm.Feed
	Plantings []*Planting // that have it
	Area      float64     // of the ground that the amounts in Why are for, m2
	Why       error       // *feeding.NoMixError, or another for numbers that cannot be; nil where the need is not known
}

// ProductFeeding is what is used of a product.
type ProductFeeding struct {
	Product     *farm.Product
	Used, Stock float64 // kg
	First       season.Date
	Decl        *farm.Stock // the first that says what is in stock; nil when none does
}

// Feeding gives what is fed, worked out when first asked for.
func (facts *Facts) Feeding() *Feeding {
	facts.feeding.once.Do(func() { facts.feeding.of = newFeeding(facts) })
	return facts.feeding.of
}

// Fed tells whether the plan speaks of feeding at all.
func (facts *Facts) Fed() bool {
	f := facts.Farm
	return len(f.Feeds)+len(f.SoilTests)+len(f.Needs)+len(f.Credits) > 0
}

func newFeeding(facts *Facts) *Feeding {
	fd := &Feeding{units: facts.Farm.Units, facts: facts}
	fd.addPlots(facts)
	fd.addNeeds(facts)
	stock := fd.stocks(facts.Farm)
	fd.feedByRate(facts.Farm, stock)
	fd.feedToNeed(facts.Farm, stock)
	slices.SortStableFunc(fd.Doses, func(a, b *Dose) int { return cmp.Compare(sortDay(a.Day), sortDay(b.Day)) })
	for _, n := range fd.Plantings {
		slices.SortStableFunc(n.Doses, func(a, b *Dose) int { return cmp.Compare(sortDay(a.Day), sortDay(b.Day)) })
	}
	fd.addProducts(facts.Farm)
	fd.inject(facts)
	return fd
}

// sortDay puts what has no day last.
func sortDay(d season.Date) int {
	if !d.IsSet() {
		return math.MaxInt
	}
	return int(d)
}

// product is what the equations need of a product.
func product(p *farm.Product) feeding.Product {
	return feeding.Product{
		Name: p.Name.Value, Analysis: p.Analysis.Value, Available: p.Available.Value, Organic: p.Organic.Value, Density: p.Density.Value.SI,
	}
}

// Gives are the nutrients in the dose, kg: nitrogen at the low and the high end of what becomes available.
func (d *Dose) Gives() (low, high feeding.Nutrients) { return product(d.Product).Feeds(d.Mass) }

// Volume of the dose in a measure, m3; false when the product's density is not known.
func (d *Dose) Volume() (float64, bool) { return product(d.Product).Volume(d.Mass) }

// Scooped is a dose in one of the plan's measures.
type Scooped struct {
	Measure *farm.Measure
	Spoken  string  // "a scoop and a third"
	Share   float64 // by which the rounding errs, of the dose: below 0 where it gives less
}

// roughly is the most by which a measure's rounding may err, of the dose; beyond that it is to be weighed.
const roughly = 0.2

// Scoops tells the dose in those measures that can be filled to within a fifth of it; none where the product's density is
// not known.
func (d *Dose) Scoops(measures []*farm.Measure) []Scooped {
	volume, ok := d.Volume()
	if !ok {
		return nil
	}
	var all []Scooped
	for _, m := range measures {
		if s := feeding.Scoop(volume, m.Volume.Value.SI); s.Count() > 0 && math.Abs(s.Error) <= roughly*volume {
			all = append(all, Scooped{m, s.Spoken(m.Name.Value), s.Error / volume})
		}
	}
	return all
}

// Told says a dose as one measures it out, in the measure that comes nearest: "a scoop and a third, 14 oz".
func (fd *Feeding) Told(d *Dose) string {
	text := feeding.Weigh(d.Mass, fd.units).Text(fd.units)
	scoops := d.Scoops(fd.facts.Farm.Measures)
	if scoops == nil {
		return text
	}
	return slices.MinFunc(scoops, func(a, b Scooped) int { return cmp.Compare(math.Abs(a.Share), math.Abs(b.Share)) }).Spoken + ", " + text
}

// Salt is the N and K2O in the dose, kg.
func (d *Dose) Salt() float64 { return product(d.Product).Salt(d.Mass) }

// Place is where the dose goes.
func (d *Dose) Place() Item {
	if d.Planting != nil {
		return Item{Planting: d.Planting}
	}
	return Item{Row: d.Row}
}

// add takes a dose into the account.
func (fd *Feeding) add(d *Dose) {
	fd.Doses = append(fd.Doses, d)
	if d.Planting == nil {
		return
	}
	n := fd.Plantings[d.Planting.Number-1]
	n.Doses = append(n.Doses, d)
	low, high := d.Gives()
	n.Low, n.High = n.Low.Plus(low.Scale(1/d.Area)), n.High.Plus(high.Scale(1/d.Area))
	n.Mid = n.Low.Plus(n.High).Scale(0.5)
}

// stocks gives what is at hand of each product, kg.
func (fd *Feeding) stocks(f *farm.Farm) map[*farm.Product]float64 {
	all := map[*farm.Product]float64{}
	for _, s := range f.Stocks {
		if p := stocked(f, s); p != nil && s.Amount.Value.Dim == quantity.Mass {
			all[p] += s.Amount.Value.SI
		}
	}
	return all
}

// stocked gives the product that a stock is of, by its handle or by its name; nil when it is of something else.
func stocked(f *farm.Farm, s *farm.Stock) *farm.Product {
	if s.Of() != nil {
		return s.Product
	}
	for _, p := range f.Products {
		if plain(p.Name.Value) == plain(s.Name.Value) {
			return p
		}
	}
	return nil
}

func (fd *Feeding) addProducts(f *farm.Farm) {
	stock := fd.stocks(f)
	by := map[*farm.Product]*ProductFeeding{}
	for _, p := range f.Products {
		by[p] = &ProductFeeding{Product: p, Stock: stock[p], First: season.None}
	}
	for _, s := range f.Stocks {
		if use := by[stocked(f, s)]; use != nil && use.Decl == nil {
			use.Decl = s
		}
	}
	for _, d := range fd.Doses {
		use := by[d.Product]
		use.Used += d.Mass
		if !use.First.IsSet() {
			use.First = d.Day
		}
	}
	for _, p := range f.Products {
		if use := by[p]; use.Used > 0 || use.Stock > 0 {
			fd.Products = append(fd.Products, use)
		}
	}
}

// Uses gives the fertilizers and amendments that are fed.
func (fd *Feeding) Uses() []Use {
	var uses []Use
	for _, d := range fd.Doses {
		p := d.Product
		w := Ware{Kind: FertilizerWare, Of: p, Name: p.Name.Value, Pack: p.Pack.Value, Price: p.Price.Value}
		if p.Amendment() {
			w.Kind = AmendmentWare
		}
		if p.Pack.Given {
			w.PackName = "bag"
		} else {
			w.Price = 0 // the price is that of a pack
		}
		uses = append(uses, Use{Ware: w, Amount: quantity.Of(d.Mass, quantity.Mass), By: d.Day, For: "fed", Where: d.Place()})
	}
	return uses
}

// events gives the days of feeding.
func (fd *Feeding) events(all []Event) []Event {
	for _, d := range fd.Doses {
		if !d.Day.IsSet() {
			continue
		}
		all = append(all, Event{
			On: d.Day, Until: season.None, Do: "feed", What: d.Product.Name.Value, Where: d.Place(),
			Note: fd.Told(d) + ", " + d.Feed.Placement.Value,
		})
	}
	return all
}
