package check

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
)

// fedGround begins the examples: a tested plot with a row of peppers.
const fedGround = `load("crops", "bell_pepper")
farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft, soil = soil(texture = "sandy loam",
    test = soil_test(method = "mehlich-3", ph = 6.4, p = 20 * ppm, k = 40 * ppm, on = "2026-10-20")))
first = row(bench, at = 20 * ft)
plant(first, bell_pepper, fill = True, spacing = 18 * inch, on = "2027-05-15")
`

var nutrientShort = &diag.Rule{
	Code: "nutrient-short", Severity: diag.Warning,
	Summary: "a planting is fed less than it needs",
	Explain: `The need of a planting is the plan's own (` + "`need(...)`" + `), else what the laboratory recommends, else that of a table by crop
and soil-test rating. Against it stand the plot's credits and all that is fed, nitrogen at the middle of what becomes available
in the season. Reported is less than nine tenths of the lower end of the need, in plots in which something is fed.

Feed more of it, take a product that has it, or let ` + "`feed(..., to_need = True)`" + ` find the amount.`,
	Example: fedGround + `meal = fertilizer("feather meal", analysis = "12-0-0", available = 70 * percent)
need(bell_pepper, n = 110 * lb / acre)
feed(first, meal, rate = 200 * lb / acre)
`,
	Source: "the need's own source, as `haulm show feeding --why` names it; nine tenths: common practice",
}

var nutrientOver = &diag.Rule{
	Code: "nutrient-over", Severity: diag.Warning,
	Summary: "a planting is fed much more than it needs, or too much nitrogen at once",
	Explain: `More nitrogen than a crop takes up is washed out or makes leaves instead of fruit. Reported is nitrogen of more than five
quarters of the upper end of the need, phosphate of more than one and a half times, and potash of more than twice that; always by more
than 20 lb/acre. Blended products do so when they are fed for their nitrogen, late dressings above all. For phosphate on rich soil see
phosphorus-on-rich-soil. Reported too is more nitrogen in one application than the plan's ` + "`n_at_once`" + ` allows.

Feed less, take a product that has only what is lacking, or split it so that what comes late can be left out.`,
	Example: fedGround + `meal = fertilizer("feather meal", analysis = "12-0-0", available = 70 * percent)
need(bell_pepper, n = 110 * lb / acre, p2o5 = 0 * lb / acre, k2o = 0 * lb / acre)
feed(first, meal, rate = 3000 * lb / acre)
`,
	Source: "common practice",
}

var phosphorusOnRich = &diag.Rule{
	Code: "phosphorus-on-rich-soil", Severity: diag.Warning,
	Summary: "phosphate is fed to soil that has enough of it",
	Explain: `Where the soil test rates phosphorus very high, or the need of phosphate is none, more of it feeds streams and not the
crop. Reported is more than 10 lb/acre of P2O5 beyond the need. Composts, manures and bone meal bring phosphate along with their
nitrogen.

Take a product without phosphate. Many states limit it by law on such soil: ask before you spread.`,
	Example: strings.Replace(fedGround, "p = 20 * ppm", "p = 180 * ppm", 1) + `need(bell_pepper, n = 0 * lb / acre, k2o = 0 * lb / acre)
bone = fertilizer("bone meal", analysis = "2-27-0")
feed(first, bone, rate = 300 * lb / acre)
`,
	Source: "the laboratory's table; common practice",
}

var cannotMeet = &diag.Rule{
	Code: "product-cannot-meet-need", Severity: diag.Warning,
	Summary: "no mix of the products meets the need",
	Explain: `` + "`feed(..., to_need = True)`" + ` looks for the cheapest mix of its products that gives what the need still lacks. There is none
when no product has a nutrient that is lacking, or when a limit stands against it: phosphate where the soil is rich, salt near seed,
nitrogen in one application. Reported too is a crop whose need is not known. Nothing is fed by that feeding until it is mended.

Add a product that has what is missing, one without what is too much, or give part of it another way.`,
	Example: fedGround + `meal = fertilizer("feather meal", analysis = "12-0-0", available = 70 * percent)
need(bell_pepper, n = 110 * lb / acre, k2o = 80 * lb / acre)
feed(first, meal, to_need = True)
`,
	Source: "linear programming: every limit is taken away in turn",
}

