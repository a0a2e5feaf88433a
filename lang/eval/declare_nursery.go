package eval

import (
	"haulm/lang/farm"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

func nurseryBuiltins() []*Builtin {
	return []*Builtin{
		{
			Name: "tray", Also: []string{"plug_tray", "cell_tray", "flat", "seed_tray"}, Group: "nursery", Free: 1, Returns: "a tray",
			Summary: "a kind of tray that seed is sown in",
			Doc:     "A planting is sown in it by `plant(..., tray = plugs)`.",
			Example: `plugs = tray(128)`,
			Params: []Param{
				whole("cells", "in one tray").required().between(1, 1000).also("holes", "plugs", "size"),
				text("name", "what it is called, such as \"deep plug tray\"").also("label"),
				length("length", "outside").or("21 * inch", quantity.Meters(21*inch)).above(0, 3),
				length("width", "outside").or("11 * inch", quantity.Meters(11*inch)).above(0, 3),
				number("price", "of one, in the farm's money").between(0, 1e6).also("cost"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.Tray{
					Decl: c.decl(), Name: c.text("name"), Cells: c.whole("cells"), Length: c.quantity("length"),
					Width: c.quantity("width"), Price: c.number("price"),
				}
				c.ev.farm.Trays = append(c.ev.farm.Trays, d)
				return c.ev.handle(trayHandle, d)
			},
		},
		{
			Name: "pot", Also: []string{"pots", "container"}, Group: "nursery", Free: 1, Returns: "a pot",
			Summary: "a kind of pot that seedlings are stepped up into",
			Doc:     "A planting is stepped up into it by `plant(..., tray = plugs, pot = fours)`.",
			Example: `fours = pot(4 * inch)`,
			Params: []Param{
				length("width", "across the rim; it stands on a square of that side").required().above(0, 1).also("size", "diameter"),
				text("name", "what it is called").also("label"),
				number("price", "of one, in the farm's money").between(0, 1e6).also("cost"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.Pot{Decl: c.decl(), Name: c.text("name"), Width: c.quantity("width"), Price: c.number("price")}
				c.ev.farm.Pots = append(c.ev.farm.Pots, d)
				return c.ev.handle(potHandle, d)
			},
		},
		{
			Name: "nursery", Also: []string{"greenhouse", "glasshouse", "propagation", "seedling_house"}, Group: "nursery", Returns: "a nursery",
			Summary: "where the plan's transplants are raised, once in a plan",
			Doc: "Every `plant(...)` with a tray is raised in it: its trays and pots take bench from sowing until they go " +
				"out to harden off, and a place on the heat mat until the seed is up.",
			Example: `nursery(bench = 96 * sqft, mat_places = 6, mat_temperature = degf(78))`,
			Params: []Param{
				measure("bench", quantity.Area, "that trays and pots may stand on").required().above(0, 1e6).also("area", "bench_area", "space"),
				text("name", "what it is called").also("label"),
				measure("temperature", quantity.Temperature, "of the potting mix in the house").between(freezing-10, freezing+50),
				whole("mat_places", "trays that have room on heat mats; as many as need one when not given").between(0, 100_000).also("mats"),
				measure("mat_temperature", quantity.Temperature, "of the potting mix on the mats").between(freezing-10, freezing+50),
				measure("spare", quantity.Ratio, "seedlings raised beyond the plants that are set out").
					or("10 * percent", quantity.Of(0.1, quantity.Ratio)).between(0, 5).also("extra"),
				days("step_up_after", "from sowing to stepping up into pots").or("21", 21).between(1, 365),
				days("harden_off", "outdoors before planting day").or("7", 7).between(0, 60).also("hardening"),
			},
			build: buildNursery,
		},
	}
}

func buildNursery(c *call) starlark.Value {
	if first := c.ev.farm.Nursery; first != nil {
		c.ev.report(c.finding(secondNursery, c.callee, "a second nursery is declared; the first one counts").
			related(first.Call, "the first one"))
		return poison{}
	}
	d := &farm.Nursery{
		Decl: c.decl(), Name: c.text("name"), Bench: c.quantity("bench"), Temperature: c.quantity("temperature"),
		MatPlaces: c.whole("mat_places"), MatTemperature: c.quantity("mat_temperature"), Spare: c.quantity("spare"),
		StepUp: c.daysOr("step_up_after"), Harden: c.daysOr("harden_off"),
	}
	c.ev.farm.Nursery = d
	return c.ev.handle(nurseryHandle, d)
}
