package eval

import (
	"haulm/lang/farm"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

// saleUnits are what crops are sold by.
var saleUnits = []string{
	"lb", "oz", "kg", "g", "bunch", "head", "each", "dozen", "stem", "pint", "quart", "bag", "box", "crate", "bushel",
}

func laborBuiltins() []*Builtin {
	return []*Builtin{
		{
			Name: "crew", Also: []string{"labor", "labour", "workers", "team", "hands"}, Group: "labor", Returns: "a crew",
			Summary: "says how many hours of work a week has",
			Example: `crew(hours_per_week = 44, by_month = {"may": 60 * hours, "jun": 60 * hours})`,
			Params: []Param{
				number("hours_per_week", "hours of all hands together").required().between(0, 10_000).also("hours"),
				measure("carry", quantity.Mass, "weight of a full crate or sack as your crew lifts it, for the caution about lifting; the usual pack of each crop when not given").
					above(0, 200).also("lift", "crate", "load"),
				months("by_month", quantity.Time, "hours of a week in months that have more or fewer").between(0, 400*24*3600).usually("hours"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.Crew{Decl: c.decl(), HoursPerWeek: c.number("hours_per_week"), Carry: c.quantity("carry"), ByMonth: c.months("by_month")}
				c.ev.farm.Crews = append(c.ev.farm.Crews, d)
				return c.ev.handle(crewHandle, d)
			},
		},
		{
			Name: "task", Also: []string{"job", "work", "chore", "todo"}, Group: "labor", Free: 1, Returns: "a task",
			Summary: "extra work, or your own rate for a job that the plan makes itself",
			Doc: "The plan makes its own jobs out of what it grows: `haulm show labor` lists them. A task of the same " +
				"name gives your own time for that job, everywhere or in one place or for one crop; any other name is " +
				"work of its own, which needs a day, and may be done until another, again and again, or after a job.",
			Example: `task("weeding", per_length = 20 * minutes / (100 * ft))` + "\n" +
				`task("mow the paths", takes = 2 * hours, on = "2027-05-03", until = "2027-09-27", every = 3 * weeks)`,
			Params: []Param{
				text("name", "what is done, such as \"weeding\"").required().also("job", "what", "do"),
				handleOf("where", "the plot, row, planting or crop that it is for; the whole farm when not given", "plot", "row", "planting", "crop").
					also("row", "plot", "crop", "place", "on_"),
				measure("takes", quantity.Time, "all hands together, each time it is done").between(0, 400*24*3600).usually("hours").also("hours", "time", "duration"),
				measure("per_length", quantity.LineTime, "for each length of row").between(0, 1e5).also("rate", "per_row"),
				measure("per_area", quantity.AreaTime, "for each area").between(0, 1e4),
				measure("per_plant", quantity.Time, "for each plant").between(0, 24*3600).usually("seconds"),
				measure("picked", quantity.MassRate, "that one person picks or washes in a time").above(0, 10).also("pick_rate"),
				date("on", "the day, or the first on which it may be done").also("date", "day", "when", "start"),
				date("until", "the last day on which it may be done").also("end", "to", "by"),
				days("every", "from one time to the next").between(1, 366).also("interval", "repeat"),
				text("after", "the job that must be done before it").also("follows", "needs"),
			},
			build: buildTask,
		},
		{
			Name: "price", Also: []string{"sale_price", "sells_for"}, Group: "labor", Free: 2, Returns: "a price",
			Summary: "what a crop is sold for, in the farm's own money",
			Example: `price(bell_pepper, 2.50, per = "lb")`,
			Params: []Param{
				handle("crop", "crop", "the crop, or one variety of it").required().also("item", "of"),
				number("amount", "of money").required().between(0, 1e6).also("price", "money", "value"),
				choice("per", "what it buys; what the crop is sold by when not given", saleUnits...).also("unit", "each"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.Price{Decl: c.decl(), Crop: handleArg[*farm.Crop](c, "crop"), Amount: c.number("amount"), Per: c.text("per")}
				c.ev.farm.Prices = append(c.ev.farm.Prices, d)
				return c.ev.handle(priceHandle, d)
			},
		},
		{
			Name: "want", Also: []string{"demand", "wanted", "order", "market"}, Group: "labor", Free: 1, Returns: "a want",
			Summary: "what the household or the market asks of a crop in a week",
			Doc: "Of a crop it is met by all its varieties, of a variety by that one. Without days it counts from the " +
				"crop's first harvest to its last.",
			Example: `want(bell_pepper, mass = 40 * lb, on = "2027-07-19", until = "2027-09-26")`,
			Params: []Param{
				handle("crop", "crop", "the crop, or one variety of it").required().also("what", "item"),
				measure("mass", quantity.Mass, "in a week, when it is weighed").above(0, 1e6).also("amount", "weight", "per_week"),
				number("count", "in a week, of what the crop is sold by: bunches, heads").above(0, 1e7).also("number", "units", "pieces"),
				date("on", "the first day").also("start", "first", "begins"),
				date("until", "the last day").also("end", "last", "to"),
			},
			build: buildWant,
		},
	}
}

func buildTask(c *call) starlark.Value {
	if !c.givesOne("how long it takes", "takes", "per_length", "per_area", "per_plant", "picked") {
		return poison{}
	}
	d := &farm.Task{
		Decl: c.decl(), Name: c.text("name"), Plot: handleArg[*farm.Plot](c, "where"), Row: handleArg[*farm.Row](c, "where"),
		Planting: handleArg[*farm.Planting](c, "where"), Crop: handleArg[*farm.Crop](c, "where"), WhereSpan: c.spanOf("where"),
		Takes: c.quantity("takes"), PerLength: c.quantity("per_length"), PerArea: c.quantity("per_area"), PerPlant: c.quantity("per_plant"),
		Picked: c.quantity("picked"), On: c.date("on"), Until: c.date("until"), Every: c.days("every"), After: c.text("after"),
	}
	c.ev.farm.Tasks = append(c.ev.farm.Tasks, d)
	return c.ev.handle(taskHandle, d)
}

func buildWant(c *call) starlark.Value {
	if !c.givesOne("how much is wanted", "mass", "count") {
		return poison{}
	}
	d := &farm.Want{
		Decl: c.decl(), Crop: handleArg[*farm.Crop](c, "crop"), Mass: c.quantity("mass"), Count: c.number("count"),
		On: c.date("on"), Until: c.date("until"),
	}
	c.ev.farm.Wants = append(c.ev.farm.Wants, d)
	return c.ev.handle(wantHandle, d)
}
