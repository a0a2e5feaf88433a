package water

import "math"

func (g given) bulb() Bulb {
	b, err := WetBulb(g.n("ks"), g.n("lph")/1000/3600, g.n("v"))
	if err != nil {
		g.t.Fatal(err)
	}
	return b
}

// hours opens a valve once for a need in m3 on each m of row, at a flow of the tape in gpm per 100 ft.
func (g given) hours(need, flow float64) float64 {
	w := Watering{Need: need, Flow: flow * gpm / (100 * foot), Efficiency: 1, Store: math.Inf(1), Longest: math.Inf(1), MostDays: 1}
	r, err := w.Plan()
	if err != nil {
		g.t.Fatal(err)
	}
	return r.Opening / 3600
}

func (g given) stripStore(available float64) float64 {
	return ok(g)(StripStore(available, g.n("depth")*inchSI, g.n("width")*inchSI, g.n("share")))
}

var stripChecks = map[string]func(given) float64{
	"bulb width": func(g given) float64 { return g.bulb().Width },
	"bulb depth": func(g given) float64 { return g.bulb().Depth },
	"strip store gal/100 ft": func(g given) float64 {
		return g.stripStore(g.n("available")) * 100 * foot / gallon
	},
	"hours for gal/100 ft": func(g given) float64 { return g.hours(g.n("gal")*gallon/(100*foot), g.n("flow")) },
	"hours": func(g given) float64 {
		return g.hours(g.n("depth")*inchSI*g.n("width")*inchSI, g.n("flow"))
	},
	"strip reach to width": func(g given) float64 {
		soil, _ := SoilOf(g.text("texture"))
		s, err := WetStrip(soil, 1./1000/3600, 0.3, 3600)
		if err != nil {
			g.t.Fatal(err)
		}
		return s.Reach / s.Width
	},
	// The vendor's rule takes a square as wide as an emitter wets, and percent for shares.
	"bulb hours": func(g given) float64 {
		store := ok(g)(StripStore(g.n("aw")/12, g.n("depth")*inchSI, g.n("width")*inchSI, g.n("share")/100)) * g.n("width") * inchSI
		q := g.n("gph") * gallon / 3600
		w := Watering{
			Need: store, Flow: q, Efficiency: g.n("efficiency") / 100, Store: math.Inf(1), Longest: math.Inf(1), MostDays: 1,
		}
		r, err := w.Plan()
		if err != nil {
			g.t.Fatal(err)
		}
		return r.Opening / 3600
	},
}
