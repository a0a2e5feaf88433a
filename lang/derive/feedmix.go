package derive

import (
	"math"

	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/season"
)

// portion is a part of what a planting lacks, on each area, and when it is fed.
type portion struct {
	need feeding.Nutrients
	day  season.Date
	room float64 // for nitrogen in one application, on each area; +Inf without a limit
}

// mixKey joins the plantings that one mix fits: they lack the same on each area, within the same caps.
type mixKey struct {
	n, p2o5, k2o, cap, salt, room float64
}

// mixGroup is plantings that are fed one mix.
type mixGroup struct {
	key   mixKey
	parts []groupPart
	area  float64
}

// groupPart is one of them, and the day.
type groupPart struct {
	*hungry
	day season.Date
}

// hungry is a planting that is fed to need, with what it is to get and when.
type hungry struct {
	row      *Row
	planting *PlantingFeeding
	portions []portion
	over     float64 // nitrogen that mixes so far have brought beyond their portions, on each area
}

// feedToNeed works out the feedings that make up what the need lacks after credits and what is fed by rate. One mix is
// made for all plantings that lack the same, so that a hundred rows alike take one linear program. The plantings get
// their first portions, then their second ones and so on: what a mix brings of nitrogen beyond its portion is left
// out of those after it.
func (fd *Feeding) feedToNeed(f *farm.Farm, stock map[*farm.Product]float64) {
	for _, feed := range f.Feeds {
		if !feed.ToNeed.Value || len(feed.Products) == 0 {
			continue
		}
		all := fd.hungry(feed)
		for turn, more := 0, true; more; turn++ {
			more = false
			for _, g := range groupsOf(feed, all, turn) {
				more = true
				over := fd.mix(feed, g, stock)
				for _, h := range g.parts {
					h.over += over
				}
			}
		}
	}
}

// hungry lists the plantings that a feeding feeds to need, in the order of the rows.
func (fd *Feeding) hungry(feed *farm.Feed) []*hungry {
	var all []*hungry
	rows, only := fd.places(feed)
	late, standing := false, false
	for _, r := range rows {
		for _, p := range r.Plantings {
			n := fd.Plantings[p.Number-1]
			if only != nil && p != only || !(n.Area > 0) {
				continue
			}
			if n.Unknown != "" {
				fd.Failed = append(fd.Failed, &FeedFailure{Feed: feed, Plantings: []*Planting{p}, Area: n.Area})
				continue
			}
			if feed.On.Given && p.gone(feed.On.Value) {
				late = true
				continue
			}
			if feed.On.Given && only == nil && p.preceded(feed.On.Value) {
				continue
			}
			standing = true
			all = append(all, &hungry{row: r, planting: n, portions: n.portions(feed)})
		}
	}
	if late && !standing {
		fd.Late = append(fd.Late, feed)
	}
	return all
}

// groupsOf joins the plantings whose portion at a turn one mix fits, in the order of the first of each.
func groupsOf(feed *farm.Feed, all []*hungry, turn int) []*mixGroup {
	var groups []*mixGroup
	at := map[mixKey]*mixGroup{}
	for _, h := range all {
		if turn >= len(h.portions) {
			continue
		}
		part := h.portions[turn]
		spared := min(part.need.N, h.over)
		part.need.N, h.over = part.need.N-spared, h.over-spared
		key := h.planting.keyOf(feed, part)
		g := at[key]
		if g == nil {
			g = &mixGroup{key: key}
			at[key] = g
			groups = append(groups, g)
		}
		g.parts = append(g.parts, groupPart{h, part.day})
		g.area += h.planting.Area
	}
	return groups
}

// keyOf tells which mix fits, to twelve digits.
func (n *PlantingFeeding) keyOf(feed *farm.Feed, part portion) mixKey {
	p := n.Planting
	k := mixKey{n: digits(part.need.N), p2o5: digits(part.need.P2O5), k2o: digits(part.need.K2O), cap: math.Inf(1), salt: math.Inf(1), room: digits(part.room)}
	if n.Rich() {
		k.cap = digits(max(0, n.Need.P2O5.High-n.Mid.P2O5))
	}
	if limit, ok := SaltLimit(feed, p, part.day); ok {
		k.salt = digits(limit.LineMass * p.stretch() * float64(len(p.Row.Lines)) / n.Area)
	}
	return k
}

func digits(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) {
		return v
	}
	step := math.Pow10(int(math.Floor(math.Log10(math.Abs(v)))) - 11)
	return math.Round(v/step) * step
}

// nearSeed is how many days from sowing on a product still lies beside seed that has not come up.
const nearSeed = 7

// SaltLimit is the most N and K2O that may lie near the seed of a planting on a day; false where none is near.
func SaltLimit(feed *farm.Feed, p *Planting, day season.Date) (feeding.SaltLimit, bool) {
	if !p.direct() || !day.IsSet() || !p.Plant.IsSet() || day < p.Plant.Add(-nearSeed) || day > p.Plant.Add(nearSeed) {
		return feeding.SaltLimit{}, false
	}
	switch feed.Placement.Value {
	case "in furrow":
		return feeding.SaltNear(feeding.WithSeed), true
	case "band":
		return feeding.SaltNear(feeding.BesideSeed), true
	}
	return feeding.SaltLimit{}, false
}

