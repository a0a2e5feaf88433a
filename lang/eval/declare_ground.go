package eval

import (
	"strconv"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
	star "go.starlark.net/syntax"
)

// Textures of the USDA triangle.
var textures = []string{
	"sand", "loamy sand", "sandy loam", "loam", "silt loam", "silt", "sandy clay loam", "clay loam",
	"silty clay loam", "sandy clay", "silty clay", "clay",
}

func groundBuiltins() []*Builtin {
	rowParams := []Param{
		length("start", "of the row's head from the plot's first end; the headland when not given").between(0, 5000),
		length("length", "of the row; between the headlands when not given").above(0, 5000).also("long"),
		whole("lines", "lines of plants side by side in the bed").or("1", 1).between(1, 50).also("line_count"),
		length("line_spacing", "between the lines of a bed").above(0, 5).also("between_lines"),
		flag("staggered", "every second line is shifted by half the spacing in the line"),
		length("bed_width", "from edge to edge; between the outer lines when not given").above(0, 20).also("width", "bed"),
		handle("zone", "zone", "the valve that waters it").also("valve"),
		whole("tapes", "lines of drip tape side by side in the row or bed").or("1", 1).between(1, 20).also("drip_tapes", "drip_lines"),
	}
	return []*Builtin{
		{
			Name: "plot", Also: []string{"field", "block", "garden", "parcel", "area"}, Group: "ground", Free: 1, Returns: "a plot",
			Summary: "a rectangle of ground with rows along its length",
			Doc: "Rows are placed by their distance from the plot's first side, and plants by their distance from " +
				"the row's head. With `bearing = 0` the rows run north, the first side is the west one and the " +
				"first end the south one; the bearing turns the whole plot clockwise.",
			Example: `bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)`,
			Params: []Param{
				text("name", "what the plot is called").required(),
				length("length", "along the rows").required().above(0, 5000).also("long"),
				length("width", "across the rows").required().above(0, 5000).also("wide", "breadth"),
				length("headland", "kept free at each end of the rows").or("0", quantity.Meters(0)).between(0, 100).also("headlands", "margin"),
				number("bearing", "degrees clockwise from north in which the rows run").or("0", 0.0).between(-360, 360).also("direction", "heading", "orientation"),
				handle("soil", "soil", "what it is made of"),
				measure("slope", quantity.Ratio, "how much the ground falls from the rows' heads to their ends; negative where it climbs").
					or("0", quantity.Of(0, quantity.Ratio)).between(-0.5, 0.5),
				length("east", "of the plot's corner from the farm's, for the map").between(-50_000, 50_000),
				length("north", "of the plot's corner from the farm's, for the map").between(-50_000, 50_000),
			},
			build: buildPlot,
		},
		{
			Name: "soil", Group: "ground", Returns: "a soil",
			Summary: "says what a plot is made of",
			Example: `soil(texture = "sandy loam")`,
			Params: []Param{
				choice("texture", "the class of the USDA triangle", textures...).required().also("type", "kind"),
				handle("test", "soil_test", "what the laboratory found"),
			},
			build: func(c *call) starlark.Value {
				d := &farm.Soil{Decl: c.decl(), Texture: c.text("texture"), Test: handleArg[*farm.SoilTest](c, "test")}
				c.ev.farm.Soils = append(c.ev.farm.Soils, d)
				return c.ev.handle(soilHandle, d)
			},
		},
		{
			Name: "soil_test", Also: []string{"lab_test"}, Group: "ground", Returns: "a soil test",
			Summary: "a laboratory's report on a plot's soil",
			Doc: "The extractant is part of every figure: results by different methods are never compared. Give what the " +
				"report prints: ppm, a mass for each area, or an index. Where the report says how much to feed, give that " +
				"too (`n`, `p2o5`, `k2o`, `lime`): it rules over every table.",
			Example: `soil_test(method = "mehlich-3", ph = 6.1, p = 38 * ppm, k = 71 * ppm)`,
			Params: []Param{
				choice("method", "the extractant", "mehlich-1", "mehlich-3", "bray-1", "olsen", "morgan", "modified morgan", "ammonium acetate").required(),
				text("lab", "whose table rates it, such as \"rutgers\"; the best known for the method when not given").also("laboratory"),
				number("ph", "in water").between(2, 11),
				number("buffer_ph", "in the buffer, as the report prints it").between(2, 11),
				number("target_ph", "what lime is to bring it to").between(4, 8),
				measure("p", quantity.Ratio, "phosphorus, as the element").between(0, 0.01).orMeasure(quantity.AreaMass).usually("ppm"),
				measure("k", quantity.Ratio, "potassium, as the element").between(0, 0.01).orMeasure(quantity.AreaMass).usually("ppm"),
				number("p_index", "phosphorus where the laboratory prints an index").between(0, 10_000),
				number("k_index", "potassium where the laboratory prints an index").between(0, 10_000),
				length("depth", "of the sample; 6-2/3 in when not given").above(0, 2),
				measure("organic_matter", quantity.Ratio, "share of the soil by mass").between(0, 1),
				date("on", "day of the sample"),
				measure("n", quantity.AreaMass, "nitrogen that the laboratory recommends").between(0, 0.2).also("nitrogen"),
				measure("p2o5", quantity.AreaMass, "phosphate that the laboratory recommends").between(0, 0.2).also("phosphate"),
				measure("k2o", quantity.AreaMass, "potash that the laboratory recommends").between(0, 0.2).also("potash"),
				measure("lime", quantity.AreaMass, "limestone that the laboratory recommends").between(0, 5).also("limestone"),
			},
			build: buildSoilTest,
		},
		{
			Name: "row", Also: []string{"bed", "line"}, Group: "ground", Free: 1, Returns: "a row",
			Summary: "a line of plants, or a bed of several lines, in a plot",
			Doc: "Rows are called by their number from the plot's first side unless they have a name. Paths run " +
				"between the edges of neighbouring beds; the edges are the outer lines unless `bed_width` is given. " +
				"In a bed, counts are for each line.",
			Example: "first = row(bench, at = 4 * ft)\nsalad = row(bench, at = 8 * ft, lines = 3, line_spacing = 10 * inch)",
			Params: append([]Param{
				handle("plot", "plot", "the plot it lies in").required(),
				length("at", "of the center line from the plot's first side").required().between(0, 5000).also("position", "offset", "center", "centre", "where"),
				text("name", "what the row is called").also("label", "title"),
			}, rowParams...),
			build: buildRow,
		},
		{
			Name: "rows", Also: []string{"beds", "lines"}, Group: "ground", Free: 1, Returns: "a list of rows",
			Summary: "several rows at equal distances",
			Example: `beds = rows(bench, count = 8, first = 4 * ft, apart = 4 * ft)`,
			Params: append([]Param{
				handle("plot", "plot", "the plot they lie in").required(),
				whole("count", "how many").required().between(1, 100_000).also("number", "n", "how_many"),
				length("first", "of the first center line from the plot's first side").required().between(0, 5000).also("at", "begin"),
				length("apart", "from one center line to the next").required().above(0, 100).also("spacing", "between", "every", "distance"),
			}, rowParams...),
			build: buildRows,
		},
		{
			Name: "history", Also: []string{"rotation", "grew"}, Group: "ground", Free: 1, Returns: "a history",
			Summary: "what a plot grew in an earlier year",
			Doc:     "Rotation is judged by botanical family. Crops can be given as loaded, by their name, or by the family's name.",
			Example: `history(bench, year = 2026, crops = ["tomato", "Cucurbitaceae"])`,
			Params: []Param{
				handle("plot", "plot", "the plot").required(),
				whole("year", "the year").required().between(1900, 2200).also("season"),
				param("crops", Type{Kind: KindCrops}, "what grew there").required().also("crop", "grew", "families", "family"),
			},
			build: buildHistory,
		},
	}
}

