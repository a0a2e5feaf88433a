package eval

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

// Words of a feeding's stage and placement.
var (
	feedStages = []string{
		string(feeding.BeforePlanting), "at planting", string(feeding.AfterPlanting), string(feeding.KneeHigh),
		string(feeding.VinesTipOver), string(feeding.BeforeBulbing), string(feeding.FirstFruit), string(feeding.FirstHarvest),
	}
	feedPlaces = []string{"broadcast", "band", "in furrow", "side-dress", "through the water"}
	amendments = []string{"raw manure", "composted manure", "compost", "lime", "other"}
)

// labelCaution stands in the documentation of what is spread.
const labelCaution = "The label is the law, also where this plan says otherwise: wear what it asks for, and keep off wells, streams and drains."

// atOnce bounds the nitrogen of one application.
func atOnce() Param {
	return measure("n_at_once", quantity.AreaMass, "the most nitrogen in one application, as it becomes available; no limit when not given").
		above(0, 0.2).also("most_n", "max_n", "n_cap", "n_limit", "cap")
}

func productParams(more ...Param) []Param {
	return append([]Param{
		text("name", "what it is called; where it is a generic material such as \"feather meal\", what is not given is taken from the table").
			required().also("product"),
	}, append(more,
		text("analysis", "the label's three numbers, N-P2O5-K2O, such as \"5-10-10\"").also("npk", "grade", "label"),
		measure("n", quantity.Ratio, "nitrogen, when the analysis is not given").between(0, 1).usually("percent").also("nitrogen"),
		measure("p2o5", quantity.Ratio, "phosphate, when the analysis is not given").between(0, 1).usually("percent").also("phosphate"),
		measure("k2o", quantity.Ratio, "potash, when the analysis is not given").between(0, 1).usually("percent").also("potash"),
		measure("available", quantity.Ratio, "share of its nitrogen that a crop gets in the season").between(0, 1).orRange().usually("percent").
			also("release", "availability"),
		measure("density", quantity.Density, "in the measure").above(0, 3000).also("bulk_density"),
		measure("pack", quantity.Mass, "of a bag or load").above(0, 1e6).also("bag", "sack"),
		number("price", "of a pack, in the farm's money").between(0, 1e7).also("cost"),
		flag("organic", "allowed in certified organic growing; ask your certifier"),
	)...)
}

