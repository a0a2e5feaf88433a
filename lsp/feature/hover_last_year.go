package feature

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// pastText says what stood on a thing's ground last year and how this year's differs; "" before that is known.
func (d *Doc) pastText(t Thing) string {
	b := d.Plan.past.Load()
	if b == nil {
		return ""
	}
	switch {
	case t.Planting != nil:
		return d.plantingPast(t.Planting)
	case t.Row != nil:
		stood := d.stood(func(e *derive.Earlier) []derive.Share { return e.OnRow(t.Row) })
		now := make([]string, len(t.Row.Plantings))
		for i, p := range t.Row.Plantings {
			now[i] = d.standing(p, d.year())
		}
		return joinParts([]string{d.groundText(t.Row.Plot, stood, nowText(now)), changesText(d.sincePast(), b.changes[t.Row.Plot], t)})
	case t.Plot != nil:
		return joinParts([]string{d.plotPast(t.Plot), changesText(d.sincePast(), b.changes[t.Plot], t)})
	}
	return ""
}

// mostAtOnce bounds the plantings of one call whose ground is looked up for a hover, which somebody waits for.
const mostAtOnce = 200

// manyPast sums up what grew last year where the plantings of one call stand now: what had at least half of its
// ground there.
func (d *Doc) manyPast(things []Thing) string {
	if d.Plan.past.Load() == nil || len(things) > mostAtOnce {
		return ""
	}
	shared := map[*derive.Planting]float64{}
	var stood []*derive.Planting
	for _, p := range plantingsOf(things) {
		g, _ := p.Ground()
		for _, s := range d.stood(func(e *derive.Earlier) []derive.Share { return e.On(p) }) {
			if shared[s.Planting] == 0 {
				stood = append(stood, s.Planting)
			}
			shared[s.Planting] += s.Part * g.Area()
		}
	}
	stood = slices.DeleteFunc(stood, func(p *derive.Planting) bool {
		g, _ := p.Ground()
		return 2*shared[p] < g.Area()
	})
	if len(stood) == 0 {
		return ""
	}
	return d.pastHead() + " on this ground: " + strings.Join(byCrop(stood), ", ") + "."
}

// stood lists what the plans of last year had on a ground, what had most of it first.
func (d *Doc) stood(on func(*derive.Earlier) []derive.Share) []derive.Share {
	var all []derive.Share
	for _, e := range d.Plan.lastPlans() {
		all = append(all, on(e)...)
	}
	slices.SortStableFunc(all, func(a, b derive.Share) int { return cmp.Compare(b.Part, a.Part) })
	return all
}

// plantingPast tells of what a planting's ground bore, how the planting differs, and where its crop stood if
// that was elsewhere.
func (d *Doc) plantingPast(p *derive.Planting) string {
	stood := d.stood(func(e *derive.Earlier) []derive.Share { return e.On(p) })
	now := "now " + d.standing(p, d.year())
	if len(stood) == 1 {
		now = d.against(stood[0].Planting, p)
	}
	parts := []string{d.groundText(p.Row.Plot, stood, now)}
	like := d.Plan.counterpart(p)
	isHere := slices.ContainsFunc(stood, func(s derive.Share) bool { return s.Planting == like })
	if like != nil && !isHere {
		parts = append(parts, d.pastHead()+", elsewhere: "+d.standing(like, d.pastYear())+", in "+rowOf(like.Row)+".")
	}
	return joinParts(parts)
}

// groundText says what stood on a ground last year and, behind that, what does now; "" where no plan of last year
// knows the plot.
func (d *Doc) groundText(plot *derive.Plot, stood []derive.Share, now string) string {
	switch {
	case len(stood) == 0 && !d.isKnown(plot):
		return ""
	case len(stood) == 0:
		return d.pastHead() + ": nothing on this ground; " + now + "."
	case len(stood) == 1:
		return d.pastHead() + ": " + d.standing(stood[0].Planting, d.pastYear()) + onPart(stood[0].Part) + " of this ground; " + now + "."
	}
	var lines []string
	for _, s := range stood {
		lines = append(lines, "- "+d.standing(s.Planting, d.pastYear())+onPart(s.Part))
	}
	if more := len(lines) - maxListed; more > 1 {
		lines = append(lines[:maxListed], fmt.Sprintf("- and %d more", more))
	}
	return d.pastHead() + " on this ground:\n\n" + strings.Join(lines, "\n") + "\n\n" + capital(now) + "."
}

