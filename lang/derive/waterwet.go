package derive

import (
	"math"

	"haulm/stdlib/quantity"
	"haulm/stdlib/water"
)

// usualRoots is the depth to wet where no planting's roots are known, and usualApart the distance between two
// tapes beside a single line of plants (both common practice).
const usualRoots, usualApart = 0.3, 0.3

// wet finds the ground that the row's tapes wet in a run that goes as deep as its shallowest roots.
func (r *RowWater) wet(uses users) {
	soil := r.Row.Plot.Decl.Soil
	if r.Zone == nil || r.Unsolved != "" || soil == nil {
		return
	}
	s, ok := water.SoilOf(soil.Texture.Value)
	if !ok {
		return
	}
	w := &Wetting{Texture: s.Texture, Roots: math.Inf(1)}
	for _, n := range r.Plantings {
		if roots := uses.of(n.Planting.Decl.Crop).roots; roots > 0 {
			w.Roots = min(w.Roots, roots)
		}
	}
	if math.IsInf(w.Roots, 1) {
		w.Roots = usualRoots
	}
	tape := r.Zone.Decl.Tape
	spacing := given(&tape.EmitterSpacing, quantity.Length)
	flow := given(&tape.Flow, quantity.LineFlow) * spacing
	var err error
	if w.Longest, err = water.RunToDepth(s.Conductivity, flow, w.Roots); err != nil {
		return
	}
	// A run of more than a month says no more than one of a month.
	const month = 30 * 86400
	if w.Strip, err = water.WetStrip(s, flow, spacing, min(w.Longest, month)); err != nil {
		return
	}
	if w.Across, err = w.Strip.Across(r.Tapes, min(r.tapesApart(), mostApart)); err != nil {
		return
	}
	r.Wetting = w
}

// mostApart bounds what is believed of a bed's width.
const mostApart = 10

// tapesApart is the distance between the row's tapes: that of its lines when each has one, else the bed's
// width shared out evenly.
func (r *RowWater) tapesApart() float64 {
	lines := r.Row.Lines
	switch {
	case len(lines) == 1:
		return usualApart
	case len(lines) == r.Tapes:
		return lines[1] - lines[0]
	}
	return max(0, r.Row.Right-r.Row.Left) / float64(r.Tapes)
}

// hold finds what the wetted strip gives up without stress: by the planting that leaves it fullest.
func (r *RowWater) hold() {
	w := r.Wetting
	if w == nil {
		return
	}
	s, _ := water.SoilOf(w.Texture)
	for _, n := range r.Plantings {
		if n.Unknown != "" || n.RootDepth == 0 || n.Depletion == 0 {
			continue
		}
		store, err := water.StripStore(s.Available.Mid(), n.RootDepth, w.Across, n.Depletion)
		if err == nil && (w.Store == 0 || store < w.Store) {
			w.Store = store
		}
	}
}