// portions parts what the planting lacks by the stages of the table, when the feeding names neither day nor stage.
// Phosphate and potash go on before planting; a dressing after that is for nitrogen (common practice). Of nitrogen that the
// limit of one application holds back, the next dressings take what they have room for.
func (n *PlantingFeeding) portions(feed *farm.Feed) []portion {
	lacks, p := n.Lacks(), n.Planting
	lacks = feeding.Nutrients{N: max(0, lacks.N), P2O5: max(0, lacks.P2O5), K2O: max(0, lacks.K2O)}
	limit, _ := n.AtOnce(feed)
	var all []portion
	held := 0.0 // nitrogen that the limit has held back
	add := func(need feeding.Nutrients, day season.Date) {
		room := n.room(limit, day)
		need.N, held = min(need.N+held, room), max(0, need.N+held-room)
		if need.N+need.P2O5+need.K2O > tolerance {
			all = append(all, portion{need, day, room})
		}
	}
	stage := feeding.Stage(feed.Stage.Value)
	if feed.On.Given || feed.Stage.Given {
		day := feed.On.Value
		if !feed.On.Given {
			day = p.stageDay(stage, feed.Days.Value)
		}
		if day.IsSet() && p.Plant.IsSet() && day > p.Plant {
			lacks = feeding.Nutrients{N: lacks.N}
		}
		add(lacks, day)
		return all
	}
	split, _, ok := feeding.Split(p.Decl.Crop.Ident)
	if !ok {
		split = []feeding.Portion{{Share: 1, Stage: feeding.BeforePlanting}}
	}
	day := season.None
	for i, s := range split {
		days := p.dressings(s)
		for j := range days {
			day = days[j]
			need := feeding.Nutrients{N: lacks.N * s.Share / float64(len(days))}
			if i == 0 && j == 0 {
				need.P2O5, need.K2O = lacks.P2O5, lacks.K2O
			}
			add(need, day)
		}
	}
	for range mostDressings {
		if day = p.nextDressing(day); held < tolerance || !day.IsSet() {
			break
		}
		add(feeding.Nutrients{}, day)
	}
	return all
}

// mostDressings bounds one share's side-dressings.
const mostDressings = 12

// dressings gives the days over which a share is spread.
func (p *Planting) dressings(s feeding.Portion) []season.Date {
	day := p.stageDay(s.Stage, int(s.Days.Mid()+0.5))
	days := []season.Date{day}
	if step := int(s.Every.Mid() + 0.5); step > 0 && day.IsSet() && p.LastHarvest.IsSet() {
		for day = day.Add(step); day <= p.LastHarvest.Add(-lastDressing) && len(days) < mostDressings; day = day.Add(step) {
			days = append(days, day)
		}
	}
	return days
}

// mix feeds a group of plantings the cheapest mix for them all, parted by ground. It gives the nitrogen that this
// brings beyond what was asked for, on each area.
func (fd *Feeding) mix(feed *farm.Feed, g *mixGroup, stock map[*farm.Product]float64) (over float64) {
	if g.key.n+g.key.p2o5+g.key.k2o <= tolerance {
		return 0
	}
	ground, have := g.area, false
	for _, p := range feed.Products {
		have = have || stock[p] > 0
	}
	if !have {
		ground = 1 // without stock a mix grows with its ground, so that one is worked out for all feedings alike
	}
	mix, err := fd.blend(feed.Products, g.key, ground, stock, !have)
	if err != nil {
		fail := &FeedFailure{Feed: feed, Area: ground, Why: err}
		for _, t := range g.parts {
			fail.Plantings = append(fail.Plantings, t.planting.Planting)
		}
		fd.Failed = append(fd.Failed, fail)
		return 0
	}
	for _, part := range mix.Parts {
		p := feed.Products[part.Offer]
		stock[p] = max(0, stock[p]-part.Leftover)
		for _, t := range g.parts {
			n := t.planting
			share := n.Area / ground
			fd.add(&Dose{
				Feed: feed, Product: p, Row: t.row, Planting: n.Planting, Day: t.day, Area: n.Area,
				Length: n.Planting.stretch() * float64(len(t.row.Lines)),
				Mass:   part.Mass() * share, Leftover: part.Leftover * share,
			})
		}
	}
	return max(0, mix.Gives.N/ground-g.key.n)
}

// mostKept is the most products of a mix that is kept for other feedings alike.
const mostKept = 4

// keptKey tells which feedings one mix for a square meter fits.
type keptKey struct {
	mixKey
	products [mostKept]*farm.Product
}

type keptMix struct {
	mix feeding.Mix
	err error
}

// blend gives the cheapest mix for an area; keep tells that there is no stock on which it hangs.
func (fd *Feeding) blend(products []*farm.Product, k mixKey, area float64, stock map[*farm.Product]float64, keep bool) (feeding.Mix, error) {
	keep = keep && len(products) <= mostKept
	kept := keptKey{mixKey: k}
	if keep {
		copy(kept.products[:], products)
		if m, ok := fd.kept[kept]; ok {
			return m.mix, m.err
		}
	}
	offers := make([]feeding.Offer, len(products))
	for i, p := range products {
		offers[i] = feeding.Offer{Product: product(p), Price: math.NaN(), Stock: stock[p], Buy: math.Inf(1)}
		if p.Price.Given && p.Pack.Given {
			offers[i].Price = p.Price.Value / p.Pack.Value.SI
		}
	}
	caps := feeding.NoCaps()
	if !math.IsInf(k.cap, 1) {
		caps.P2O5 = k.cap * area
	}
	if !math.IsInf(k.salt, 1) {
		caps.Salt = k.salt * area
	}
	if !math.IsInf(k.room, 1) {
		caps.N = k.room * area
	}
	mix, err := feeding.Blend(offers, feeding.Nutrients{N: k.n, P2O5: k.p2o5, K2O: k.k2o}.Scale(area), caps)
	if keep {
		if fd.kept == nil {
			fd.kept = map[keptKey]keptMix{}
		}
		fd.kept[kept] = keptMix{mix, err}
	}
	return mix, err
}
