package derive

import (
	"fmt"
	"math"

	"haulm/stdlib/season"
	"haulm/stdlib/water"
)

// usualEfficiency is what drip brings to the roots of the water sent, where no evenness is worked out
// (Colorado State University Extension 5.623).
const usualEfficiency = 0.9

// leastEfficiency bounds what Need makes good: a zone less even than that has to be mended first.
const leastEfficiency = 0.5

// addNeed works out what every planting needs by week, and sums the rows up.
func (w *Water) addNeed(facts *Facts) {
	for _, z := range w.Zones {
		z.Efficiency = usualEfficiency
		if z.Unsolved == "" {
			z.Efficiency = max(leastEfficiency, min(1, z.EU))
		}
	}
	uses := users{}
	block := w.addPlantings(facts, uses)
	site := facts.Farm.Site
	if !givesWeather(site) {
		w.NoNeed = noWeather(site)
		for i := range block {
			block[i].Unknown = w.NoNeed
		}
		return
	}
	from, to := standing(facts.Farm, block, uses)
	if from == to {
		w.NoNeed = firstReason(block)
		return
	}
	t := newThirst(site, from, to, facts.Farm.Today)
	w.Gaps, w.Trouble, w.Missing = t.gaps, t.trouble, t.missing(block)
	known := false
	for i := range block {
		n := &block[i]
		if n.Unknown == "" {
			n.need(t, uses.of(n.Planting.Decl.Crop))
			known = known || n.Unknown == ""
		}
	}
	if !known {
		w.NoNeed = firstReason(block)
		return
	}
	for d := from; d < to; d += 7 {
		w.Weeks = append(w.Weeks, d)
	}
	w.Climate = t.weeks()
	for _, r := range w.Rows {
		r.sum(len(w.Weeks))
		r.hold()
	}
}

// addPlantings gives every row its plantings and the ground that its tapes wet for them.
func (w *Water) addPlantings(facts *Facts, uses users) []PlantingWater {
	block := make([]PlantingWater, len(facts.Plantings))
	w.Plantings = make([]*PlantingWater, len(facts.Plantings))
	for i, p := range facts.Plantings {
		n := &block[i]
		n.Planting, n.First = p, -1
		p.Water, w.Plantings[i] = n, n
	}
	next := 0
	for _, r := range w.Rows {
		r.Plantings = w.Plantings[next : next+len(r.Row.Plantings)]
		next += len(r.Plantings)
		r.wet(uses)
	}
	return block
}

func firstReason(block []PlantingWater) string {
	if len(block) == 0 {
		return "nothing is planted"
	}
	return block[0].Unknown
}

// need works the planting's weeks out.
func (n *PlantingWater) need(t *thirst, use *cropUse) {
	if n.Unknown = n.fit(t, use); n.Unknown != "" {
		return
	}
	n.cover = n.newCover()
	sent, err := water.Volume(1, n.Area, n.efficiency())
	if err != nil {
		n.Unknown = reason(err)
		return
	}
	n.sent = sent
	n.First = int(n.from-t.first) / 7
	n.Weeks = make([]PlantingWeek, int(n.to-1-t.first)/7-n.First+1)
	most := 0.0
	for i := range n.Weeks {
		start := t.first.Add(7 * (n.First + i))
		n.Weeks[i] = n.week(t, max(start, n.from), min(start+7, n.to))
		most = max(most, n.Weeks[i].Use/float64(n.Weeks[i].Days))
	}
	n.Like, n.RootDepth = use.use.Like, use.roots
	if p, err := water.AdjustP(use.depletion, most); err == nil {
		n.Depletion = p
	}
}

// week goes through the days of one of its weeks. What the roots' ground lacks begins at nothing, grows by
// what the crop uses and is made good by rain; what is still lacking at the week's end is brought to it.
// Measured rain beyond what it lacks drains off; normal rain is spread evenly over its month, so it counts
// over the week as a whole.
func (n *PlantingWater) week(t *thirst, from, to season.Date) PlantingWeek {
	week := PlantingWeek{Days: int(to - from)}
	lacks := 0.0
	for d := from; d < to; d++ {
		day := &t.days[d-t.first]
		age := float64(d-n.from) + 1
		share := n.cover.at(age)
		kc := n.Curve.At(age) * share
		use := kc * day.et
		week.Kc += kc
		week.Cover += share
		week.Reference += day.et
		week.Use += use
		switch {
		case !day.fell:
			lacks -= day.counts
		case day.rain >= lightRain*day.et && lacks > 0:
			lacks = max(0, lacks-day.rain)
		}
		lacks += use
	}
	week.Kc /= float64(week.Days)
	week.Cover /= float64(week.Days)
	week.Net = min(week.Use, max(0, lacks))
	week.Rain = week.Use - week.Net
	week.Need, week.Dry = week.Net*n.sent, week.Use*n.sent
	return week
}

// lightRain is the share of the reference evapotranspiration below which a day's rain only wets the leaves
// (FAO-56 Eq. 85).
const lightRain = 0.2

// fit makes the curve and brings it to the climate of the mid and late stages.
func (n *PlantingWater) fit(t *thirst, use *cropUse) string {
	curve, height, err := use.curve(float64(n.to-n.from), n.Planting.Row.Decl.Trellis)
	if err != nil {
		return reason(err)
	}
	days := t.days[n.from-t.first : n.to-t.first]
	for i := range days {
		if math.IsNaN(days[i].et) {
			return fmt.Sprintf("climate and weather do not say enough of %s", n.from.Add(i).Month())
		}
	}
	n.height, n.table, n.weather = height, curve, t
	n.wind, n.rh = meanAir(days[int(curve.Stages.Initial+curve.Stages.Development):])
	if err = curve.Check(); err == nil {
		n.Curve, err = curve.InClimate(n.wind, n.rh, height)
	}
	if err != nil {
		return reason(err)
	}
	return ""
}

// meanAir gives the mean wind and least humidity of the days that know both; those of the tables' climate
// when none does.
func meanAir(days []thirstDay) (wind, rh float64) {
	count := 0
	for i := range days {
		if d := &days[i]; !math.IsNaN(d.wind) && !math.IsNaN(d.rh) {
			wind, rh = wind+d.wind, rh+d.rh
			count++
		}
	}
	if count == 0 {
		return 2, 45
	}
	return wind / float64(count), rh / float64(count)
}

// efficiency is that of the row's zone.
func (n *PlantingWater) efficiency() float64 {
	if z := n.Planting.Row.Water.Zone; z != nil {
		return z.Efficiency
	}
	return usualEfficiency
}

// sum adds the row's plantings up.
func (r *RowWater) sum(weeks int) {
	for _, n := range r.Plantings {
		if n.Unknown != "" {
			continue
		}
		if r.Weeks == nil {
			r.Weeks = make([]RowWeek, weeks)
		}
		fill := n.fill()
		for i, week := range n.Weeks {
			to := &r.Weeks[n.First+i]
			to.Need += week.Need
			to.Dry += week.Dry
			to.Time = max(to.Time, week.Need*fill)
			to.DryTime = max(to.DryTime, week.Dry*fill)
		}
		r.Thirst = max(r.Thirst, n.Curve.Mid*n.sent*fill)
	}
}

// fill gives the time that the row's tapes take to bring a m3 to the planting's part of the row; 0 when the
// flow is not known.
func (n *PlantingWater) fill() float64 {
	r := n.Planting.Row
	if r.Water.Flow == 0 || n.Area == 0 {
		return 0
	}
	return r.Length / (n.Area / n.Strip) / r.Water.Flow
}
