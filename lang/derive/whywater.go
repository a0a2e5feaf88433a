package derive

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// teller writes the numbers of a reckoning in the farm's units.
type teller struct {
	u    quantity.System
	year int
}

func (p *Plot) teller() teller {
	t := teller{u: p.units()}
	if p.farm != nil {
		t.year = p.farm.Year.Value
	}
	return t
}

func (t teller) volume(m3 float64) string  { return t.u.Format(quantity.Of(m3, quantity.Volume)) }
func (t teller) area(m2 float64) string    { return t.u.Format(quantity.Of(m2, quantity.Area)) }
func (t teller) flow(v float64) string     { return t.u.Format(quantity.Of(v, quantity.Flow)) }
func (t teller) pressure(v float64) string { return t.u.Format(quantity.Of(v, quantity.Pressure)) }
func (t teller) speed(v float64) string    { return t.u.Format(quantity.Of(v, quantity.Speed)) }
func (t teller) long(v float64) string     { return t.u.Format(quantity.Meters(v)) }
func (t teller) short(v float64) string    { return t.u.Short(quantity.Meters(v)) }
func (t teller) share(v float64) string    { return t.u.Format(quantity.Of(v, quantity.Ratio)) }
func (t teller) week(d season.Date) string { return "week of " + d.Long(t.year) }

// depth writes a depth of water as a rain gauge reads it.
func (t teller) depth(mm float64) string {
	if t.u == quantity.US {
		return t.u.Format(quantity.Meters(mm / 1000))
	}
	return strconv.FormatFloat(mm, 'f', 1, 64) + " mm"
}

// OpenTime prints how long a valve is open, in seconds: "40 min", "10 h 43 min", in whole minutes and never in days.
func OpenTime(seconds float64) string {
	minutes := int(math.Round(seconds / 60))
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes%60 == 0:
		return fmt.Sprintf("%d h", minutes/60)
	}
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}

// plainNumber writes a coefficient with two decimals.
func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

func seen(name, value, from string) Input { return Input{Name: name, Value: value, Source: from} }

func planned(name, value string, span source.Span) Input {
	return Input{Name: name, Value: value, Source: thisPlan, Span: span}
}

// peak gives the planting's week with the greatest need, or with the greatest use where rain brings all; -1
// when the need is not known.
func (n *PlantingWater) peak() int {
	best := -1
	for i, w := range n.Weeks {
		if best < 0 || exceeds(w.Need, n.Weeks[best].Need) || n.Weeks[best].Need == 0 && exceeds(w.Use, n.Weeks[best].Use) {
			best = i
		}
	}
	return best
}

// Why gives the reckonings of the planting's water: the weather's thirst in the week that needs most, the
// crop's coefficient, the ground it draws from, the need of that week and of the season.
func (n *PlantingWater) Why() []Reckoning {
	if n.Unknown != "" {
		return []Reckoning{{Title: "Water", Equation: "reference evapotranspiration × the crop's coefficient", Result: "not known: " + n.Unknown}}
	}
	t := n.Planting.Row.Plot.teller()
	i := n.peak()
	monday := monday(n.from).Add(7 * i)
	out := []Reckoning{n.whyThirst(t, monday), n.whyCurve(t), n.whyGround(t)}
	if !n.cover.whole {
		out = append(out, n.whyCover(t))
	}
	return append(out, n.whyWeek(t, i, monday), n.whySeason(t))
}

