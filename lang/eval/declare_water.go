package eval

import (
	"strings"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

func waterBuiltins() []*Builtin {
	return []*Builtin{
		{
			Name: "water_source", Also: []string{"source", "well", "spring", "pump", "water"}, Group: "water", Free: 1, Returns: "a water source",
			Summary: "where water comes from, and how much of it",
			Doc:     "Drinking water behind a hose or a feeder needs a backflow preventer; local codes say which.",
			Example: `spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)`,
			Params: []Param{
				text("name", "what it is called").required(),
				measure("flow", quantity.Flow, "what it gives at its pressure").required().above(0, 1).also("rate", "flow_rate"),
				measure("pressure", quantity.Pressure, "at that flow").required().above(0, 2e6),
				number("hours_per_week", "hours in a week that it may run").between(0, 168),
				measure("season_volume", quantity.Volume, "what there is in a season").above(0, 1e7),
				choice("backflow", "what keeps water from running back into the source",
					"none", "air gap", "atmospheric vacuum breaker", "pressure vacuum breaker", "double check valve", "reduced pressure zone"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.WaterSource{
					Decl: c.decl(), Name: c.text("name"), Flow: c.quantity("flow"), Pressure: c.quantity("pressure"),
					HoursPerWeek: c.number("hours_per_week"), SeasonVolume: c.quantity("season_volume"), Backflow: c.text("backflow"),
				}
				c.ev.farm.Sources = append(c.ev.farm.Sources, d)
				return c.ev.handle(sourceHandle, d)
			},
		},
		{
			Name: "drip_tape", Also: []string{"tape", "drip", "drip_line", "dripline"}, Group: "water", Returns: "a drip tape",
			Summary: "a kind of drip tape, as its label describes it",
			Example: `tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)`,
			Params: []Param{
				length("emitter_spacing", "from emitter to emitter").required().above(0, 3).also("spacing"),
				measure("flow", quantity.LineFlow, "of each length of tape").required().above(0, 0.01),
				measure("at", quantity.Pressure, "the pressure at which it gives that flow").required().above(0, 5e5),
				number("exponent", "how the flow follows the pressure: 0.5 for plain emitters, near 0 for compensating ones").or("0.5", 0.5).between(0, 1),
				length("inside_diameter", "of the tape").or("0.625 * inch", quantity.Meters(0.625*inch)).above(0, 0.1),
				choice("emitter", "how the emitters are made", "slit", "hole", "molded").or(`"slit"`, "slit"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.DripTape{
					Decl: c.decl(), EmitterSpacing: c.quantity("emitter_spacing"), Flow: c.quantity("flow"),
					At: c.quantity("at"), Exponent: c.number("exponent"), InsideDiameter: c.quantity("inside_diameter"),
					Emitter: c.text("emitter"),
				}
				c.ev.farm.Tapes = append(c.ev.farm.Tapes, d)
				return c.ev.handle(tapeHandle, d)
			},
		},
		{
			Name: "pipe", Also: []string{"hose", "main", "mainline"}, Group: "water", Returns: "a pipe",
			Summary: "a run of pipe",
			Example: `pipe(length = 120 * ft, inside_diameter = 1 * inch, material = "polyethylene")`,
			Params: []Param{
				length("length", "of the run").required().above(0, 50_000),
				length("inside_diameter", "of the pipe").required().above(0, 2),
				choice("material", "of the wall", "polyethylene", "pvc", "aluminum", "steel", "copper", "layflat").or(`"polyethylene"`, "polyethylene"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.Pipe{
					Decl: c.decl(), Length: c.quantity("length"), InsideDiameter: c.quantity("inside_diameter"),
					Material: c.text("material"),
				}
				c.ev.farm.Pipes = append(c.ev.farm.Pipes, d)
				return c.ev.handle(pipeHandle, d)
			},
		},
		{
			Name: "zone", Also: []string{"valve", "irrigation_zone"}, Group: "water", Free: 1, Returns: "a zone",
			Summary: "the rows behind one valve",
			Doc:     "Rows join a zone by `row(..., zone = fruiting)`.",
			Example: `fruiting = zone("fruiting", source = spring, tape = tape, regulator = 10 * psi)`,
			Params: []Param{
				text("name", "what it is called").required(),
				handle("source", "water_source", "where its water comes from").required().also("water", "supply_from"),
				handle("tape", "drip_tape", "what lies in its rows").also("drip"),
				measure("regulator", quantity.Pressure, "what the regulator lets through").above(0, 1e6),
				measure("filter", quantity.Pressure, "what filter and fittings take at the zone's flow").between(0, 1e6),
				handle("supply", "pipe", "the line from the source to the rows"),
				handle("header", "pipe", "the line along the rows' heads"),
				text("together", "zones that share this word are open at the same time"),
				flag("fertigated", "fertilizer is fed through the water"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.Zone{
					Decl: c.decl(), Name: c.text("name"), Source: handleArg[*farm.WaterSource](c, "source"),
					Tape: handleArg[*farm.DripTape](c, "tape"), Regulator: c.quantity("regulator"),
					Filter: c.quantity("filter"), Supply: handleArg[*farm.Pipe](c, "supply"),
					Header: handleArg[*farm.Pipe](c, "header"), Together: c.text("together"), Fertigated: c.flag("fertigated"),
				}
				c.ev.farm.Zones = append(c.ev.farm.Zones, d)
				return c.ev.handle(zoneHandle, d)
			},
		},
	}
}

func valueBuiltins() []*Builtin {
	// zero is the absolute one: nothing is colder (the kelvin's definition, SI Brochure, 9th ed.).
	temperature := func(name, scale string, zero float64, of func(float64) quantity.Quantity) *Builtin {
		return &Builtin{
			Name: name, Also: []string{strings.ToLower(scale)}, Group: "values", Free: 1, Returns: "a temperature",
			Summary: "a temperature in degrees " + scale,
			Example: name + "(28)",
			Params:  []Param{number("degrees", "on the scale").required().between(zero, 10_000)},
			build: func(c *call) starlark.Value {
				return quantityValue{of(c.number("degrees").Value), c.ev}
			},
		}
	}
	return []*Builtin{
		{
			Name: "date", Group: "values", Free: 1, Returns: "a date",
			Summary: "a day of the calendar, to reckon with",
			Doc: "Where a date is wanted its text alone will do. `+` and `-` move a date by a time, the difference " +
				"of two dates is a time, and `.year`, `.month`, `.day` are its parts.",
			Example: `date("2027-05-01") + 10 * days`,
			Params:  []Param{date("text", `year-month-day, "2027-05-01"`).required()},
			build: func(c *call) starlark.Value {
				s, _ := c.slot("text")
				of, _ := s.value.(dateValue)
				return dateValue{c.date("text").Value, c.ev, of.from}
			},
		},
		temperature("degf", "Fahrenheit", -459.67, quantity.Fahrenheit),
		temperature("degc", "Celsius", -273.15, quantity.Celsius),
	}
}