// isKnown tells whether a plan of last year has some of a plot's ground.
func (d *Doc) isKnown(plot *derive.Plot) bool {
	for _, e := range d.Plan.lastPlans() {
		if slices.ContainsFunc(e.Facts().Plots, func(q *derive.Plot) bool { return derive.Meet(plot.Decl, q.Decl) }) {
			return true
		}
	}
	return false
}

// onPart is " on 62 %" of a ground, or " on all".
func onPart(part float64) string {
	percent := math.Round(part * 100)
	if percent >= 100 {
		return ", on all"
	}
	return fmt.Sprintf(", on %.0f %%", percent)
}

// standing is a planting in a few words: "eggplant, 25 plants at 24 in, planted May 8".
func (d *Doc) standing(p *derive.Planting, year int) string {
	words := []string{p.Decl.Crop.Title()}
	if p.Placed() {
		words = append(words, counted(p.Plants, "plant")+" at "+d.spacing(p))
	}
	return strings.Join(append(words, started(p, year)...), ", ")
}

func (d *Doc) spacing(p *derive.Planting) string {
	return d.units().Short(quantity.Meters(p.Spacing))
}

// started says when a planting came into the row, in no words where that is not known.
func started(p *derive.Planting, year int) []string {
	if !p.Plant.IsSet() {
		return nil
	}
	verb := "planted "
	if p.Decl.Direct {
		verb = "sown "
	}
	_, day, _ := strings.Cut(p.Plant.Long(year), " ") // without the day of the week, which is another every year
	return []string{verb + day}
}

// against says of a planting only what differs from the one on its ground last year, of another crop everything.
func (d *Doc) against(then, now *derive.Planting) string {
	if now.Decl.Crop.Title() != then.Decl.Crop.Title() {
		return "now " + d.standing(now, d.year())
	}
	var words []string
	if now.Placed() {
		plants, apart := counted(now.Plants, "plant"), "at "+d.spacing(now)
		otherCount, otherSpacing := now.Plants != then.Plants, d.spacing(now) != d.spacing(then)
		switch {
		case otherCount && otherSpacing:
			words = append(words, plants+" "+apart)
		case otherCount:
			words = append(words, plants)
		case otherSpacing:
			words = append(words, apart)
		}
	}
	if day := started(now, d.year()); !slices.Equal(day, started(then, d.pastYear())) {
		words = append(words, day...)
	}
	if len(words) == 0 {
		return "the same now"
	}
	return "now " + strings.Join(words, ", ")
}

func nowText(list []string) string {
	switch len(list) {
	case 0:
		return "now nothing"
	case 1:
		return "now " + list[0]
	}
	return "now " + strings.Join(shortened(list), "; ")
}

// plotPast sums up what grew in a plot last year and what does now, crop by crop.
func (d *Doc) plotPast(plot *derive.Plot) string {
	if !d.isKnown(plot) {
		return ""
	}
	var stood, now []*derive.Planting
	for _, e := range d.Plan.lastPlans() {
		stood = append(stood, e.In(plot.Decl)...)
	}
	for _, r := range plot.Rows {
		now = append(now, r.Plantings...)
	}
	then := "nothing"
	if len(stood) > 0 {
		then = strings.Join(byCrop(stood), ", ")
	}
	return d.pastHead() + " on this ground: " + then + "; " + nowText([]string{strings.Join(byCrop(now), ", ")}) + "."
}

// byCrop counts plants by their crops, in the order of the plantings; nothing is said as such.
func byCrop(list []*derive.Planting) []string {
	plants, isOpen := map[string]int{}, map[string]bool{}
	var titles []string
	for _, p := range list {
		title := p.Decl.Crop.Title()
		if !slices.Contains(titles, title) {
			titles = append(titles, title)
		}
		plants[title] += p.Plants
		isOpen[title] = isOpen[title] || !p.Placed()
	}
	words := make([]string, len(titles))
	for i, title := range titles {
		if words[i] = strconv.Itoa(plants[title]) + " " + title; isOpen[title] {
			words[i] = "an unknown number of " + title
		}
	}
	if len(words) == 0 {
		return []string{"nothing"}
	}
	return shortened(words)
}
