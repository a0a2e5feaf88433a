package derive

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
)

// twoYears draws a farm and one of the year before it, of a plot each, with a place on the map or without.
func twoYears(t *rapid.T) (now *Facts, past *Earlier) {
	kinds := []*farm.Crop{crop("a"), crop("b"), crop("c")}
	kinds[0].Family, kinds[1].Family = "Nightshade", "Cabbage"
	year := func(name string) *plan {
		p := drawFarm(t).build(1)
		for _, d := range p.Plantings {
			d.Crop = rapid.SampledFrom(kinds).Draw(t, name+" crop")
		}
		if rapid.Bool().Draw(t, name+" has a place") {
			p.Plots[0].East, p.Plots[0].North = length(half(t, name+" east", 0, 40)), length(half(t, name+" north", 0, 40))
			p.Plots[0].Bearing.Value = float64(rapid.IntRange(0, 359).Draw(t, name+" bearing"))
		}
		return p
	}
	before, p := year("then"), year("now")
	before.Year.Value = 2026
	p.Earlier = []*farm.Previous{{Entry: "2026/farm.star", Farm: &before.Farm}}
	now = derive(t, p)
	return now, now.Earlier[0]
}

// sharedBy is what an earlier planting has of a part of a plot, by looking at the two alone.
func sharedBy(plot *farm.Plot, on rect, then *Planting) float64 {
	was, ok := then.rooted()
	if there := then.Row.Plot.Decl; !ok {
		return 0
	} else if IsPositioned(plot) && IsPositioned(there) {
		return on.of(plot).Shared(was.of(there)) / on.area()
	}
	return on.inPlot().Shared(was.inPlot()) / on.area()
}

// What stood on a ground is found as if each planting of the year before were held against it.
func TestWhatStoodOnAGround(t *testing.T) {
	const edge = 1e-9 // a share so near a limit may fall on either side
	rapid.Check(t, func(t *rapid.T) {
		now, past := twoYears(t)
		for _, p := range now.Plantings {
			on, ok := p.rooted()
			if !ok || on.area() <= 0 {
				require.Empty(t, past.On(p))
				continue
			}
			found := past.On(p)
			last, most := 2.0, 0.0
			for _, then := range past.Facts().Plantings {
				part := min(sharedBy(p.Row.Plot.Decl, on, then), 1)
				if p.Decl.Crop.Family != "" && then.Decl.Crop.Family == p.Decl.Crop.Family {
					most = max(most, part)
				}
				i := slices.IndexFunc(found, func(s Share) bool { return s.Planting == then })
				if i < 0 {
					require.Less(t, part, leastShare+edge)
					continue
				}
				require.InDelta(t, part, found[i].Part, edge)
				require.Greater(t, part, leastShare-edge)
			}
			for _, s := range found {
				require.LessOrEqual(t, s.Part, last+1e-6, "what had most of it comes first")
				last = s.Part
			}
			kin, share := past.Kin(p)
			if kin == nil {
				require.Less(t, most, leastShare+edge)
				continue
			}
			require.InDelta(t, most, share, 1e-6)
			require.Equal(t, p.Decl.Crop.Family, kin.Decl.Crop.Family)
		}
		plot := now.Plots[0].Decl
		in := past.In(plot)
		for _, then := range past.Facts().Plantings {
			was, ok := then.rooted()
			if !ok || was.area() <= 0 {
				continue
			}
			part := sharedBy(plot, whole(plot), then) * whole(plot).area() / was.area()
			if part < 0.5-edge {
				require.NotContains(t, in, then)
			} else if part > 0.5+edge {
				require.Contains(t, in, then)
			}
		}
	})
}

// A row is asked about whether anything stands in it or not.
func TestWhatStoodInARow(t *testing.T) {
	before, p := newPlan(foot), newPlan(foot)
	bed := before.plot("Bench", 40, 20, 0)
	before.plant(before.row(bed, 4), crop("kale"), 1, counted(20))
	before.plant(before.row(bed, 10), crop("beet"), 1, filled)
	before.plant(before.row(bed, 16), crop("leek"), 1)
	plot := p.plot("bench", 40, 20, 0)
	p.row(plot, 4)
	p.row(plot, 10)
	p.row(plot, 16)
	p.row(plot, 19)
	p.Earlier = []*farm.Previous{{Entry: "then", Farm: &before.Farm}}
	facts := derive(t, p)
	var found []string
	for _, r := range facts.Rows {
		text := ""
		for _, s := range facts.Earlier[0].OnRow(r) {
			text += s.Planting.Decl.Crop.Name
		}
		found = append(found, text)
	}
	require.Equal(t, []string{"kale", "beet", "", ""}, found)
	require.Len(t, facts.Earlier[0].In(plot), 2)
}
