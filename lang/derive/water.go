package derive

import (
	"math"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// addWater works out what the plantings need and what the zones bring. Delivery comes before need, for what
// has to be sent out hangs on how evenly it arrives.
func (facts *Facts) addWater() {
	f := facts.Farm
	if len(f.Zones) == 0 && !givesWeather(f.Site) {
		return
	}
	w := &Water{units: f.Units}
	facts.Water = w
	w.addZones(f)
	w.addRows(facts)
	for _, g := range w.Groups {
		g.deliver()
	}
	w.addNeed(facts)
	for _, z := range w.Zones {
		z.schedule(len(w.Weeks))
	}
	for _, s := range w.Sources {
		s.schedule(len(w.Weeks))
	}
}

// addZones gives every zone its source and the group that it is open with.
func (w *Water) addZones(f *farm.Farm) {
	sources := map[*farm.WaterSource]*SourceWater{}
	for _, decl := range f.Sources {
		if decl == nil {
			continue
		}
		s := &SourceWater{Decl: decl, Number: len(w.Sources) + 1, Peak: -1, Hours: hoursOfWeek * 3600}
		if h := decl.HoursPerWeek; h.Given && h.Value >= 0 && h.Value <= hoursOfWeek {
			s.Hours = h.Value * 3600
		}
		w.Sources = append(w.Sources, s)
		sources[decl] = s
	}
	type key struct {
		source *SourceWater
		word   string
	}
	together := map[key]*ZoneGroup{}
	for _, decl := range f.Zones {
		if decl == nil {
			continue
		}
		z := &ZoneWater{Decl: decl, Number: len(w.Zones) + 1, Source: sources[decl.Source], Peak: -1, DryPeak: -1, water: w}
		w.Zones = append(w.Zones, z)
		k := key{z.Source, decl.Together.Value}
		g := together[k]
		if g == nil || k.word == "" || k.source == nil {
			g = &ZoneGroup{Name: k.word, Source: k.source}
			w.Groups = append(w.Groups, g)
			together[k] = g
			if k.source != nil {
				k.source.Groups = append(k.source.Groups, g)
			}
		}
		z.Group = g
		g.Zones = append(g.Zones, z)
		if k.source != nil {
			k.source.Zones = append(k.source.Zones, z)
		}
	}
}

const hoursOfWeek = 168

// addRows gives every row its zone and its tapes.
func (w *Water) addRows(facts *Facts) {
	zones := make(map[*farm.Zone]*ZoneWater, len(w.Zones))
	for _, z := range w.Zones {
		zones[z.Decl] = z
	}
	block := make([]RowWater, len(facts.Rows))
	w.Rows = make([]*RowWater, len(facts.Rows))
	for i, row := range facts.Rows {
		r := &block[i]
		r.Row = row
		row.Water, w.Rows[i] = r, r
		if z := zones[row.Decl.Zone]; z != nil {
			r.Zone = z
			z.Rows = append(z.Rows, r)
			r.layTape()
		}
	}
}

// given reads a quantity that an equation can take: of its dimension, finite and above 0; NaN otherwise.
func given(a *farm.Amount, d quantity.Dimension) float64 {
	if v := a.Value.SI; a.Value.Dim == d && v > 0 && !math.IsInf(v, 1) {
		return v
	}
	return math.NaN()
}
