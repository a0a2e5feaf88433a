package eval

import (
	"haulm/lang/farm"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

func protectionBuiltins() []*Builtin {
	return []*Builtin{
		{
			Name: "protectant", Also: []string{"pesticide", "fungicide", "insecticide"}, Group: "protection", Free: 1, Returns: "a protectant",
			Summary: "a product against pests or disease, as its label says",
			Doc: "Haulm holds no label: copy the intervals, the rate and the group from the one on your container. The label " +
				"is the law, also where this plan says otherwise; local rules may ask for a licensed applicator.",
			Example: `copper = protectant("copper", reentry = 48 * hours, preharvest = 1, group = "M01", rate = 1 * lb / acre, water = 50 * gal / acre)`,
			Params: []Param{
				text("name", "what it is called").required().also("product"),
				measure("reentry", quantity.Time, "from spraying until anyone may go in without the label's protective wear").required().between(0, 60*86400).usually("hours").
					also("rei", "re_entry", "entry"),
				days("preharvest", "from the last spraying to harvest").required().between(0, 365).also("phi", "pre_harvest", "wait"),
				text("group", "mode of action as the label prints it, such as \"M01\" or \"11\"").also("moa", "mode", "action"),
				measure("rate", quantity.AreaMass, "for each area, when it is weighed").above(0, 1).also("amount", "dose"),
				spread("liquid_rate", "for each area, when it is measured by volume").above(0, 0.01),
				spread("water", "that it is mixed with, for each area").above(0, 0.1).also("water_volume", "spray_volume"),
				whole("most", "applications that the label allows in a season").between(1, 200).also("max", "limit", "most_applications"),
				days("again_after", "that the label asks between two applications").between(0, 365).also("interval", "retreatment"),
				measure("pack", quantity.Mass, "of a pack, when it is weighed").above(0, 1e5),
				measure("liquid_pack", quantity.Volume, "of a pack, when it is measured by volume").above(0, 100),
				number("price", "of a pack, in the farm's money").between(0, 1e7).also("cost"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.Protectant{
					Decl: c.decl(), Name: c.text("name"), Reentry: c.quantity("reentry"), Preharvest: c.days("preharvest"),
					Group: c.text("group"), Rate: c.quantity("rate"), LiquidRate: c.quantity("liquid_rate"), Water: c.quantity("water"),
					Most: c.whole("most"), Again: c.days("again_after"), Pack: c.quantity("pack"),
					LiquidPack: c.quantity("liquid_pack"), Price: c.number("price"),
				}
				c.ev.farm.Protectants = append(c.ev.farm.Protectants, d)
				return c.ev.handle(protectantHandle, d)
			},
		},
		{
			Name: "protect", Also: []string{"spray", "protection"}, Group: "protection", Free: 2, Returns: "a protection",
			Summary: "puts a protectant on a row or a whole plot, once or every so often",
			Doc: "With `every` it is put on again and again from `on` until `until`, or until the last harvest of what grows " +
				"there. What is not planted yet, or cleared already, is left out.",
			Example: "copper = protectant(\"copper\", reentry = 48 * hours, preharvest = 1, group = \"M01\")\n" +
				"protect(first, copper, on = \"2027-06-14\", every = 10, until = \"2027-07-15\")",
			Params: []Param{
				handleOf("where", "the row, or the plot with all its rows", "row", "plot").required().also("row", "plot", "place"),
				handle("protectant", "protectant", "what is put on").required().also("product", "what", "with_"),
				date("on", "the day, or the first of several").required().also("date", "day", "when", "first", "start"),
				days("every", "from one application to the next; once when not given").between(1, 365).also("interval", "apart"),
				date("until", "the last day on which it may still be put on").also("end", "last", "to"),
			},
			build: buildProtect,
		},
	}
}

func buildProtect(c *call) starlark.Value {
	d := &farm.Protect{
		Decl: c.decl(), Row: handleArg[*farm.Row](c, "where"), Plot: handleArg[*farm.Plot](c, "where"), WhereSpan: c.spanOf("where"),
		Protectant: handleArg[*farm.Protectant](c, "protectant"), On: c.date("on"), Every: c.days("every"), Until: c.date("until"),
	}
	c.ev.farm.Protects = append(c.ev.farm.Protects, d)
	return c.ev.handle(protectHandle, d)
}