// whyThirst tells where the week's reference evapotranspiration comes from.
func (n *PlantingWater) whyThirst(t teller, monday season.Date) Reckoning {
	at := int(monday - n.weather.first)
	days := n.weather.days[at : at+7]
	sum := 0.0
	for i := range days {
		sum += days[i].et
	}
	r := Reckoning{
		Title:    "Reference evapotranspiration, " + t.week(monday),
		Equation: usualMethod(days),
		Result:   t.depth(sum),
	}
	site := n.Planting.Row.Plot.farm.Site
	mid := monday.Add(3)
	switch {
	case strings.HasPrefix(r.Equation, "FAO-56"):
		r.Source = "FAO-56 Eq. 6"
	case strings.HasPrefix(r.Equation, "Hargreaves"):
		r.Source = "FAO-56 Eq. 52"
	default:
		r.Source = thisPlan
	}
	if days[3].measured {
		r.Inputs = []Input{planned("weather file", site.Weather.File.Value, site.Weather.Call)}
		return r
	}
	r.Inputs = append(monthInputs(t, site.Climate, mid), Input{Name: "latitude",
		Value: strconv.FormatFloat(site.Latitude.Value, 'f', -1, 64) + "°", Source: thisPlan, Span: site.Latitude.Span})
	for _, text := range n.weather.usual.assumed[mid.Month()-1] {
		r.Inputs = append(r.Inputs, seen("not given, so taken", text, "FAO-56 chapter 3"))
	}
	return r
}

// monthInputs lists what the climate gives for the month of a day.
func monthInputs(t teller, c *farm.Climate, on season.Date) []Input {
	var out []Input
	for _, m := range []struct {
		name   string
		months *farm.Months
	}{
		{"reference_et", &c.ReferenceET}, {"tmin", &c.TMin}, {"tmax", &c.TMax}, {"humidity", &c.Humidity},
		{"wind", &c.Wind}, {"sunshine", &c.Sunshine},
	} {
		if v := month(m.months, int(on.Month())-1); !math.IsNaN(v) {
			out = append(out, planned(m.name+" of "+on.Month().String(), t.u.Format(m.months.Value[on.Month()-1]), m.months.Span))
		}
	}
	return out
}

func (n *PlantingWater) whyCurve(t teller) Reckoning {
	p, use, s := n.Planting, newCropUse(n.Planting.Decl.Crop), n.Curve.Stages
	r := Reckoning{
		Title: "Crop coefficient (Kc)",
		Equation: "level when young and at full growth, straight lines between and to the end (Eq. 66); full growth and end " +
			"shifted by (0.04 (wind - 2) - 0.004 (least humidity - 45)) (height / 3)^0.3 (Eq. 62, 65)",
		Result: fmt.Sprintf("%s, %s and %s; stages of %.0f, %.0f, %.0f and %.0f days", plainNumber(n.Curve.Initial),
			plainNumber(n.Curve.Mid), plainNumber(n.Curve.End), s.Initial, s.Development, s.Mid, s.Late),
		Source: "FAO-56; stages stretched alike to the planting's days, common practice",
	}
	name := "Kc young, full, end"
	if n.Like != "" {
		name += " (stages of " + n.Like + ")"
	}
	kc := p.cropInput(name, fmt.Sprintf("%s, %s, %s", plainNumber(n.table.Initial), plainNumber(n.table.Mid), plainNumber(n.table.End)), &use.from.KcMid)
	days := seen("days in the row", strconv.Itoa(int(n.to-n.from)), "see Clear")
	if n.printed {
		days.Source = use.use.StageSource + ", for no clearing day is known"
	}
	printed := use.use.Stages
	r.Inputs = []Input{
		kc, days,
		seen("stages as printed", fmt.Sprintf("%.0f, %.0f, %.0f and %.0f days", printed.Initial, printed.Development, printed.Mid, printed.Late), use.use.StageSource),
		seen("wind", t.speed(n.wind), "climate of the mid and late stages"),
		seen("least humidity", t.share(n.rh/100), "climate of the mid and late stages"),
		seen("height", t.long(n.height), use.use.BasalSource),
	}
	if n.height > use.use.Height.Mid() {
		r.Inputs[5] = planned("height", t.long(n.height), p.Row.Decl.Trellis.Height.Span)
	}
	return r
}

