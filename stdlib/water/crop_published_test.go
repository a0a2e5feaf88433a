package water

import "math"

func (g given) kc(kc float64) float64 {
	return ok(g)(AdjustKc(kc, g.n("u"), g.n("rhmin"), g.n("h")))
}

func (g given) curve() Curve {
	c := Curve{Stages{g.n("ini"), g.n("dev"), g.n("mid"), g.n("late")}, g.n("kcini"), g.n("kcmid"), g.n("kcend")}
	if err := c.Check(); err != nil {
		g.t.Fatal(err)
	}
	return c
}

// drying is the last day of a bare soil's drying, from wet.
func (g given) drying() Evaporated {
	soil, last := Topsoil{Total: g.n("tew"), Ready: g.n("rew")}, Evaporated{}
	for range int(g.n("days")) {
		var err error
		last, err = soil.Day(last.Depleted, Surface{Reference: g.n("eto"), Kcb: g.n("kcb"), KcMax: g.n("kcmax"), Exposed: 1})
		if err != nil {
			g.t.Fatal(err)
		}
	}
	return last
}

func (g given) kcMax() float64 {
	return ok(g)(KcMax(g.n("kcb"), g.n("u"), g.n("rhmin"), g.n("h")))
}

func (g given) coverOfKcb() float64 {
	return ok(g)(CoverOf(g.n("kcb"), g.n("kcmin"), g.kcMax(), g.n("h")))
}

// tenDays is FAO-56 Example 35: a furrow-watered cotton field over ten days, watered on the first (40 mm over all the
// ground, 50 mm on the wetted part), with 6 mm of rain on the sixth; and, where
// again is more than 0, watered with so many mm more on the tenth.
func (g given) tenDays(again float64) (days []Evaporated, reference []float64) {
	reference = []float64{4.5, 5, 3.9, 4.2, 4.8, 2.7, 5.8, 5.1, 4.7, 5.2}
	soil, depleted := Topsoil{Total: 18, Ready: 8}, 18.
	for i, eto := range reference {
		part := float64(i) / 9
		kcb := 0.30 + part*(0.40-0.30)
		d := Surface{Reference: eto, Kcb: kcb}
		d.KcMax = ok(g)(KcMax(kcb, 1.6, 35, 0.30))
		bare := 0.92 + part*(0.86-0.92)
		d.Exposed = ok(g)(ExposedShare(1-bare, 0.8, false))
		switch i {
		case 0:
			d.Irrigation = 50
		case 5:
			d.Rain = 6
		case 9:
			d.Irrigation = again / 0.8
		}
		e, err := soil.Day(depleted, d)
		if err != nil {
			g.t.Fatal(err)
		}
		days, depleted = append(days, e), e.Depleted
	}
	return days, reference
}

func (g given) canopy() Canopy {
	return Canopy{Cover: g.n("cover"), Height: g.n("h"), HeightToWidth: g.n("hwr")}
}

func (g given) effectiveCover() float64 {
	return ok(g)(g.canopy().EffectiveCover(g.n("lat"), int(g.n("j"))))
}

// closedKcb is the closed stand's coefficient: the table's where the row gives it, else from the height.
func (g given) closedKcb() float64 {
	if g.has("kcb") {
		return g.kc(g.n("kcb"))
	}
	return ok(g)(ClosedKcb(g.n("h"), g.n("u"), g.n("rhmin")))
}

var cropChecks = map[string]func(given) float64{
	"Kc between depths":       func(g given) float64 { return betweenDepths(g.n("depth"), g.n("light"), g.n("heavy")) },
	"initial Kc light":        func(g given) float64 { return lightWetting(g.n("every"), g.n("eto")) },
	"initial Kc heavy coarse": func(g given) float64 { return heavyWetting(g.n("every"), g.n("eto"), true) },
	"initial Kc": func(g given) float64 {
		class := Fine
		if g.n("coarse") == 1 {
			class = Coarse
		}
		return ok(g)(InitialKc(Wetting{g.n("every"), g.n("depth"), g.n("share")}, g.n("eto"), class))
	},
	"adjust Kc":    func(g given) float64 { return g.kc(g.n("kc")) },
	"curve":        func(g given) float64 { return g.curve().At(g.n("day")) },
	"drying De":    func(g given) float64 { return g.drying().Depleted },
	"drying ETc":   func(g given) float64 { return g.drying().Use },
	"Kc max":       func(g given) float64 { return g.kcMax() },
	"cover of Kcb": func(g given) float64 { return g.coverOfKcb() },
	"dual Kc": func(g given) float64 {
		exposed := ok(g)(ExposedShare(g.coverOfKcb(), g.n("wetted"), false))
		e, err := Topsoil{20, 8}.Day(0, Surface{Reference: 5, Kcb: g.n("kcb"), KcMax: g.kcMax(), Exposed: exposed})
		if err != nil {
			return math.NaN()
		}
		return e.Use / 5
	},
	"ten days De":  func(g given) float64 { days, _ := g.tenDays(0); return days[int(g.n("day"))-1].Depleted },
	"ten days ETc": func(g given) float64 { days, _ := g.tenDays(0); return days[int(g.n("day"))-1].Use },
	// The published share of the stand that is missing, as what it takes off a coefficient.
	"thin stand Acm": func(g given) float64 { return 1 - ok(g)(ThinStandKcb(1, g.n("cover"), g.n("dense"))) },
	"thin stand Kcb": func(g given) float64 {
		return ok(g)(ThinStandKcb(g.kc(g.n("kcb")), g.n("cover"), g.n("dense")))
	},
	"effective cover": func(g given) float64 { return g.effectiveCover() },
	"closed Kcb":      func(g given) float64 { return g.closedKcb() },
	"sparse Kcb": func(g given) float64 {
		return ok(g)(g.canopy().SparseKcb(g.closedKcb(), g.n("kcmin"), g.effectiveCover()))
	},
	"mixed Kc": func(g given) float64 {
		return ok(g)(MixedKc([]Neighbor{{g.n("f1"), g.n("h1"), g.n("kc1")}, {g.n("f2"), g.n("h2"), g.n("kc2")}}))
	},
	"cover factor": func(g given) float64 { return ok(g)(CoverFactor(g.n("cover"))) },
}
