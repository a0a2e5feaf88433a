package check

import (
	"fmt"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
)

var manureTooNear = &diag.Rule{
	Code: "manure-too-near-harvest", Severity: diag.Warning,
	Summary: "raw manure is worked in too short a time before harvest",
	Explain: `Raw manure carries what makes people ill. The organic rule asks for 120 days from working it in to harvest where
what is eaten touches the soil or is splashed by it, 90 days where it does not: that is believed here of corn and okra,
and of what a trellis holds up. Composted manure by the same rule, and compost, have no interval.

Spread it the fall before, compost it first, or feed something else. Your certifier, your buyers and local rules come first.`,
	Example: fedGround + `litter = amendment("fresh chicken manure", made = "raw manure")
need(bell_pepper, n = 0 * lb / acre, p2o5 = 0 * lb / acre, k2o = 0 * lb / acre)
feed(first, litter, rate = 1 * ton / acre, on = "2027-05-01")
`,
	Source: "7 CFR 205.203(c)(1)",
}

var saltNearSeed = &diag.Rule{
	Code: "salt-near-seed", Severity: diag.Warning,
	Summary: "more fertilizer salt lies near the seed than it stands",
	Explain: `Nitrogen and potash near seed draw water from it. In the furrow with the seed no more than 10 lb/acre of N and K2O
together in rows 30 in apart, in a band 2 in beside and below it no more than 80: the same for each length of row where rows stand
closer or farther apart. Half of that on sand and for small seed.

Broadcast it, put it on earlier or later, or band less.`,
	Example: `load("crops", "sweet_corn")
farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
first = row(bench, at = 20 * ft)
sow(first, sweet_corn, fill = True, spacing = 9 * inch, on = "2027-05-15")
ten = fertilizer("garden fertilizer", analysis = "10-10-10")
feed(first, ten, rate = 400 * lb / acre, stage = "at planting", placement = "in furrow")
`,
	Source: "common practice; " + feeding.Unverified,
}

var sideDressAfterHarvest = &diag.Rule{
	Code: "side-dress-after-harvest", Severity: diag.Warning,
	Summary: "something is fed when everything there is harvested",
	Explain: `On the day of the feeding every planting of the place has had its last harvest or is cleared: nothing takes it up, and
what dissolves is washed out over winter. Nothing is fed by it in the tables.

Feed earlier, or leave it out. What is spread in the fall for the next year belongs in next year's plan.`,
	Example: fedGround + `meal = fertilizer("feather meal", analysis = "12-0-0")
feed(first, meal, rate = 200 * lb / acre, on = "2027-12-10")
`,
	Source: "the order of days",
}

// above are crops whose harvest neither touches the soil nor is splashed by it.
var above = []string{"sweet_corn", "early_sweet_corn", "late_sweet_corn", "okra"}

func touchesSoil(pl *derive.Planting) bool {
	return pl.Row.Decl.Trellis == nil && !slices.Contains(above, pl.Decl.Crop.Ident)
}

// feedingDays holds the days and places of feedings against harvest and seed.
func (p *pass) feedingDays(fd *derive.Feeding) {
	for _, in := range fd.Injected {
		p.otherRows(in)
	}
	for _, feed := range fd.Late {
		p.report(&feed.Decl, "", diag.Diagnostic{
			Rule: sideDressAfterHarvest,
			Message: fmt.Sprintf("on %s everything that %s is for has had its last harvest. Feed earlier, or leave it out",
				p.day(feed.On.Value), productNames(feed)),
			Primary: diag.Label{Span: feed.On.Span, Text: "after the last harvest"},
		})
	}
	type near struct {
		feed *farm.Feed
		pl   *derive.Planting
	}
	salt := map[near]float64{}
	var order []*derive.Dose
	for _, d := range fd.Doses {
		if d.Planting == nil || !d.Day.IsSet() {
			continue
		}
		if d.Product.Made.Value == "raw manure" {
			p.manure(d)
		}
		if _, ok := derive.SaltLimit(d.Feed, d.Planting, d.Day); ok {
			key := near{d.Feed, d.Planting}
			if _, again := salt[key]; !again {
				order = append(order, d)
			}
			salt[key] += d.Salt()
		}
	}
	for _, d := range order {
		limit, _ := derive.SaltLimit(d.Feed, d.Planting, d.Day)
		if has := salt[near{d.Feed, d.Planting}] / d.Length; has > limit.LineMass*(1+1e-6) {
			p.salty(d, has, limit)
		}
	}
}

func productNames(feed *farm.Feed) string {
	names := make([]string, len(feed.Products))
	for i, product := range feed.Products {
		names[i] = product.Name.Value
	}
	return some(names)
}

func (p *pass) manure(d *derive.Dose) {
	pl := d.Planting
	touches := touchesSoil(pl)
	if !pl.FirstHarvest.IsSet() || d.Day <= feeding.LatestManure(pl.FirstHarvest, touches) {
		return
	}
	latest := feeding.LatestManure(pl.FirstHarvest, touches)
	f := diag.Diagnostic{
		Rule: manureTooNear,
		Message: fmt.Sprintf("%s, raw, is spread on %s, %s before %s is first picked on %s; %s must lie between. Spread it by %s, or compost it first",
			d.Product.Name.Value, p.day(d.Day), days(pl.FirstHarvest.DaysSince(d.Day)), where(pl), p.day(pl.FirstHarvest),
			count(feeding.ManureDays(touches), "1 day", "%d days"), p.day(latest)),
		Primary: diag.Label{Span: d.Feed.Call, Text: "raw manure"},
		Related: labels(diag.Label{Span: d.Product.Made.Span, Text: "raw"}, d.Feed.Call),
		Help:    "7 CFR 205.203(c)(1); your certifier, your buyers and local rules come first",
	}
	if d.Feed.On.Given {
		f.Primary.Span = d.Feed.On.Span
		f.Fixes = change(p, &d.Feed.Decl, &d.Feed.On, "on", dateText(latest), "Spread it on "+p.day(latest))
	}
	p.report(&d.Feed.Decl, where(pl), f)
}

func (p *pass) salty(d *derive.Dose, has float64, limit feeding.SaltLimit) {
	line := func(v float64) string { return p.units.Format(quantity.Of(v, quantity.LineMass)) }
	near := "beside"
	if d.Feed.Placement.Value == "in furrow" {
		near = "with"
	}
	p.report(&d.Feed.Decl, where(d.Planting), diag.Diagnostic{
		Rule: saltNearSeed,
		Message: fmt.Sprintf("%s gets %s of N and K2O %s its seed; it stands %s. Broadcast it, or put no more than %s of %s there",
			where(d.Planting), line(has), near, line(limit.LineMass), line(d.Mass/d.Length*limit.LineMass/has), d.Product.Name.Value),
		Primary: diag.Label{Span: d.Feed.Placement.Span, Text: near + " the seed"},
		Values:  []diag.Value{{Name: "salt", Text: line(has)}, {Name: "limit", Text: line(limit.LineMass)}},
		Help:    limit.Source.Title + "; " + feeding.Unverified,
		Fixes:   change(p, &d.Feed.Decl, &d.Feed.Placement, "placement", `"broadcast"`, "Broadcast it"),
	})
}
