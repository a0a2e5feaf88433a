package farm

import (
	"haulm/lang/source"
	"haulm/stdlib/feeding"
)

// Product is a fertilizer or an amendment: what is spread, banded or fed through the water.
type Product struct {
	Decl
	Name           Text
	Analysis       Field[feeding.Nutrients] // shares of its mass
	AnalysisSource feeding.Source           // zero where the plan gives the analysis
	Available      Field[feeding.Span]      // share of its nitrogen that a crop gets in the season; the zero Span is all
	ReleaseSource  feeding.Source           // zero where the plan gives Available, and where all of it counts
	Density        Amount                   // in the measure
	DensitySource  feeding.Source           // zero where the plan gives Density
	Pack           Amount                   // mass of a pack
	Price          Number                   // of a pack
	Organic        Flag
	Made           Text   // of an amendment: "raw manure", "composted manure", "compost", "lime", "other"
	Neutralizing   Amount // calcium carbonate equivalent of lime, ratio
}

// Amendment tells whether it was declared as one.
func (p *Product) Amendment() bool { return p.Kind == "amendment" }

// Measure is the scoop, can or bucket that a grower fills.
type Measure struct {
	Decl
	Name   Text
	Volume Amount // level full
}

// Feed is something fed to a plot, a row or a planting. Exactly one of Rate, LineRate, Amount and ToNeed is given.
type Feed struct {
	Decl
	Plot      *Plot // exactly one of Plot, Row and Planting is set
	Row       *Row
	Planting  *Planting
	WhereSpan source.Span
	Products  []*Product // one, or several to mix to the need
	ItemSpan  source.Span
	Rate      Amount // mass for each area of ground
	LineRate  Amount // mass for each length of row
	Amount    Amount // mass in all
	ToNeed    Flag
	On        DateArg
	Stage     Text  // when it is done; before planting when neither it nor On is given
	Days      Count // after planting, for the stage "after planting"
	Placement Text
	Solution  Amount // volume of stock solution that the amount of a zone is dissolved in
	Injection Amount // flow of the stock solution into the line
	AtOnce    Amount // most nitrogen in one application, mass for each area
}

// Need is what a crop or a plot is to be fed in the season by the plan's own word.
type Need struct {
	Decl
	Plot         *Plot // exactly one of Plot and Crop is set
	Crop         *Crop
	N, P2O5, K2O Amount // mass for each area
	AtOnce       Amount // most nitrogen in one application, mass for each area
}

// Credit is nitrogen that a plot gives without being fed. Exactly one way to tell it is given.
type Credit struct {
	Decl
	Plot          *Plot
	N             Amount // mass for each area
	Legume        Text   // stand that grew before
	CoverCrop     Amount // dry matter of it on each area
	Nitrogen      Amount // share of nitrogen in its dry matter
	TurnedUnder   Flag
	Manure        Amount // feedlot manure spread on each area
	YearsAgo      Count  // 1 or 2
	OrganicMatter Flag   // counted from the soil test
}

// Stock is what is at hand of something bought. One of Product, Crop (its seed), Tape, Tray, Pot and Protectant is
// set, or Name gives it as the shopping list calls it.
type Stock struct {
	Decl
	Product    *Product
	Crop       *Crop
	Tape       *DripTape
	Tray       *Tray
	Pot        *Pot
	Protectant *Protectant
	Name       Text
	ItemSpan   source.Span
	Amount     Amount  // mass, length, volume, or pieces as a plain ratio
	On         DateArg // day it comes; None when it is there already
}

// Of gives the declaration that is in stock, nil where it goes by its name.
func (s *Stock) Of() any {
	switch {
	case s.Product != nil:
		return s.Product
	case s.Crop != nil:
		return s.Crop
	case s.Tape != nil:
		return s.Tape
	case s.Tray != nil:
		return s.Tray
	case s.Pot != nil:
		return s.Pot
	case s.Protectant != nil:
		return s.Protectant
	}
	return nil
}