var notEnoughStock = &diag.Rule{
	Code: "not-enough-in-stock", Severity: diag.Note,
	Summary: "the feedings use more of a product than is in stock",
	Explain: `What all feedings use of a product is set against what ` + "`stock(...)`" + ` says is at hand. What is missing stands in the
shopping list, in whole packs. Products without a stock are not reported.`,
	Example: fedGround + `meal = fertilizer("feather meal", analysis = "12-0-0", pack = 50 * lb)
need(bell_pepper, n = 150 * lb / acre, p2o5 = 0 * lb / acre, k2o = 0 * lb / acre)
stock(meal, 2 * lb)
feed(first, meal, rate = 2000 * lb / acre)
`,
	Source: "arithmetic",
}

// Margins of the balance.
const (
	shortFed      = 0.9
	overNitrogen  = 1.25
	overPhosphate = 1.5
	overPotash    = 2
	poundAcre     = 0.45359237 / 4046.8564224
	overBy        = 20 * poundAcre
	richBy        = 10 * poundAcre
)

// feedings holds what is fed against what is needed, and products against their stock.
func (p *pass) feedings() {
	if len(p.farm.Feeds) == 0 {
		return
	}
	fd := p.facts.Feeding()
	fed := map[*derive.Plot]bool{}
	for _, d := range fd.Doses {
		fed[d.Row.Plot] = true
	}
	failed := map[*derive.Planting]bool{}
	for _, f := range worst(fd.Failed) {
		p.noMix(fd, f)
	}
	for _, f := range fd.Failed {
		for _, pl := range f.Plantings {
			failed[pl] = true
		}
	}
	for _, n := range fd.Plantings {
		if n.Sure() && fed[n.Planting.Row.Plot] && n.Area > 0 {
			p.balance(n, failed[n.Planting])
		}
	}
	p.atOnce(fd)
	for _, use := range fd.Products {
		if use.Stock > 0 && use.Used > use.Stock*(1+1e-9) {
			p.beyondStock(use)
		}
	}
	p.feedingDays(fd)
}

func (p *pass) perArea(v float64) string { return p.units.Format(quantity.Of(v, quantity.AreaMass)) }

// mass prints a mass as a scale shows it.
func (p *pass) mass(v float64) string {
	return feeding.Weigh(v, p.units).Text(p.units)
}

// nutrientName is the grower's word for a nutrient.
func nutrientName(n feeding.Nutrient) string {
	switch n {
	case feeding.N:
		return "nitrogen"
	case feeding.P2O5:
		return "phosphate (P2O5)"
	case feeding.K2O:
		return "potash (K2O)"
	}
	return string(n)
}

func (p *pass) balance(n *derive.PlantingFeeding, failed bool) {
	low, high := n.Need.Low(), n.Need.High()
	var short []feeding.Nutrient
	for _, nutrient := range feeding.Fed() {
		fed, least, most := n.Mid.Of(nutrient), low.Of(nutrient), high.Of(nutrient)
		has, over := fed, most*overPotash
		switch nutrient {
		case feeding.N:
			has, over = fed+n.Credit.Mid(), most*overNitrogen
		case feeding.P2O5:
			over = most * overPhosphate
		}
		switch {
		case has < least*shortFed && !failed:
			short = append(short, nutrient)
		case nutrient == feeding.P2O5 && n.Rich() && fed > most+richBy:
			why := "it needs " + p.perArea(most) + " on soil that is rich in it"
			if most == 0 {
				why = "it needs none, for the soil has enough"
			}
			p.overfed(n, nutrient, phosphorusOnRich, fed-most, why+". Take a product without phosphate")
		case fed > 0 && has > over && has > most+overBy:
			p.overfed(n, nutrient, nutrientOver, has-most, "")
		}
	}
	if short != nil {
		p.underfed(n, short)
	}
}