func buildPlot(c *call) starlark.Value {
	d := &farm.Plot{
		Decl: c.decl(), Name: c.text("name"), Length: c.quantity("length"), Width: c.quantity("width"),
		Headland: c.quantity("headland"), Bearing: c.number("bearing"), Soil: handleArg[*farm.Soil](c, "soil"),
		Slope: c.quantity("slope"), East: c.quantity("east"), North: c.quantity("north"),
	}
	c.ev.farm.Plots = append(c.ev.farm.Plots, d)
	return c.ev.handle(plotHandle, d)
}

func buildSoilTest(c *call) starlark.Value {
	d := &farm.SoilTest{
		Decl: c.decl(), Method: c.text("method"), Lab: c.text("lab"), PH: c.number("ph"), BufferPH: c.number("buffer_ph"),
		TargetPH: c.number("target_ph"), P: c.quantity("p"), K: c.quantity("k"), PIndex: c.number("p_index"), KIndex: c.number("k_index"),
		Depth: c.quantity("depth"), OrganicMatter: c.quantity("organic_matter"), On: c.date("on"),
		N: c.quantity("n"), P2O5: c.quantity("p2o5"), K2O: c.quantity("k2o"), Lime: c.quantity("lime"),
	}
	c.ev.farm.SoilTests = append(c.ev.farm.SoilTests, d)
	return c.ev.handle(soilTestHandle, d)
}

func buildRow(c *call) starlark.Value {
	d := c.newRow()
	d.Name, d.At = c.text("name"), c.quantity("at")
	return c.ev.handle(rowHandle, d)
}

