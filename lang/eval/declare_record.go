package eval

import (
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

func recordBuiltins() []*Builtin {
	where := handleOf("where", "the planting, or the row, plot or crop; or its name, such as \"Lower bench/3/okra\"", "planting", "row", "plot", "crop").
		orName().also("planting", "row", "plot", "crop", "place", "what_of")
	note := text("note", "what else there is to say").also("notes", "remark", "comment", "because")
	took := measure("took", quantity.Time, "time of all hands together").between(0, 10_000*3600).usually("hours").also("takes", "time", "duration")
	return []*Builtin{
		{
			Name: farm.Done, Also: []string{"did", "finished", "happened"}, Group: "record", Free: 2, Returns: "a record",
			Summary: "says that a job was done, and when",
			Doc: "What is done is a job of the plan, as `haulm show labor --by job` names it, or a task. The day of `planting`, `sowing`, " +
				"`tray sowing` and `clearing` takes the place of the planned one, and what follows moves with it. Where several plantings " +
				"are in the place, it is the one planned nearest to that day.",
			Example: `peppers = plant(first, bell_pepper, fill = True, on = "2027-05-15")` + "\n" +
				`done("planting", peppers, on = "2027-05-19", stand = 25, took = 40 * minutes)` + "\n" +
				`done("weeding", bench, on = "2027-06-02", took = 2 * hours)`,
			Params: []Param{
				text("what", "the job").required().also("job", "task", "name", "work"),
				where,
				date("on", "the day").required().also("date", "day", "when"),
				took,
				whole("stand", "plants that stand after it, over all lines").between(0, 1_000_000_000).also("plants", "count", "planted", "came_up"),
				note,
			},
			build: func(c *call) starlark.Value {
				d := c.newRecord()
				d.What, d.Plants = c.text("what"), c.whole("stand")
				return c.keep(d)
			},
		},
		{
			Name: farm.Lost, Also: []string{"died", "dead", "losses"}, Group: "record", Free: 2, Returns: "a record",
			Summary: "says that plants were lost",
			Doc:     "They lower the harvest from that day on; without a day, all of it.",
			Example: `peppers = plant(first, bell_pepper, fill = True, on = "2027-05-15")` + "\n" +
				`lost(peppers, 6, on = "2027-06-03", note = "cutworms")`,
			Params: []Param{
				where.required(),
				whole("count", "plants lost").required().between(1, 1_000_000_000).also("plants", "number", "amount"),
				date("on", "the day").also("date", "day", "when"),
				note,
			},
			build: func(c *call) starlark.Value {
				d := c.newRecord()
				d.Plants = c.whole("count")
				return c.keep(d)
			},
		},
		{
			Name: farm.Harvested, Also: []string{"picked", "gathered", "cut"}, Group: "record", Free: 1, Returns: "a record",
			Summary: "says what was harvested on a day",
			Doc: "The first such day takes the place of the planned first harvest. Give the mass, or the number of what the crop is sold by. " +
				"What is harvested of several plantings at once is shared among them by their plants.",
			Example: `peppers = plant(first, bell_pepper, fill = True, on = "2027-05-15")` + "\n" +
				`harvested(peppers, mass = 42 * lb, on = "2027-08-02", took = 1.5 * hours)`,
			Params: []Param{
				where.required(),
				measure("mass", quantity.Mass, "that was harvested").between(0, 1e6).usually("lb").also("amount", "weight", "yield", "harvest"),
				number("count", "that was harvested, of what the crop is sold by").between(0, 1e9).also("pieces", "number", "units"),
				date("on", "the day").required().also("date", "day", "when"),
				took,
				note,
			},
			build: func(c *call) starlark.Value {
				if !c.givesOne("how much is harvested", "mass", "count") {
					return poison{}
				}
				d := c.newRecord()
				d.What = farm.Text{Value: "picking", Span: c.callee}
				d.Mass, d.Count = c.quantity("mass"), c.number("count")
				return c.keep(d)
			},
		},
		{
			Name: "record", Also: []string{"records", "logbook", "journal", "diary"}, Group: "record", Free: 1, Returns: "a record file",
			Summary: "reads what happened from a file",
			Doc: "A comma-separated file below the plan's root, its path relative to the file that names it. The first line names the " +
				"columns: `date`, `plot`, `row`, `crop`, `what`, and as far as they are wanted `plants`, `hours`, `weight (lb)`, `pieces` and " +
				"`note`. What is a job, `lost` or `harvested`. The row is its name or number; a cell may be empty where the rest says enough. " +
				"A second planting of a crop in one row is called `crop/2`. Lines that begin with # are left out.",
			Example: `record("./record.csv")`,
			Params: []Param{
				text("file", "path of the file").required(),
			},
			build: buildRecordFile,
		},
	}
}

// newRecord takes the arguments that done, lost and harvested share.
func (c *call) newRecord() *farm.Record {
	d := &farm.Record{
		Decl: c.decl(), On: c.date("on"), Plot: handleArg[*farm.Plot](c, "where"), Row: handleArg[*farm.Row](c, "where"),
		Planting: handleArg[*farm.Planting](c, "where"), Crop: handleArg[*farm.Crop](c, "where"), Where: c.text("where"),
		WhereSpan: c.spanOf("where"), Note: c.text("note"),
	}
	if c.of.Param("took") != nil {
		d.Took = c.quantity("took")
	}
	return d
}

func (c *call) keep(d *farm.Record) starlark.Value {
	c.ev.farm.Records = append(c.ev.farm.Records, d)
	return c.ev.handle(recordHandle, d)
}

func buildRecordFile(c *call) starlark.Value {
	d := &farm.RecordFile{Decl: c.decl(), File: c.text("file")}
	text, problem := c.ev.readBeside(c.module, d.File.Value)
	if problem != nil {
		problem.Primary.Span = d.File.Span
		c.ev.report(problem.chain(d.Chain))
		return poison{}
	}
	r := newRecordReader(source.New(beside(c.module, d.File.Value), text), c.season(), c.ev.units)
	r.read()
	if err := c.ev.charge(len(r.records) * cellsPerDeclaration); err != nil {
		return poison{}
	}
	for _, f := range r.found {
		c.ev.report(f.related(c.span, diag.CalledFrom).chain(d.Chain))
	}
	if len(r.unread) > 0 && r.headed {
		verb := "is"
		if len(r.unread) > 1 {
			verb = "are"
		}
		c.ev.report(finding(unreadColumn, d.File.Span, "%s: %s %s not read; columns are %s", d.File.Value, quoteList(r.unread, "and"), verb, recordColumnNames()).
			chain(d.Chain))
	}
	for _, one := range r.records {
		c.ev.order++
		one.Order, one.Chain = c.ev.order, append([]source.Span{c.span}, d.Chain...)
	}
	c.ev.farm.Records = append(c.ev.farm.Records, r.records...)
	c.ev.farm.RecordFiles = append(c.ev.farm.RecordFiles, d)
	return c.ev.handle(recordFileHandle, d)
}