// needHelp says whose need it is.
func needHelp(n *derive.PlantingFeeding, nutrients ...feeding.Nutrient) string {
	names, unverified := n.NeedBy(nutrients...)
	if names == "" {
		return ""
	}
	text := "need by " + names
	if unverified {
		text += "; " + feeding.Unverified
	}
	return text
}

func (p *pass) underfed(n *derive.PlantingFeeding, short []feeding.Nutrient) {
	pl := n.Planting
	f := diag.Diagnostic{Rule: nutrientShort, Primary: diag.Label{Span: pl.Decl.Call, Text: "short of food"}, Help: needHelp(n, short...)}
	var lacks, more []string
	for _, nutrient := range short {
		has, least := n.Mid.Of(nutrient), n.Need.Low().Of(nutrient)
		if nutrient == feeding.N {
			has += n.Credit.Mid()
		}
		lacks = append(lacks, fmt.Sprintf("%s of %s, where it needs %s", p.perArea(has), nutrientName(nutrient), p.perArea(least)))
		more = append(more, p.mass((least-has)*n.Area)+" of "+string(nutrient))
		f.Values = append(f.Values, diag.Value{Name: string(nutrient), Text: p.perArea(has)}, diag.Value{Name: string(nutrient) + " needed", Text: p.perArea(least)})
	}
	f.Message = fmt.Sprintf("%s gets %s. Feed its ground %s more", where(pl), strings.Join(lacks, "; "), some(more))
	if held := p.held(n); held != "" && slices.Contains(short, feeding.N) {
		f.Message += ": " + held
	}
	told := map[*farm.Feed]bool{}
	for _, d := range n.Doses {
		if !told[d.Feed] {
			told[d.Feed] = true
			f.Related = append(f.Related, diag.Label{Span: d.Feed.Call, Text: "fed here"})
		}
	}
	p.report(&pl.Decl.Decl, where(pl), f)
}

// overfed blames the last feeding that brings half of what is too much, else the one that brings most of it.
func (p *pass) overfed(n *derive.PlantingFeeding, nutrient feeding.Nutrient, rule *diag.Rule, surplus float64, why string) {
	pl := n.Planting
	has := n.Mid.Of(nutrient)
	var most *derive.Dose
	largest := 0.0
	for _, d := range n.Doses {
		low, high := d.Gives()
		if g := (low.Of(nutrient) + high.Of(nutrient)) / 2; g > largest || g >= surplus*d.Area/2 {
			largest, most = g, d
		}
	}
	if rule == nutrientOver {
		why = fmt.Sprintf("it needs no more than %s. Feed less of %s", p.perArea(n.Need.High().Of(nutrient)), most.Product.Name.Value)
		if c := n.Credit.Mid(); nutrient == feeding.N && c > 0 {
			why = "the plot gives another " + p.perArea(c) + ", and " + why
		}
		if nutrient != feeding.N && most.Product.Analysis.Value.N > 0 {
			why += ", or bring its nitrogen by a product without " + nutrientName(nutrient)
		}
	}
	p.report(&most.Feed.Decl, where(pl), diag.Diagnostic{
		Rule:    rule,
		Message: fmt.Sprintf("%s gets %s of %s; %s", where(pl), p.perArea(has), nutrientName(nutrient), why),
		Primary: diag.Label{Span: most.Feed.Call, Text: fmt.Sprintf("%s gives %s", most.Product.Name.Value, p.perArea(largest/most.Area))},
		Values:  []diag.Value{{Name: "gets", Text: p.perArea(has)}},
		Help:    needHelp(n, nutrient),
	})
}

