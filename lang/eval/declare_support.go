package eval

import (
	"haulm/lang/farm"

	"go.starlark.net/starlark"
)

func supportBuiltins() []*Builtin {
	return []*Builtin{
		{
			Name: "trellis", Also: []string{"support", "supports", "stakes"}, Group: "support", Free: 1, Returns: "a trellis",
			Summary: "what holds up the plants of a row",
			Doc: "Its height is the height of the row for shading. What is not given is taken from common practice " +
				"for the style, and `haulm show support --why` says what. A loaded trellis can fall: follow the maker's " +
				"or your adviser's figures for posts and anchors.",
			Example: `trellis(first, style = "stake and weave", height = 5 * ft)`,
			Params: []Param{
				handle("row", "row", "the row it stands in").required(),
				choice("style", "how it is built", "stake and weave", "drop line", "cage", "net").required().also("type", "kind"),
				length("height", "of the top line, rail or rim").above(0, 10).also("high", "tall"),
				handle("shared_with", "row", "a neighboring row that hangs on the same posts").also("shared", "beside"),
				date("on", "the day the posts are set; two weeks after planting day when not given").also("date", "up", "set_up"),
				length("post_spacing", "from post to post; stakes stand by plants unless it is given").above(0, 30).also("posts"),
				whole("plants_between", "plants between two stakes of a stake and weave").between(1, 10).also("plants_per_stake"),
				length("post_length", "of a post or stake, with what stands in the ground").above(0, 12).also("stake_length"),
				length("post_depth", "of the post in the ground").above(0, 3).also("depth"),
				length("first_string", "height of the first string").above(0, 3),
				length("string_interval", "from one string to the next").above(0, 2).also("interval"),
				length("rail_length", "that rails are sold in").above(0, 30).also("stock_length"),
				text("rail", "what the rail of a drop line is"),
				flag("loop", "the rail of a drop line runs round both rows and closes, so that stems that are lowered turn round the rows' ends and go on along the other row").
					also("closed_loop", "round"),
				whole("stems", "that each plant is pruned to; not pruned when not given").between(1, 6).also("leaders"),
				length("reserve", "string on each stem for lowering it").between(0, 30).also("spare"),
				length("mesh_length", "of wire mesh cut for one cage").above(0, 10).also("mesh"),
			},
			build: buildTrellis,
		},
	}
}

func buildTrellis(c *call) starlark.Value {
	d := &farm.Trellis{
		Decl: c.decl(), Row: handleArg[*farm.Row](c, "row"), With: handleArg[*farm.Row](c, "shared_with"),
		Style: c.text("style"), Height: c.quantity("height"), On: c.date("on"),
		Posts: c.quantity("post_spacing"), Between: c.whole("plants_between"), Post: c.quantity("post_length"),
		Depth: c.quantity("post_depth"), First: c.quantity("first_string"), Interval: c.quantity("string_interval"),
		RailStock: c.quantity("rail_length"), Rail: c.text("rail"), Loop: c.flag("loop"), Stems: c.whole("stems"), Reserve: c.quantity("reserve"),
		Mesh: c.quantity("mesh_length"),
	}
	for _, r := range []*farm.Row{d.Row, d.With} {
		if r != nil && r.Trellis != nil {
			c.ev.report(c.finding(secondTrellis, c.callee, "the row has a trellis already; the first one counts").
				related(r.Trellis.Call, "the first one"))
			return poison{}
		}
	}
	d.Row.Trellis = d
	if d.With == d.Row {
		d.With = nil
	}
	if d.With != nil {
		d.With.Trellis = d
	}
	if d.Loop.Value && d.With == nil {
		c.ev.report(c.finding(missingArgument, c.spanOf("loop"), "a rail that closes in a loop runs round two rows, and the trellis has one").
			help("add shared_with = the neighboring row"))
		d.Loop.Value = false
	}
	c.ev.farm.Trellises = append(c.ev.farm.Trellises, d)
	return c.ev.handle(trellisHandle, d)
}
