package derive

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
)

// addPlots rates every plot's soil and adds its credits up.
func (fd *Feeding) addPlots(facts *Facts) {
	credits := map[*farm.Plot][]CreditPart{}
	for _, c := range facts.Farm.Credits {
		if part, ok := creditOf(c); ok {
			credits[c.Plot] = append(credits[c.Plot], CreditPart{c, part})
		}
	}
	for _, p := range facts.Plots {
		pf := &PlotFeeding{Plot: p, Parts: credits[p.Decl]}
		for _, part := range pf.Parts {
			pf.Credit = pf.Credit.Plus(part.N)
		}
		if p.Decl.Soil != nil && p.Decl.Soil.Test != nil {
			pf.Test = p.Decl.Soil.Test
			pf.P = pf.rate(feeding.P, pf.Test.P, pf.Test.PIndex)
			pf.K = pf.rate(feeding.K, pf.Test.K, pf.Test.KIndex)
			pf.Rich = pf.P != nil && pf.P.Level == feeding.VeryHigh
			pf.lime()
		}
		fd.Plots = append(fd.Plots, pf)
	}
}

// rate finds the category of one value of the test; nil when the test does not give it or it cannot be rated.
func (pf *PlotFeeding) rate(n feeding.Nutrient, value farm.Amount, index farm.Number) *feeding.Rating {
	q := value.Value
	switch {
	case index.Given:
		q = quantity.Of(index.Value, quantity.Ratio)
	case !value.Given:
		return nil
	}
	r, err := feeding.Rate(pf.Test.Lab.Value, pf.Test.Method.Value, n, q, pf.Test.Depth.Value.SI)
	if err != nil {
		if pf.Unrated == nil {
			pf.Unrated = err
		}
		return nil
	}
	return &r
}

// usualPH is what lime brings soil to when the plan gives no target.
const usualPH = 6.5

func (pf *PlotFeeding) lime() {
	t := pf.Test
	if !t.PH.Given {
		return
	}
	target := usualPH
	if t.TargetPH.Given {
		target = t.TargetPH.Value
	} else if t.PH.Value >= feeding.AcidityOf("").PH.Low {
		return
	}
	if t.PH.Value >= target {
		return
	}
	pf.Target = target
	pf.Lime = feeding.Lime(pf.Plot.Decl.Soil.Texture.Value, t.PH.Value, target)
}

// Limes are the plan's liming products whose calcium carbonate equivalent is known.
func (pf *PlotFeeding) Limes() []*farm.Product {
	facts := pf.Plot.facts
	if facts == nil {
		return nil
	}
	var all []*farm.Product
	for _, p := range facts.Farm.Products {
		if p.Made.Value == "lime" && p.Neutralizing.Given && p.Neutralizing.Value.SI > 0 {
			all = append(all, p)
		}
	}
	return all
}

// creditOf gives the nitrogen of one credit, kg/m2.
func creditOf(c *farm.Credit) (feeding.Credit, bool) {
	switch {
	case c.N.Given:
		return feeding.Credit{What: "nitrogen", N: feeding.Span{Low: c.N.Value.SI, High: c.N.Value.SI}, Source: feeding.Source{Title: thisPlan}}, true
	case c.Legume.Given:
		return feeding.LegumeNamed(c.Legume.Value)
	case c.CoverCrop.Given:
		return feeding.CoverCrop(c.CoverCrop.Value.SI, c.Nitrogen.Value.SI, c.TurnedUnder.Value), true
	case c.Manure.Given:
		m, ok := feeding.FeedlotManure(c.YearsAgo.Value)
		m.N = m.N.Scale(c.Manure.Value.SI)
		return m, ok
	case c.OrganicMatter.Value:
		if s := c.Plot.Soil; s != nil && s.Test != nil && s.Test.OrganicMatter.Given {
			return feeding.OrganicMatter(s.Test.OrganicMatter.Value.SI), true
		}
	}
	return feeding.Credit{}, false
}

// addNeeds finds what every planting needs.
func (fd *Feeding) addNeeds(facts *Facts) {
	plots := make(map[*Plot]*PlotFeeding, len(fd.Plots))
	for _, pf := range fd.Plots {
		plots[pf.Plot] = pf
	}
	ofCrop, ofPlot := map[*farm.Crop]*farm.Need{}, map[*farm.Plot]*farm.Need{}
	for _, n := range facts.Farm.Needs {
		if n.Crop != nil {
			ofCrop[n.Crop] = n
		} else {
			ofPlot[n.Plot] = n
		}
	}
	for _, p := range facts.Plantings {
		pf := plots[p.Row.Plot]
		n := &PlantingFeeding{Planting: p, Area: p.strip() * p.stretch(), Credit: pf.Credit}
		own := ofCrop[p.Decl.Crop]
		if own == nil {
			own = ofVariety(facts.Farm.Needs, p.Decl.Crop)
		}
		if own == nil {
			own = ofPlot[p.Row.Plot.Decl]
		}
		n.setNeed(pf, own)
		n.rich = pf.Rich
		fd.Plantings = append(fd.Plantings, n)
	}
}

// ofVariety gives the need of the crop that a variety is of.
func ofVariety(needs []*farm.Need, c *farm.Crop) *farm.Need {
	for _, n := range needs {
		if n.Crop != nil && n.Crop.Variety == "" && n.Crop.Name == c.Name {
			return n
		}
	}
	return nil
}

