package derive

import (
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Use is an amount of something bought that one part of the plan takes. Each subject gives its own uses; the
// shopping list adds them up by ware, takes off what is in stock, and rounds up to packs.
type Use struct {
	Ware   Ware
	Amount quantity.Quantity // pieces are a plain ratio; all uses of a ware have one dimension
	Cuts   []float64         // the lengths that must each come off one pack, m, when Amount cannot be pieced together; nil otherwise
	By     season.Date       // first day it must be at hand; None when not known
	For    string            // "opens the zone": what it does, without where
	Where  Item              // the zone, plot, row or planting it is for; the zero Item for the whole farm
}

// Ware is a thing that is bought. Two uses are of one ware when Kind, Of and Name are the same.
type Ware struct {
	Kind     WareKind
	Of       any               // the declaration it comes from (*farm.DripTape, *farm.Crop for its seed); nil when the plan names none
	Name     string            // as the list calls it: "pressure regulator, 10 psi"
	Pack     quantity.Quantity // what one pack holds, of the dimension of the uses; the zero Quantity when any amount can be had
	PackName string            // "roll", "bag"; "" for plain packs and for pieces
	Price    float64           // of a pack, or of a piece where there is no pack, in the farm's money; 0 when not known
}

// WareKind sorts what is bought.
type WareKind uint8

// Kinds of wares, in the order in which they are listed.
const (
	SeedWare WareKind = iota
	StartWare
	TrayWare
	PotWare
	MixWare
	FertilizerWare
	AmendmentWare
	TapeWare
	CouplingWare
	EndWare
	ValveWare
	PipeWare
	RegulatorWare
	FilterWare
	AirVentWare
	BackflowWare
	PostWare
	RailWare
	NetWare
	TwineWare
	HookWare
	ClipWare
	ProtectantWare
	OtherWare
)

// pieces is a count as a quantity.
func pieces(n int) quantity.Quantity { return quantity.Of(float64(n), quantity.Ratio) }

// Uses gives what all subjects of the plan use of things bought, subject by subject.
func (facts *Facts) Uses() []Use {
	var all []Use
	if facts.Water != nil {
		all = append(all, facts.Water.Uses()...)
	}
	all = append(all, facts.Nursery().Uses()...)
	all = append(all, facts.Support().Uses()...)
	all = append(all, facts.Protection().Uses()...)
	all = append(all, facts.Feeding().Uses()...)
	return all
}