func (n *PlantingWater) whyGround(t teller) Reckoning {
	p := n.Planting
	r := Reckoning{
		Title: "Ground it draws from",
		Equation: "width × the stretch that it owns within the row; width from halfway to the row's neighbor on one side to halfway " +
			"on the other, at most the crop's widest distance between rows (beside the outer lines of a bed)",
		Inputs: []Input{
			seen("between the halves", t.long(p.Row.share()), "see the rows beside it"),
			p.cropInput("distance between rows", p.lengths(&p.Decl.Crop.BetweenRows), &p.Decl.Crop.BetweenRows),
			seen("stretch", t.long(n.Area/n.Strip), "see Place in the row"),
		},
		Result: fmt.Sprintf("%s: %s wide", t.area(n.Area), t.long(n.Strip)),
		Source: commonPractice,
	}
	return r
}

func (n *PlantingWater) whyCover(t teller) Reckoning {
	r := Reckoning{
		Title: "Share of the coefficient while it is young",
		Equation: "covered ground / 0.85, 10 % covered when the young stage ends and 85 % at full growth; never less than the wetted " +
			"share of the ground, never more than 1",
		Result: fmt.Sprintf("%s, rising to 1 in %.0f days", plainNumber(n.cover.at(1)), n.cover.to),
		Source: "Keller and Karmeli, memory; FAO-56 Eq. 60",
	}
	if w := n.Planting.Row.Water.Wetting; w != nil {
		r.Inputs = []Input{seen("wetted width", t.short(w.Across), "see Wetted ground of the row"), seen("width of its ground", t.long(n.Strip), "see Ground it draws from")}
	} else {
		r.Inputs = []Input{seen("wetted share", plainNumber(usualWet), "FAO-56 Table 20, for the plot's soil is not known")}
	}
	return r
}

func (n *PlantingWater) whyWeek(t teller, i int, monday season.Date) Reckoning {
	w := n.Weeks[i]
	r := Reckoning{
		Title:    "Water, " + t.week(monday),
		Equation: "(Kc × reference evapotranspiration - rain that counts) × ground / efficiency",
		Inputs: []Input{
			seen("Kc, mean of the week", plainNumber(w.Kc), "see Crop coefficient"),
			seen("reference evapotranspiration", t.depth(w.Reference), "see there"),
			seen("rain that counts", t.depth(w.Rain), n.rainSource(monday)),
			seen("ground", t.area(n.Area), "see Ground it draws from"),
			n.efficiencyInput(t),
		},
		Result: fmt.Sprintf("%s; %s without rain", t.volume(w.Need), t.volume(w.Dry)),
		Source: "FAO-56 Eq. 58 and 85",
	}
	return r
}

func (n *PlantingWater) rainSource(monday season.Date) string {
	if n.weather.days[int(monday-n.weather.first)+3].fell {
		return "days of the weather file, as far as the roots' ground lacks water"
	}
	return "FAO dependable rain of the climate's months: 0.6 P - 10 mm to 70 mm, 0.8 P - 24 mm above (memory)"
}

func (n *PlantingWater) efficiencyInput(t teller) Input {
	z := n.Planting.Row.Water.Zone
	switch {
	case z == nil || z.Unsolved != "":
		return seen("efficiency", t.share(n.efficiency()), "Colorado State University Extension 5.623, drip")
	case z.EU < leastEfficiency:
		return seen("efficiency", t.share(n.efficiency()), "the least that is made good; the zone is less even than that")
	}
	return seen("efficiency", t.share(n.efficiency()), "evenness of zone "+z.Decl.Name.Value)
}

func (n *PlantingWater) whySeason(t teller) Reckoning {
	need, dry := 0.0, 0.0
	for _, w := range n.Weeks {
		need, dry = need+w.Need, dry+w.Dry
	}
	return Reckoning{
		Title: "Water of the season", Equation: "sum of its weeks",
		Inputs: []Input{seen("weeks", strconv.Itoa(len(n.Weeks)), "from planting to clearing")},
		Result: fmt.Sprintf("%s; %s without rain", t.volume(need), t.volume(dry)), Source: commonPractice,
	}
}