// newRow takes the arguments that row and rows share and numbers the row in its plot.
func (c *call) newRow() *farm.Row {
	d := &farm.Row{
		Decl: c.decl(), Plot: handleArg[*farm.Plot](c, "plot"), PlotSpan: c.spanOf("plot"),
		Start: c.quantity("start"), Length: c.quantity("length"), Lines: c.whole("lines"),
		LineSpacing: c.quantity("line_spacing"), Staggered: c.flag("staggered"), BedWidth: c.quantity("bed_width"),
		Zone: handleArg[*farm.Zone](c, "zone"), Tapes: c.whole("tapes"),
	}
	if d.Lines.Value > 1 && !d.LineSpacing.Given && !c.isBad("line_spacing") {
		c.ev.report(c.finding(missingArgument, d.Lines.Span, "a bed of %d lines needs line_spacing", d.Lines.Value).
			help("add line_spacing = ..., the distance between its lines"))
		d.Lines.Value = 1
	}
	if outer := float64(d.Lines.Value-1) * d.LineSpacing.Value.SI; d.BedWidth.Given && d.BedWidth.Value.SI < outer*(1-1e-9) {
		width := c.ev.units.Short(quantity.Meters(outer))
		c.ev.report(c.finding(outOfRange, d.BedWidth.Span, "bed_width of %s is %s; the outer of its %d lines stand %s apart",
			c.of.Name, c.ev.units.Short(d.BedWidth.Value), d.Lines.Value, width).
			value("outer lines", width).help("make the bed %s wide or wider, or put the lines closer", width))
		given, _ := c.slot("bed_width")
		given.state = bad
		d.BedWidth = c.quantity("bed_width")
	}
	c.ev.rows[d.Plot]++
	d.Number = c.ev.rows[d.Plot]
	c.ev.farm.Rows = append(c.ev.farm.Rows, d)
	return d
}

func buildRows(c *call) starlark.Value {
	first, apart := c.quantity("first"), c.quantity("apart")
	n := c.whole("count").Value
	if c.ev.charge(n*cellsPerDeclaration) != nil {
		return poison{}
	}
	list := make([]starlark.Value, n)
	for i := range list {
		d := c.newRow()
		d.At = first
		if i > 0 {
			d.At = apart
			d.At.Value = quantity.Meters(first.Value.SI + float64(i)*apart.Value.SI)
		}
		list[i] = c.ev.handle(rowHandle, d)
	}
	return starlark.NewList(list)
}

func buildHistory(c *call) starlark.Value {
	s, _ := c.slot("crops")
	d := &farm.History{Decl: c.decl(), Plot: handleArg[*farm.Plot](c, "plot"), Year: c.whole("year")}
	iter := s.value.(starlark.Iterable).Iterate()
	defer iter.Done()
	var families []string
	words := c.elements("crops")
	for v, i := starlark.Value(nil), 0; iter.Next(&v); i++ {
		at := s.span
		if i < len(words) {
			at = words[i]
		}
		family, name, ok := c.familyOf(v, at)
		if ok {
			families, d.Names = append(families, family), append(d.Names, name)
		}
	}
	d.Families = farm.Field[[]string]{Value: families, Span: s.span, Given: true}
	c.ev.farm.Histories = append(c.ev.farm.Histories, d)
	return c.ev.handle(historyHandle, d)
}

// elements are the places of the elements of an argument that is written as a list in the call.
func (c *call) elements(name string) []source.Span {
	named := argumentNamed(c.syntax.Args, name)
	if named == nil {
		return nil
	}
	var items []star.Expr
	switch x := named.Y.(type) {
	case *star.ListExpr:
		items = x.List
	case *star.TupleExpr:
		items = x.List
	}
	var spans []source.Span
	for _, x := range items {
		spans = append(spans, c.module.ready.span(x))
	}
	return spans
}

// familyOf reads a crop, a crop's name or a family's name.
func (c *call) familyOf(v starlark.Value, at source.Span) (family, name string, ok bool) {
	switch v := v.(type) {
	case *handleValue:
		if crop, ok := v.of.(*farm.Crop); ok {
			return crop.Family, crop.Title(), true
		}
	case starlark.String:
		word := string(v)
		if crop, ok := crops.Named(word); ok {
			return crop.Family, crop.Name, true
		}
		if family, ok := crops.Family(word); ok {
			if strings.EqualFold(family, word) {
				word = family
			}
			return family, word, true
		}
		f := c.finding(unknownChoice, at, "%s is neither a crop of the table nor a family", describe(v))
		var known []string
		for _, crop := range crops.All() {
			known = append(known, crop.Name)
		}
		if near := Nearest(word, known); near != "" && slips(near, word) <= slips(Nearest(word, crops.Families()), word) {
			f.help("did you mean %q?", near)
			if strings.Trim(at.Text(), `"'`) == word {
				near = strconv.Quote(near)
				f.fix(false, "Write "+near, diag.Edit{Span: at, Text: near})
			}
		} else {
			c.familyMeant(f, at, word)
		}
		c.ev.report(f)
		return "", "", false
	case poison:
		return "", "", false
	}
	c.ev.report(c.finding(wrongType, at, "crops of history holds %s; crops and their names belong there", describe(v)))
	return "", "", false
}
