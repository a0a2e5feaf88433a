package eval

import (
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

const varietyName = "variety"

// cropParams are the values of a crop that a plan can set.
func cropParams(complete bool) []Param {
	must := func(p Param) Param {
		if complete {
			return p.required()
		}
		return p
	}
	return slices.Concat([]Param{
		text("name", "what it is called").required().also("called"),
		must(param("family", Type{Kind: KindText, Family: true}, "botanical family, such as \"Solanaceae\"")),
		must(length("spacing", "in the line").above(0, 50).orRange()).also("space", "in_row"),
		must(length("row_spacing", "from line to line of neighbouring rows").above(0, 50).orRange()).also("between_rows"),
		choice("start", "how it is usually started", "transplant", "direct", "either"),
		days("days_to_maturity", "to the first harvest, counted as the seed packet does: from setting out or from sowing, whichever `haulm doc` shows for the crop").orRange(),
		days("harvest_window", "from the first harvest to the last").orRange(),
		days("tray_time", "from sowing in trays to planting out").orRange().also("tray", "weeks_in_tray"),
		choice("frost", "how it stands frost", "hardy", "half-hardy", "tender", "very tender").also("hardiness"),
		length("depth", "of seed").between(0, 1).orRange(),
		length("height", "of the grown plant").above(0, 20).orRange(),
		length("spread", "of the grown plant").above(0, 20).orRange(),
		measure("yield_per_length", quantity.LineMass, "harvest from each length of row").between(0, 100).orRange(),
		measure("yield_per_plant", quantity.Mass, "harvest from each plant").between(0, 1000).orRange(),
		choice("sale_unit", "what it is sold by", saleUnits...).also("sold_by", "unit"),
		measure("unit_mass", quantity.Mass, "of one of what it is sold by, where that is no unit of mass").above(0, 1000).also("bunch_weight", "unit_weight"),
		measure("loss", quantity.Ratio, "share of the harvest that is not sold; a tenth when not given").between(0, 0.95).also("cull", "culls", "waste"),
		measure("germination", quantity.Ratio, "share of the seed that sprouts, as the packet or a test says").above(0, 1).also("germination_rate"),
		measure("seeds_per_weight", quantity.PerMass, "seeds in a weight, such as 4000 / oz").above(0, 1e8).also("seed_count"),
		whole("pack_seeds", "seeds in a pack").between(1, 10_000_000).also("pack", "packet"),
		measure("pack_weight", quantity.Mass, "of a pack of seed").above(0, 1000),
		number("pack_price", "of a pack of seed, in the farm's money").between(0, 1e6).also("price", "cost"),
	}, degreeParams())
}

func varietyBuiltin() *Builtin {
	return &Builtin{
		Name: varietyName, Also: []string{"cultivar"}, Group: "planting", Free: 1, Returns: "a crop",
		Summary: "a variety of a crop: the crop's values, with those given here in their place",
		Doc:     "Called on a crop: `bell_pepper.variety(\"Lantern Red\", days_to_maturity = 72)`. The seed packet's days to maturity belong here.",
		Example: `sweet = bell_pepper.variety("Lantern Red", days_to_maturity = 72)`,
		Params:  withoutParams(cropParams(false), "family"),
		build:   buildVariety,
	}
}

func buildVariety(c *call) starlark.Value {
	of := c.receiver.(*farm.Crop)
	of.MarkUsed()
	d := &farm.Crop{Decl: c.decl(), Crop: of.Crop, Seed: of.Seed, Sale: of.Sale}
	d.Variety = c.text("name").Value
	c.setValues(&d.Crop)
	c.setSeed(d)
	c.setSale(d)
	c.ev.farm.Crops = append(c.ev.farm.Crops, d)
	return c.ev.handle(cropHandle, d)
}

func buildCrop(c *call) starlark.Value {
	d := &farm.Crop{Decl: c.decl()}
	d.Name, d.Family = c.text("name").Value, c.text("family").Value
	d.FamilySource = crops.Stated{Grade: crops.GradePlan, Source: "this plan"}
	d.Transplant, d.Direct = true, true
	c.setValues(&d.Crop)
	c.setSeed(d)
	c.setSale(d)
	c.ev.farm.Crops = append(c.ev.farm.Crops, d)
	return c.ev.handle(cropHandle, d)
}

// setValues puts what the plan says of a crop in the place of what the table says.
func (c *call) setValues(d *crops.Crop) {
	if start := c.text("start"); start.Given {
		d.Transplant, d.Direct = start.Value != "direct", start.Value != "transplant"
	}
	if frost := c.text("frost"); frost.Given {
		d.Frost, _ = crops.ParseFrost(frost.Value)
		d.FrostSource = crops.Stated{Grade: crops.GradePlan, Source: "this plan"}
		d.OffsetLastFrost = crops.Range{}
	}
	c.setRange("spacing", &d.InRow)
	c.setRange("row_spacing", &d.BetweenRows)
	c.setRange("depth", &d.Depth)
	c.setRange("height", &d.Height)
	c.setRange("spread", &d.Spread)
	c.setYield(d)
	c.setRange("harvest_window", &d.HarvestDays)
	if c.isGiven("days_to_maturity") {
		c.setMaturity(d)
	}
	c.setDegrees(d)
	if c.isGiven("tray_time") {
		c.setRange("tray_time", &d.TrayWeeks)
		d.TrayWeeks.Low, d.TrayWeeks.High = d.TrayWeeks.Low/7, d.TrayWeeks.High/7
	}
}

// setSeed puts what the plan says of a crop's seed in the place of what was known.
func (c *call) setSeed(d *farm.Crop) {
	c.setRange("germination", &d.Germination)
	c.setRange("seeds_per_weight", &d.SeedsPerMass)
	if c.isGiven("pack_seeds") {
		d.PackSeeds = c.whole("pack_seeds")
	}
	if c.isGiven("pack_weight") {
		d.PackWeight = c.quantity("pack_weight")
	}
	if c.isGiven("pack_price") {
		d.PackPrice = c.number("pack_price")
	}
}

// setYield makes the plan's word on one yield rule over the table's on any other.
func (c *call) setYield(d *crops.Crop) {
	if !c.isGiven("yield_per_length") && !c.isGiven("yield_per_plant") {
		return
	}
	d.YieldPerLength, d.YieldPerPlant = crops.Range{}, crops.Range{}
	c.setRange("yield_per_length", &d.YieldPerLength)
	c.setRange("yield_per_plant", &d.YieldPerPlant)
}

// setSale puts what the plan says of how a crop is sold in the place of what the table says.
func (c *call) setSale(d *farm.Crop) {
	if unit := c.text("sale_unit"); unit.Given {
		d.SaleUnit, d.SaleSource = unit.Value, crops.Stated{Text: unit.Value, Grade: crops.GradePlan, Source: "this plan"}
		d.UnitMass = farm.Amount{} // was that of another unit
	}
	if mass := c.quantity("unit_mass"); mass.Given {
		d.UnitMass = mass
	}
	if loss := c.quantity("loss"); loss.Given {
		d.Loss = loss
	}
}

// setMaturity counts the days from where the table counts them for this crop, as seed packets do: from
// setting out or from sowing; where the table says neither or both, from either.
func (c *call) setMaturity(d *crops.Crop) {
	out, seed := d.MaturityTransplant.Known(), d.MaturitySeed.Known()
	if out == seed {
		out, seed = d.Transplant, d.Direct
	}
	d.MaturityTransplant, d.MaturitySeed = crops.Range{}, crops.Range{}
	if out {
		c.setRange("days_to_maturity", &d.MaturityTransplant)
	}
	if seed {
		c.setRange("days_to_maturity", &d.MaturitySeed)
	}
}

func (c *call) setRange(name string, r *crops.Range) {
	s, p := c.slot(name)
	if s.state != given {
		return
	}
	high := s.high
	if !p.Type.Range {
		high = s.q
	}
	*r = crops.Range{Low: s.q.SI, High: high.SI, Dim: p.Type.Dim, Grade: crops.GradePlan, Source: "this plan"}
}

// cropNames are the crops of the table, one handle each for the whole run.
func (ev *evaluator) cropNames() starlark.StringDict {
	if ev.crops == nil {
		ev.crops = starlark.StringDict{}
		for _, c := range crops.All() {
			ev.crops[c.Ident] = ev.handle(cropHandle, &farm.Crop{Crop: *c})
		}
	}
	return ev.crops
}
