package eval

import (
	"slices"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

func plantingBuiltins() []*Builtin {
	params := []Param{
		handle("row", "row", "the row it goes into").required(),
		handle("crop", "crop", "what is planted").required(),
		whole("count", "plants in each line").between(1, 1_000_000).also("number", "plants", "quantity", "amount", "n"),
		length("length", "from the first plant to the last").above(0, 5000),
		flag("fill", "as many plants as there is room for").also("full", "fill_row"),
		length("spacing", "in the line; the middle of the crop's range when not given").above(0, 50).also("space", "distance", "apart", "in_row"),
		length("start", "of the first plant from the row's head; the first place with room when not given").between(0, 5000),
		date("on", "the day it goes into the row").also("date", "day", "when", "planted", "planted_on", "planting_date"),
		date("sown_on", "the day the seed is sown in the tray; worked back from planting day when not given").also("sown", "seeded", "seeded_on", "sow_date"),
		days("days_to_maturity", "from planting day to the first harvest").also("maturity", "dtm"),
		days("harvest_window", "from the first harvest to the last").also("harvest", "harvest_days"),
		date("until", "the day the place is free again; the day after the last harvest when not given").also("end", "to", "clear"),
		measure("soil_temperature", quantity.Temperature, "at sowing depth on the day of sowing, measured").between(freezing-40, freezing+60),
		handle("tray", "tray", "what the seed is sown in").also("trays", "flat"),
		handle("pot", "pot", "what the seedlings are stepped up into").also("pots", "step_up"),
		whole("seeds_per_cell", "sown in each cell, of which one seedling is kept").or("1", 1).between(1, 50),
		measure("yield_per_length", quantity.LineMass, "harvest from each length of line, instead of the crop's").between(0, 100).also("yield"),
		text("succession", "name shared by plantings that should follow without a gap in the harvest").also("series", "group"),
	}
	doc := "Say how much by exactly one of `count`, `length` and `fill`. Plants own half their spacing on either " +
		"side; the first and last plant of a row may stand at its very ends, so a 48 ft row at 2 ft holds 25. " +
		"Two crops may share a place in turn when their dates do not overlap."
	return []*Builtin{
		{
			Name: "plant", Also: []string{"transplant", "set_out", "plant_out", "planting"}, Group: "planting", Free: 2, Returns: "a planting",
			Summary: "sets plants out of trays, or sets and crowns, into a row",
			Doc:     doc,
			Example: `plant(first, eggplant, count = 10, spacing = 24 * inch, on = here.last_frost + 3 * weeks)`,
			Params:  params,
			build:   func(c *call) starlark.Value { return buildPlanting(c, false) },
		},
		{
			Name: "sow", Also: []string{"seed", "direct_seed", "direct_sow", "sowing", "drill"}, Group: "planting", Free: 2, Returns: "a planting",
			Summary: "sows seed straight into a row",
			Doc:     doc + " Days to maturity count from sowing.",
			Example: `sow(salad, radish, fill = True, spacing = 1 * inch, on = "2027-04-10")`,
			Params:  alsoCalled(withoutParams(params, "sown_on", "tray", "pot", "seeds_per_cell"), "on", "sown_on", "sown", "seeded", "seeded_on"),
			build:   func(c *call) starlark.Value { return buildPlanting(c, true) },
		},
		{
			Name: "crop", Group: "planting", Free: 1, Returns: "a crop",
			Summary: "a crop of the plan's own, when the table does not have it",
			Doc:     "Every value is the plan's word. For a variety of a crop of the table, `tomato.variety(...)` changes only what differs.",
			Example: `tulsi = crop("holy basil", family = "Lamiaceae", spacing = (8 * inch, 12 * inch), row_spacing = 18 * inch, start = "transplant", days_to_maturity = 60)`,
			Params:  cropParams(true),
			build:   buildCrop,
		},
	}
}

func withoutParams(params []Param, names ...string) []Param {
	return slices.DeleteFunc(slices.Clone(params), func(p Param) bool { return slices.Contains(names, p.Name) })
}

// alsoCalled adds words that growers try for one of the parameters.
func alsoCalled(params []Param, name string, words ...string) []Param {
	for i := range params {
		if params[i].Name == name {
			params[i].Also = slices.Concat(params[i].Also, words)
		}
	}
	return params
}

func buildPlanting(c *call, direct bool) starlark.Value {
	if !c.amountIsClear() || c.isBad("spacing") || c.isBad("start") {
		return poison{} // where it stands cannot be known
	}
	d := &farm.Planting{
		Decl: c.decl(),
		Row:  handleArg[*farm.Row](c, "row"), RowSpan: c.spanOf("row"),
		Crop: handleArg[*farm.Crop](c, "crop"), CropSpan: c.spanOf("crop"),
		Count: c.whole("count"), Length: c.quantity("length"), Fill: c.flag("fill"),
		Spacing: c.quantity("spacing"), Start: c.quantity("start"), On: c.date("on"), Direct: direct,
		Maturity: c.days("days_to_maturity"), Harvest: c.days("harvest_window"), Until: c.date("until"),
		SoilTemperature: c.quantity("soil_temperature"), Succession: c.text("succession"), Yield: c.quantity("yield_per_length"),
	}
	if direct {
		d.SownOn = fieldOf(c, &slot{}, d.On.Value)
	} else {
		d.SownOn = c.date("sown_on")
		d.Tray, d.Pot, d.PerCell = handleArg[*farm.Tray](c, "tray"), handleArg[*farm.Pot](c, "pot"), c.whole("seeds_per_cell")
	}
	c.ev.farm.Plantings = append(c.ev.farm.Plantings, d)
	return c.ev.handle(plantingHandle, d)
}

// amountIsClear holds that exactly one of count, length and fill is said.
func (c *call) amountIsClear() bool {
	var said []string
	for _, name := range []string{"count", "length"} {
		if c.isGiven(name) {
			said = append(said, name)
		}
		if c.isBad(name) {
			return false
		}
	}
	if c.isBad("fill") {
		return false
	}
	if c.flag("fill").Value {
		said = append(said, "fill")
	}
	return c.saidOnce(said, "how much is planted", "count", "length", "fill")
}

// saidOnce holds that exactly one of several arguments is given, of which these are.
func (c *call) saidOnce(said []string, what string, names ...string) bool {
	switch len(said) {
	case 1:
		return true
	case 0:
		f := c.finding(amountNotClear, c.callee, "%s does not say %s", c.of.Name, what).
			label("add "+list(names, "or")).help("give exactly one of %s", list(names, "and"))
		if slices.Contains(names, "fill") {
			f.fix(false, "Fill the row", c.insertArgument("fill = True"))
		}
		c.ev.report(f)
	default:
		c.ev.report(c.finding(amountNotClear, c.spanOf(said[1]), "%s says %s in %d ways: %s", c.of.Name, what, len(said), list(said, "and")).
			related(c.spanOf(said[0]), "said here").help("keep one of them"))
	}
	return false
}

// givesOne holds that exactly one of several arguments is given, and that none of them is bad.
func (c *call) givesOne(what string, names ...string) bool {
	var said []string
	for _, name := range names {
		if c.isBad(name) {
			return false
		}
		if c.isGiven(name) {
			said = append(said, name)
		}
	}
	return c.saidOnce(said, what, names...)
}

func (c *call) isBad(name string) bool {
	s, _ := c.slot(name)
	return s.state == bad
}

// insertArgument adds a named argument after the last one of the call.
func (c *call) insertArgument(text string) diag.Edit {
	at := c.callee
	at.Start = at.End
	if n := len(c.syntax.Args); n > 0 {
		last := c.module.ready.span(c.syntax.Args[n-1])
		at.Start, at.End = last.End, last.End
		return diag.Edit{Span: at, Text: ", " + text}
	}
	at.Start.Col++
	at.End.Col++
	return diag.Edit{Span: at, Text: text}
}
