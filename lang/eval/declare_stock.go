package eval

import (
	"haulm/lang/farm"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

func stockBuiltins() []*Builtin {
	return []*Builtin{{
		Name: "stock", Also: []string{"have", "inventory", "on_hand", "leftover", "leftovers"}, Group: "labor", Free: 2, Returns: "a stock",
		Summary: "what is at hand of something bought; it is used before more is bought",
		Doc: "The item is a fertilizer, an amendment, a protectant, a crop (its seed), a tape, a tray or a pot, or the name " +
			"under which `haulm show shopping` lists it. Give it in the measure of that list: pieces as `count`.",
		Example: "tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)\n" +
			"stock(tape, length = 350 * ft)\nstock(\"twine\", length = 1200 * ft)",
		Params: []Param{
			handleOf("item", "what it is", "fertilizer", "amendment", "protectant", "crop", "drip_tape", "tray", "pot").
				orName().required().also("of", "what", "product"),
			measure("amount", quantity.Mass, "when it is weighed").between(0, 1e6).also("mass", "weight"),
			measure("volume", quantity.Volume, "when it is measured by volume").between(0, 1e4),
			length("length", "when it is sold by length").between(0, 1e6),
			whole("count", "when it is counted").between(0, 100_000_000).also("pieces", "number"),
			date("on", "the day it comes, when it is on order; it is there already when not given").also("arrives", "comes", "delivered", "due"),
		},
		build: buildStock,
	}}
}

func buildStock(c *call) starlark.Value {
	if !c.givesOne("how much there is", "amount", "volume", "length", "count") {
		return poison{}
	}
	d := &farm.Stock{
		Decl: c.decl(), Product: handleArg[*farm.Product](c, "item"), Crop: handleArg[*farm.Crop](c, "item"),
		Tape: handleArg[*farm.DripTape](c, "item"), Tray: handleArg[*farm.Tray](c, "item"), Pot: handleArg[*farm.Pot](c, "item"),
		Protectant: handleArg[*farm.Protectant](c, "item"), Name: c.text("item"), ItemSpan: c.spanOf("item"),
		On: c.date("on"),
	}
	for _, name := range []string{"amount", "volume", "length"} {
		if c.isGiven(name) {
			d.Amount = c.quantity(name)
		}
	}
	if n := c.whole("count"); n.Given {
		d.Amount = farm.Amount{Value: quantity.Of(float64(n.Value), quantity.Ratio), Span: n.Span, Given: true}
	}
	c.ev.farm.Stocks = append(c.ev.farm.Stocks, d)
	return c.ev.handle(stockHandle, d)
}