// worst leaves of the failures of one feeding at one place the one that lacks most: its dressings lack the same.
func worst(all []*derive.FeedFailure) []*derive.FeedFailure {
	type place struct {
		feed *farm.Feed
		pl   *derive.Planting
	}
	at := map[place]int{}
	var left []*derive.FeedFailure
	for _, f := range all {
		key := place{f.Feed, f.Plantings[0]}
		i, again := at[key]
		switch {
		case !again:
			at[key] = len(left)
			left = append(left, f)
		case lacking(f) > lacking(left[i]):
			left[i] = f
		}
	}
	return left
}

func lacking(f *derive.FeedFailure) int {
	var no *feeding.NoMixError
	if !errors.As(f.Why, &no) {
		return 0
	}
	return len(no.Lacking) + len(no.Conflicts)
}

func (p *pass) noMix(fd *derive.Feeding, fail *derive.FeedFailure) {
	if fail.Why == nil {
		p.needNotKnown(fd.Plantings[fail.Plantings[0].Number-1], fail.Feed)
		return
	}
	var names []string
	for _, product := range fail.Feed.Products {
		names = append(names, product.Name.Value)
	}
	pl := fail.Plantings[0]
	subject := where(pl)
	var why []string
	var no *feeding.NoMixError
	if errors.As(fail.Why, &no) {
		for _, l := range no.Lacking {
			if l.Absent {
				why = append(why, fmt.Sprintf("%s of %s is needed and none of it has any", p.perArea(l.Need/fail.Area), nutrientName(l.Nutrient)))
			} else {
				why = append(why, fmt.Sprintf("%s of %s is needed, and within the limits there is %s", p.perArea(l.Need/fail.Area),
					nutrientName(l.Nutrient), p.perArea(l.Most/fail.Area)))
			}
		}
		for _, c := range no.Conflicts {
			limit := "the limit of " + p.perArea(c.Limit/fail.Area) + " of " + nutrientName(c.Nutrient)
			if c.Nutrient == feeding.P2O5 {
				limit += " on this rich soil"
			} else if c.Nutrient == feeding.N {
				limit += " at once"
			} else if c.Nutrient == feeding.Salt {
				limit = "the limit of " + p.perArea(c.Limit/fail.Area) + " of salt (N and K2O) near seed"
			}
			why = append(why, limit+" would have to be "+p.perArea(c.Least/fail.Area))
		}
	}
	if why == nil {
		why = []string{fail.Why.Error()}
	}
	p.report(&fail.Feed.Decl, subject, diag.Diagnostic{
		Rule: cannotMeet,
		Message: fmt.Sprintf("%s cannot make up what %s lacks: %s. Add a product that has it, or one without what is too much",
			strings.Join(names, ", "), subject, strings.Join(why, "; ")),
		Primary: diag.Label{Span: fail.Feed.ItemSpan},
	})
}

// needNotKnown says why a feeding to need feeds nothing where no table has the crop; of a soil test that no table rates,
// method-unknown says it.
func (p *pass) needNotKnown(n *derive.PlantingFeeding, feed *farm.Feed) {
	if n.Unrated {
		return
	}
	p.report(&feed.Decl, where(n.Planting), diag.Diagnostic{
		Rule:    cannotMeet,
		Message: fmt.Sprintf("nothing is fed to %s, for what it needs is not known: %s", where(n.Planting), n.Unknown),
		Primary: diag.Label{Span: feed.ToNeed.Span, Text: "what is it?"},
	})
}

func (p *pass) beyondStock(use *derive.ProductFeeding) {
	name := use.Product.Name.Value
	decl := use.Decl
	exact := func(v float64) string { return p.units.Format(quantity.Of(v, quantity.Mass)) }
	p.report(&decl.Decl, name, diag.Diagnostic{
		Rule: notEnoughStock,
		Message: fmt.Sprintf("the feedings use %s of %s; %s is in stock. The shopping list has the %s that are missing", exact(use.Used), name,
			exact(use.Stock), exact(use.Used-use.Stock)),
		Primary: diag.Label{Span: decl.Amount.Span, Text: exact(use.Used-use.Stock) + " short"},
		Values:  []diag.Value{{Name: "used", Text: exact(use.Used)}, {Name: "stock", Text: exact(use.Stock)}},
	})
}