// laboratory names the need that a soil test's report recommends.
const laboratory = "the laboratory's own recommendation"

// setNeed takes each nutrient from the plan's own need, else from what the laboratory recommends, else from a table; on soil
// without a test no table is asked for what the plan's own need leaves out.
func (n *PlantingFeeding) setNeed(pf *PlotFeeding, own *farm.Need) {
	if own != nil {
		n.once = own.AtOnce
	}
	t := pf.Test
	n.Unrated = pf.Unrated != nil
	said := own != nil && (own.N.Given || own.P2O5.Given || own.K2O.Given)
	byLab := t != nil && (t.N.Given || t.P2O5.Given || t.K2O.Given)
	var layers []needLayer
	if said {
		n.Of = &own.Decl
		layers = append(layers, needLayer{thisPlan, [...]farm.Amount{own.N, own.P2O5, own.K2O}})
	}
	if byLab {
		if n.Of == nil {
			n.Of = &t.Decl
		}
		layers = append(layers, needLayer{laboratory, [...]farm.Amount{t.N, t.P2O5, t.K2O}})
	}
	if n.Of == nil {
		n.Need, n.Unknown = n.tableNeed(pf)
		from := feeding.Source{Title: n.Need.Table, Grade: n.Need.Source.Grade}
		n.by = [...]feeding.Source{from, from, from}
		return
	}
	table := feeding.Need{}
	if t != nil && !allGiven(layers) {
		table, _ = n.tableNeed(pf)
	}
	n.layered(layers, table)
}

// needLayer is who gives a need, and what of N, P2O5 and K2O.
type needLayer struct {
	name   string
	amount [3]farm.Amount
}

func allGiven(layers []needLayer) bool {
	for i := range 3 {
		if !slices.ContainsFunc(layers, func(l needLayer) bool { return l.amount[i].Given }) {
			return false
		}
	}
	return true
}

// layered takes each nutrient from the first layer that gives it, else from the table.
func (n *PlantingFeeding) layered(layers []needLayer, table feeding.Need) {
	need := feeding.Need{Others: table.Others}
	rest := [...]feeding.Span{table.N, table.P2O5, table.K2O}
	for i, to := range [...]*feeding.Span{&need.N, &need.P2O5, &need.K2O} {
		at := slices.IndexFunc(layers, func(l needLayer) bool { return l.amount[i].Given })
		if at < 0 {
			*to, n.by[i] = rest[i], feeding.Source{Title: table.Table, Grade: table.Source.Grade}
			if table.Table != "" {
				need.Source = table.Source
			}
			continue
		}
		v := layers[at].amount[i].Value.SI
		*to, n.by[i] = feeding.Span{Low: v, High: v}, feeding.Source{Title: layers[at].name}
	}
	if need.Source.Title == "" {
		need.Source.Title = layers[0].name
	}
	n.Need = need
	n.Need.Table, _ = n.NeedBy(feeding.Fed()...)
}

// NeedBy names who gives the need of some nutrients, and tells whether any of it comes from memory.
func (n *PlantingFeeding) NeedBy(nutrients ...feeding.Nutrient) (names string, unverified bool) {
	var all []string
	for i, nutrient := range feeding.Fed() {
		if by := n.by[i]; by.Title != "" && slices.Contains(nutrients, nutrient) {
			unverified = unverified || by.Unverified()
			if !slices.Contains(all, by.Title) {
				all = append(all, by.Title)
			}
		}
	}
	return strings.Join(all, ", "), unverified
}

// tableNeed is the need by a table, or why there is none.
func (n *PlantingFeeding) tableNeed(pf *PlotFeeding) (need feeding.Need, unknown string) {
	switch {
	case pf.Test == nil:
		return feeding.NeedUntested(), ""
	case pf.Unrated != nil:
		return need, pf.Unrated.Error()
	case pf.P == nil || pf.K == nil:
		return need, "the soil test does not give both P and K"
	}
	need, err := feeding.NeedOf(n.Planting.Decl.Crop.Ident, pf.Plot.Decl.Soil.Texture.Value, *pf.P, *pf.K)
	if err != nil {
		return need, fmt.Sprintf("no table has the need of %s: give it by need(...)", n.Planting.Decl.Crop.Title())
	}
	return need, ""
}

// Unverified tells whether the need comes from memory.
func (n *PlantingFeeding) Unverified() bool { return n.Unknown == "" && n.Need.Source.Unverified() }

// Sure tells whether there is a need of which to be short: not when it is the general rate for untested soil.
func (n *PlantingFeeding) Sure() bool {
	return n.Unknown == "" && (n.Of != nil || n.Planting.Row.Plot.tested())
}

func (p *Plot) tested() bool { return p.Decl.Soil != nil && p.Decl.Soil.Test != nil }

// Rich tells whether the soil has so much phosphorus that none more is wanted beyond the need.
func (n *PlantingFeeding) Rich() bool {
	return n.Unknown == "" && (n.rich || n.Sure() && n.Need.P2O5.High == 0)
}

// Lacks is what the need still lacks at the middle of its range, kg/m2, after credit and what is fed; negative when
// there is more than that.
func (n *PlantingFeeding) Lacks() feeding.Nutrients {
	lacks := n.Need.Mid().Plus(n.Mid.Scale(-1))
	lacks.N -= n.Credit.Mid()
	return lacks
}
