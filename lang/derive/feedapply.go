package derive

import (
	"math"

	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/season"
)

// Days between a stage and the planting day or the first harvest (common practice; the plants decide).
const (
	workIn       = 7  // before planting
	kneeSown     = 30 // corn 12 to 18 in tall
	kneeSetOut   = 18
	vinesSown    = 35 // vines tip over
	vinesSetOut  = 21
	bulbing      = 45 // from planting
	fruitBefore  = 28 // first fruit, before first harvest
	settled      = 14 // no side-dressing before plants have settled
	lastDressing = 14 // none later than this before the last harvest
)

// AtPlanting is the stage of what goes in with the plants or the seed.
const AtPlanting feeding.Stage = "at planting"

// stageDay gives the day of a stage; None when the planting's days are not known.
func (p *Planting) stageDay(stage feeding.Stage, days int) season.Date {
	sown := p.direct()
	pick := func(ifSown, ifSetOut int) season.Date {
		if sown {
			return later(p.Plant, ifSown)
		}
		return later(p.Plant, ifSetOut)
	}
	switch stage {
	case AtPlanting:
		return p.Plant
	case feeding.AfterPlanting:
		return later(p.Plant, days)
	case feeding.KneeHigh:
		return pick(kneeSown, kneeSetOut)
	case feeding.VinesTipOver:
		return pick(vinesSown, vinesSetOut)
	case feeding.BeforeBulbing:
		return later(p.Plant, bulbing)
	case feeding.FirstFruit:
		if !p.FirstHarvest.IsSet() {
			return season.None
		}
		return max(later(p.FirstHarvest, -fruitBefore), later(p.Plant, settled))
	case feeding.FirstHarvest:
		return p.FirstHarvest
	}
	return later(p.Plant, -workIn)
}

// dosed is a place and day that a feeding comes to.
type dosed struct {
	row          *Row
	planting     *Planting
	day          season.Date
	area, length float64
}

// feedByRate works out the feedings by rate and by amount.
func (fd *Feeding) feedByRate(f *farm.Farm, stock map[*farm.Product]float64) {
	for _, feed := range f.Feeds {
		if feed.ToNeed.Value || len(feed.Products) == 0 {
			continue
		}
		targets := fd.targets(feed)
		whole := 0.0
		for _, t := range targets {
			whole += t.area
		}
		for _, t := range targets {
			d := &Dose{Feed: feed, Product: feed.Products[0], Row: t.row, Planting: t.planting, Day: t.day, Area: t.area, Length: t.length}
			switch {
			case feed.Rate.Given:
				d.Mass = feed.Rate.Value.SI * t.area
			case feed.LineRate.Given:
				d.Mass = feed.LineRate.Value.SI * t.length
			default:
				d.Mass = feed.Amount.Value.SI * t.area / whole
			}
			if d.Mass > 0 {
				d.Leftover = min(stock[d.Product], d.Mass)
				stock[d.Product] -= d.Leftover
				fd.add(d)
			}
		}
	}
}

// places gives the rows of a feeding, and the one planting it is for when it names one.
func (fd *Feeding) places(feed *farm.Feed) (rows []*Row, only *Planting) {
	switch {
	case feed.Plot != nil:
		for _, p := range fd.facts.Plots {
			if p.Decl == feed.Plot {
				return p.Rows, nil
			}
		}
	case feed.Row != nil:
		if fd.byRow == nil {
			fd.byRow = make(map[*farm.Row][]*Row, len(fd.facts.Rows))
			for i, r := range fd.facts.Rows {
				fd.byRow[r.Decl] = fd.facts.Rows[i : i+1]
			}
		}
		return fd.byRow[feed.Row], nil
	case feed.Planting != nil:
		if fd.byPlanting == nil {
			fd.byPlanting = make(map[*farm.Planting]*Planting, len(fd.facts.Plantings))
			for _, p := range fd.facts.Plantings {
				fd.byPlanting[p.Decl] = p
			}
		}
		if p := fd.byPlanting[feed.Planting]; p != nil {
			return []*Row{p.Row}, p
		}
	}
	return nil, nil
}

// targets gives where and when a feeding by rate or amount comes.
func (fd *Feeding) targets(feed *farm.Feed) []dosed {
	rows, only := fd.places(feed)
	var all []dosed
	late := false
	for _, r := range rows {
		placed := false
		for _, p := range r.Plantings {
			area := fd.Plantings[p.Number-1].Area
			if only != nil && p != only || !(area > 0) {
				continue
			}
			placed = true
			day := feed.On.Value
			if !feed.On.Given {
				day = p.stageDay(feeding.Stage(feed.Stage.Value), feed.Days.Value)
			} else if p.gone(day) {
				late = true
				continue
			} else if only == nil && p.preceded(day) {
				continue
			}
			all = append(all, dosed{r, p, day, area, p.stretch() * float64(len(r.Lines))})
		}
		if area := r.share() * r.Length; !placed && len(r.Plantings) == 0 && only == nil && area > 0 && !math.IsInf(area, 1) {
			all = append(all, dosed{r, nil, feed.On.Value, area, r.Length * float64(len(r.Lines))})
		}
	}
	if late && len(all) == 0 {
		fd.Late = append(fd.Late, feed)
	}
	return all
}

// gone tells whether the planting takes up nothing any more: it is harvested for the last time, or cleared.
func (p *Planting) gone(day season.Date) bool {
	return p.LastHarvest.IsSet() && day >= p.LastHarvest || p.Clear.IsSet() && day >= p.Clear
}

// preceded tells whether what is fed on a day still goes to one that stands in the same place before.
func (p *Planting) preceded(day season.Date) bool {
	for _, q := range p.Row.Plantings {
		if q != p && q.Placed() && q.Plant < p.Plant && !q.gone(day) && q.Owns.From < p.Owns.To && p.Owns.From < q.Owns.To {
			return true
		}
	}
	return false
}
