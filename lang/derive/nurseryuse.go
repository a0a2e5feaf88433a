package derive

import (
	"fmt"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// TrayName is what a tray is called: by its name, or by its cells.
func TrayName(t *farm.Tray) string {
	if t.Name.Given {
		return t.Name.Value
	}
	return fmt.Sprintf("tray of %d cells", t.Cells.Value)
}

// PotName is what a pot is called: by its name, or by its width.
func PotName(p *farm.Pot, units quantity.System) string {
	if p.Name.Given {
		return p.Name.Value
	}
	return "pot, " + units.Short(p.Width.Value)
}

// Uses gives the seed, trays and pots that the plan takes.
func (n *Nursery) Uses() []Use {
	var uses []Use
	for _, o := range n.Seeds {
		c := o.Crop
		w := Ware{Kind: SeedWare, Of: c, Name: "seed, " + c.Title(), Price: c.PackPrice.Value}
		weighed := c.PackWeight.Given && o.Mass > 0
		switch {
		case weighed:
			w.Pack, w.PackName = c.PackWeight.Value, "pack"
		case c.PackSeeds.Given:
			w.Pack, w.PackName = pieces(c.PackSeeds.Value), "pack"
		default:
			w.Price = 0 // the price is that of a pack
		}
		for _, u := range o.Of {
			amount, do := pieces(u.Seeds), "sown in trays"
			if u.Planting.direct() {
				do = "sown in the row"
			}
			if weighed {
				amount = quantity.Of(o.Mass*float64(u.Seeds)/float64(o.Seeds), quantity.Mass)
			}
			uses = append(uses, Use{Ware: w, Amount: amount, By: u.Planting.Sow, For: do, Where: Item{Row: u.Planting.Row}})
		}
	}
	for _, p := range n.Bought {
		w := Ware{Kind: StartWare, Of: p.Decl.Crop, Name: "plants, " + p.Decl.Crop.Title()}
		if p.direct() {
			w.Name = "sets or seed pieces, " + p.Decl.Crop.Title()
		}
		uses = append(uses, Use{Ware: w, Amount: pieces(p.Plants), By: p.Plant, For: "set in the row", Where: Item{Row: p.Row}})
	}
	for _, v := range n.Trays {
		w := Ware{Kind: TrayWare, Of: v.Tray, Name: TrayName(v.Tray), Price: v.Tray.Price.Value}
		uses = append(uses, Use{Ware: w, Amount: pieces(v.Need), By: v.First, For: "in use at once"})
	}
	for _, v := range n.Pots {
		w := Ware{Kind: PotWare, Of: v.Pot, Name: PotName(v.Pot, n.units), Price: v.Pot.Price.Value}
		uses = append(uses, Use{Ware: w, Amount: pieces(v.Need), By: v.First, For: "in use at once"})
	}
	return uses
}

// events gives what is done to seedlings between sowing and setting out.
func (n *Nursery) events(all []Event) []Event {
	sow := func(p *Planting, count int, of string) {
		if count == 0 {
			of = ""
		}
		all = append(all, Event{On: p.Sow, Until: season.None, Do: "sow in trays", What: p.Decl.Crop.Title(), Count: count, Of: of, Where: Item{Planting: p}})
	}
	for _, s := range n.Starts {
		sow(s.Planting, s.Cells, "cell|cells")
	}
	for _, order := range n.Seeds { // plants that are bought are in none
		for _, use := range order.Of {
			if p := use.Planting; p.Decl.Tray == nil && !p.direct() {
				sow(p, p.Plants, "plant|plants")
			}
		}
	}
	for _, b := range n.Batches {
		s := b.Starts[0]
		if s.Unknown != "" {
			continue
		}
		e := Event{Until: season.None, What: s.Planting.Decl.Crop.Title(), Where: b.where()}
		if s.Emerge.IsSet() {
			e.On, e.Do = s.Emerge, "look for seedlings"
			e.Count, e.Of = b.Trays, "tray|trays"
			all = append(all, e)
		}
		if s.StepUp.IsSet() {
			e.On, e.Do, e.Count, e.Of = s.StepUp, "step up into pots", b.Pots, "pot|pots"
			all = append(all, e)
		}
		if s.Harden < s.Planting.Plant {
			e.On, e.Do, e.Count, e.Of = s.Harden, "set outdoors to harden off", b.Trays, "tray|trays"
			if s.StepUp.IsSet() {
				e.Count, e.Of = b.Pots, "pot|pots"
			}
			all = append(all, e)
		}
	}
	return all
}

// where is the planting that the batch is for, its plot where it is for several, nothing where it is for several plots.
func (b *Batch) where() Item {
	first := b.Starts[0].Planting
	if len(b.Starts) == 1 {
		return Item{Planting: first}
	}
	for _, s := range b.Starts {
		if s.Planting.Row.Plot != first.Row.Plot {
			return Item{}
		}
	}
	return Item{Plot: first.Row.Plot}
}