func feedingBuiltins() []*Builtin {
	return []*Builtin{
		{
			Name: "fertilizer", Also: []string{"fertiliser", "plant_food", "meal"}, Group: "feeding", Free: 1, Returns: "a fertilizer",
			Summary: "a product that feeds plants, as its label says",
			Doc:     labelCaution,
			Example: `meal = fertilizer("feather meal", analysis = "12-0-0", available = (65 * percent, 80 * percent), pack = 50 * lb, price = 48)`,
			Params:  productParams(),
			build:   func(c *call) starlark.Value { return c.product(fertilizerHandle) },
		},
		{
			Name: "amendment", Also: []string{"manure", "compost", "lime", "limestone"}, Group: "feeding", Free: 1, Returns: "an amendment",
			Summary: "manure, compost or lime",
			Doc: "Raw manure is held against the days to harvest that 7 CFR 205.203(c) asks for; compost by that rule is not. " +
				"What a market, a certifier or a local rule asks beyond that comes first. " + labelCaution,
			Example: `litter = amendment("fresh chicken manure", made = "raw manure")`,
			Params: productParams(
				choice("made", "what it is", amendments...).required().also("kind", "type"),
				measure("neutralizing", quantity.Ratio, "calcium carbonate equivalent of lime").above(0, 2).usually("percent").also("cce"),
			),
			build: func(c *call) starlark.Value { return c.product(amendmentHandle) },
		},
		{
			Name: "measure", Also: []string{"scoop", "bucket", "can", "cup_measure"}, Group: "feeding", Free: 2, Returns: "a measure",
			Summary: "a scoop, can or bucket of your own, in which amounts are told",
			Example: `measure("scoop", 1.5 * cup)`,
			Params: []Param{
				text("name", "what it is called").required(),
				measure("volume", quantity.Volume, "that it holds when level full").required().above(0, 2).usually("cup").also("holds", "size"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.Measure{Decl: c.decl(), Name: c.text("name"), Volume: c.quantity("volume")}
				c.ev.farm.Measures = append(c.ev.farm.Measures, d)
				return c.ev.handle(measureHandle, d)
			},
		},
		{
			Name: "feed", Also: []string{"feeding", "fertilize", "fertilise", "side_dress", "sidedress", "topdress", "apply", "spread"},
			Group: "feeding", Free: 2, Returns: "a feeding",
			Summary: "feeds a plot, a row or a planting: by a rate, an amount, or what is missing of its need",
			Doc: "The ground of a row reaches halfway to its neighbors, and no farther than rows of its crop usually stand apart. " +
				"`to_need` takes the least-cost mix of the products that makes up what the need still lacks. Without a day or a " +
				"stage the nitrogen is split as the table has it for the crop: a part before planting with all phosphate and " +
				"potash, the rest as side-dressings. What `n_at_once` holds back of that goes on with the next dressing, and after the last with " +
				"more of them two weeks apart; of a feeding with its own day or stage it is left to another feeding. " + labelCaution,
			Example: "meal = fertilizer(\"feather meal\", pack = 50 * lb, price = 48)\n" +
				"feed(first, meal, line_rate = 4 * lb / (100 * ft), stage = \"before planting\", placement = \"band\")",
			Params: []Param{
				handleOf("where", "what is fed: all rows of a plot, a row, or one planting", "row", "plot", "planting").required().
					also("row", "plot", "planting", "place"),
				handleOf("products", "what is fed; several to mix to the need", "fertilizer", "amendment").orList().required().
					also("product", "what", "with_", "fertilizer", "amendment"),
				measure("rate", quantity.AreaMass, "of product for each area of ground").above(0, 50),
				measure("line_rate", quantity.LineMass, "of product for each length of row").above(0, 50).also("per_length"),
				measure("amount", quantity.Mass, "of product in all, parted by ground").above(0, 1e6).also("mass", "weight"),
				flag("to_need", "as much as the need lacks").also("need", "as_needed"),
				date("on", "the day").also("date", "day", "when"),
				choice("stage", "when it is done, by the plants", feedStages...).also("at", "time"),
				days("days", "after planting, for the stage \"after planting\"").between(0, 365),
				choice("placement", "how it is put on", feedPlaces...).or(`"broadcast"`, "broadcast").also("how", "method"),
				measure("solution", quantity.Volume, "of stock solution for each zone, fed through the water").above(0, 100).usually("gal").also("stock_solution", "tank"),
				measure("injection", quantity.Flow, "of stock solution into the line").above(0, 0.1).also("injector"),
				atOnce(),
			},
			build: buildFeed,
		},
		{
			Name: "need", Also: []string{"nutrient_need", "requirement", "recommendation"}, Group: "feeding", Free: 1, Returns: "a need",
			Summary: "what a crop or a plot is to be fed in the season, instead of what tables and laboratory say",
			Doc: "A nutrient that is left out is what the laboratory recommends, else what a table asks for by the soil test; without a " +
				"soil test it is none. Where none is needed, say so: `p2o5 = 0 * lb / acre`.",
			Example: `need(bell_pepper, n = 110 * lb / acre, p2o5 = 60 * lb / acre, k2o = 80 * lb / acre)`,
			Params: []Param{
				handleOf("of", "the crop, or the plot with all its crops", "crop", "plot").required().also("crop", "plot", "where"),
				measure("n", quantity.AreaMass, "nitrogen").between(0, 0.2).also("nitrogen"),
				measure("p2o5", quantity.AreaMass, "phosphate").between(0, 0.2).also("phosphate"),
				measure("k2o", quantity.AreaMass, "potash").between(0, 0.2).also("potash"),
				atOnce(),
			},
			build: func(c *call) starlark.Value {
				if says := []string{"n", "p2o5", "k2o", "n_at_once"}; !slices.ContainsFunc(says, func(s string) bool { return c.isGiven(s) || c.isBad(s) }) {
					c.ev.report(c.finding(amountNotClear, c.callee, "need does not say what is needed").
						label("add n, p2o5 or k2o"))
					return poison{}
				}
				d := &farm.Need{
					Decl: c.decl(), Plot: handleArg[*farm.Plot](c, "of"), Crop: handleArg[*farm.Crop](c, "of"),
					N: c.quantity("n"), P2O5: c.quantity("p2o5"), K2O: c.quantity("k2o"),
					AtOnce: c.quantity("n_at_once"),
				}
				c.ev.farm.Needs = append(c.ev.farm.Needs, d)
				return c.ev.handle(needHandle, d)
			},
		},
		{
			Name: "credit", Also: []string{"nitrogen_credit", "cover_crop"}, Group: "feeding", Free: 1, Returns: "a credit",
			Summary: "nitrogen that a plot gives without being fed: from a cover crop, a legume or earlier manure",
			Example: `credit(bench, legume = "vetch, healthy stand")`,
			Params: []Param{
				handle("plot", "plot", "the plot").required(),
				measure("n", quantity.AreaMass, "nitrogen, when you know it").between(0, 0.1).also("nitrogen_credit"),
				choice("legume", "the stand that grew before", legumes()...),
				measure("cover_crop", quantity.AreaMass, "dry matter of the cover crop, weighed").above(0, 5).also("dry_matter"),
				measure("nitrogen", quantity.Ratio, "share of nitrogen in that dry matter").or("3 * percent", quantity.Of(0.03, quantity.Ratio)).
					between(0, 0.1).usually("percent"),
				flag("turned_under", "the cover crop is worked in, not left on top"),
				measure("manure", quantity.AreaMass, "feedlot manure that was spread").above(0, 50),
				whole("years_ago", "years since the manure was spread").or("1", 1).between(1, 2),
				flag("organic_matter", "count what the soil test's organic matter gives; some laboratories have counted it already"),
			},
			build: buildCredit,
		},
	}
}

func legumes() []string {
	var names []string
	for _, l := range feeding.Legumes() {
		names = append(names, l.What)
	}
	return names
}

// product declares a fertilizer or an amendment; a generic material fills in what the plan does not say.
func (c *call) product(kind *Handle) starlark.Value {
	d := &farm.Product{
		Decl: c.decl(), Name: c.text("name"), Density: c.quantity("density"), Pack: c.quantity("pack"), Price: c.number("price"), Organic: c.flag("organic"),
	}
	if kind == amendmentHandle {
		d.Made, d.Neutralizing = c.text("made"), c.quantity("neutralizing")
	}
	known, isKnown := feeding.MaterialNamed(d.Name.Value)
	d.Analysis.Span = c.span
	if t := c.text("analysis"); t.Given {
		shares, err := feeding.ParseAnalysis(t.Value)
		if err != nil {
			f := c.finding(wrongType, t.Span, "analysis of %s: %s", c.of.Name, err)
			meant := strings.Join(strings.FieldsFunc(t.Value, func(r rune) bool { return !unicode.IsDigit(r) && r != '.' }), "-")
			if _, err := feeding.ParseAnalysis(meant); err == nil && isLiteral(t.Span) {
				f.fix(false, "Write "+meant, diag.Edit{Span: t.Span, Text: strconv.Quote(meant)})
			}
			c.ev.report(f)
			return poison{}
		}
		d.Analysis.Value, d.Analysis.Span, d.Analysis.Given = shares, t.Span, true
	} else if n, p, k := c.quantity("n"), c.quantity("p2o5"), c.quantity("k2o"); n.Given || p.Given || k.Given {
		d.Analysis.Value = feeding.Nutrients{N: n.Value.SI, P2O5: p.Value.SI, K2O: k.Value.SI}
		d.Analysis.Given = true
		for _, q := range []farm.Amount{k, p, n} {
			if q.Given {
				d.Analysis.Span = q.Span
			}
		}
	} else if isKnown && (known.AnalysisSource.Title != "" || kind == amendmentHandle) {
		d.Analysis.Value, d.AnalysisSource = known.Analysis, known.AnalysisSource
	} else if kind == fertilizerHandle && d.Name.Given && !slices.ContainsFunc([]string{"analysis", "n", "p2o5", "k2o"}, c.isBad) {
		c.noAnalysis(d)
	}
	if s, _ := c.slot("available"); s.state == given {
		d.Available.Value, d.Available.Span, d.Available.Given = feeding.Span{Low: s.q.SI, High: s.high.SI}, s.span, true
	} else if isKnown {
		d.Available.Value, d.ReleaseSource = known.Available, known.AvailableSource
	}
	if !d.Density.Given && isKnown && known.Density > 0 {
		d.Density.Value, d.DensitySource = quantity.Of(known.Density, quantity.Density), known.DensitySource
	}
	if !c.isGiven("organic") && isKnown {
		d.Organic.Value = known.Organic
	}
	c.ev.farm.Products = append(c.ev.farm.Products, d)
	return c.ev.handle(kind, d)
}

// noAnalysis tells of a fertilizer of which nothing is known but a name that no table has.
func (c *call) noAnalysis(d *farm.Product) {
	f := c.finding(amountNotClear, d.Name.Span, "%s has no analysis, and no table has a material of that name", d.Name.Value).
		help("give the label's three numbers: analysis = \"5-10-10\"")
	var names []string
	for _, m := range feeding.Materials() {
		names = append(names, m.Name)
	}
	if near := c.ev.nearest(d.Name.Value, names); near != "" && isLiteral(d.Name.Span) {
		f.fix(false, "Write "+strconv.Quote(near), diag.Edit{Span: d.Name.Span, Text: strconv.Quote(near)})
	}
	c.ev.report(f)
}

func buildFeed(c *call) starlark.Value {
	if !c.givesOne("how much is fed", "rate", "line_rate", "amount", "to_need") {
		return poison{}
	}
	d := &farm.Feed{
		Decl: c.decl(), Plot: handleArg[*farm.Plot](c, "where"), Row: handleArg[*farm.Row](c, "where"),
		Planting: handleArg[*farm.Planting](c, "where"), WhereSpan: c.spanOf("where"),
		Products: handleList[*farm.Product](c, "products"), ItemSpan: c.spanOf("products"),
		Rate: c.quantity("rate"), LineRate: c.quantity("line_rate"), Amount: c.quantity("amount"), ToNeed: c.flag("to_need"),
		On: c.date("on"), Stage: c.text("stage"), Days: c.days("days"), Placement: c.text("placement"),
		Solution: c.quantity("solution"), Injection: c.quantity("injection"),
		AtOnce: c.quantity("n_at_once"),
	}
	if len(d.Products) > 1 && !d.ToNeed.Value {
		c.ev.report(c.finding(wrongType, d.ItemSpan, "feed mixes %d products without to_need; a rate or an amount is of one product", len(d.Products)).
			help("write to_need = True, or a feed(...) for each product"))
		return poison{}
	}
	if d.On.Given && d.Stage.Given {
		c.ev.report(c.finding(wrongType, d.Stage.Span, "feed has a day and a stage; give one of them"))
	}
	if d.Days.Given && !d.On.Given && !d.Stage.Given {
		d.Stage = farm.Text{Value: string(feeding.AfterPlanting), Span: d.Days.Span, Given: true}
	}
	const water = "through the water"
	if in := []farm.Amount{d.Solution, d.Injection}; d.Placement.Value != water && (in[0].Given || in[1].Given) {
		at := in[0].Span
		if !in[0].Given {
			at = in[1].Span
		}
		if d.Placement.Given {
			c.ev.report(c.finding(wrongType, d.Placement.Span, "feed is put on by %s and has a stock solution, which goes through the water; give one of them",
				d.Placement.Value))
		} else {
			d.Placement = farm.Text{Value: water, Span: at, Given: true}
		}
	}
	c.ev.farm.Feeds = append(c.ev.farm.Feeds, d)
	return c.ev.handle(feedHandle, d)
}

func buildCredit(c *call) starlark.Value {
	if !c.givesOne("where the nitrogen comes from", "n", "legume", "cover_crop", "manure", "organic_matter") {
		return poison{}
	}
	d := &farm.Credit{
		Decl: c.decl(), Plot: handleArg[*farm.Plot](c, "plot"), N: c.quantity("n"), Legume: c.text("legume"),
		CoverCrop: c.quantity("cover_crop"), Nitrogen: c.quantity("nitrogen"), TurnedUnder: c.flag("turned_under"),
		Manure: c.quantity("manure"), YearsAgo: c.whole("years_ago"), OrganicMatter: c.flag("organic_matter"),
	}
	c.ev.farm.Credits = append(c.ev.farm.Credits, d)
	return c.ev.handle(creditHandle, d)
}
