package water

// tenDaysOfRoots is FAO-56 Example 38: the field of Example 35 as its roots find it, growing from 0.30 to 0.35 m.
func (g given) tenDaysOfRoots() []Balance {
	const again = 27
	days, reference := g.tenDays(again)
	var out []Balance
	depletion := 0.30 * 78
	for i, day := range days {
		roots := 0.30 + float64(i)/9*(0.35-0.30)
		// The example gives what is ready, 78 mm on each m of roots; twice that stands for all there is.
		f := Flows{Reference: reference[i], Use: day.Use}
		switch i {
		case 0:
			f.Irrigation = 40
		case 5:
			f.Rain = 6
		case 9:
			f.Irrigation = again
		}
		b, err := Store{Total: 2 * 78 * roots, P: 0.5}.Day(depletion, f)
		if err != nil {
			g.t.Fatal(err)
		}
		out, depletion = append(out, b), b.Depletion
	}
	return out
}

func (g given) salt() float64 {
	return ok(g)(Salinity{g.n("threshold"), g.n("slope"), g.n("ky")}.Stress(g.n("ece")))
}

func (g given) stress() float64 { return Store{g.n("taw"), g.n("p")}.Stress(g.n("dr")) }

func (g given) store() Store {
	s, err := NewStore(g.n("available"), g.n("depth"), g.n("p"))
	if err != nil {
		g.t.Fatal(err)
	}
	return s
}

var soilChecks = map[string]func(given) float64{
	"ten days Dr":      func(g given) float64 { return g.tenDaysOfRoots()[int(g.n("day"))-1].Depletion },
	"ten days DP":      func(g given) float64 { return g.tenDaysOfRoots()[int(g.n("day"))-1].Drainage },
	"store TAW":        func(g given) float64 { return g.store().Total },
	"store RAW":        func(g given) float64 { return g.store().Ready() },
	"salt stress":      func(g given) float64 { return g.salt() },
	"stress":           func(g given) float64 { return g.stress() },
	"stress with salt": func(g given) float64 { return g.stress() * g.salt() },
	"topsoil TEW": func(g given) float64 {
		s, found := SoilOf(g.text("texture"))
		if !found {
			g.t.Fatal("no such texture")
		}
		top, err := NewTopsoil(s, g.n("depth"))
		if err != nil {
			g.t.Fatal(err)
		}
		return top.Total
	},
	"effective rain": func(g given) float64 {
		m := Month{Rain: g.n("p")}
		if g.has("use") {
			m.Use, m.Store = g.n("use"), g.n("store")
		}
		return ok(g)(EffectiveRain(RainRule(g.n("rule")), m))
	},
	"gallons of an inch": func(g given) float64 {
		return ok(g)(Volume(g.n("depth")*inch, g.n("area")*foot*foot, 1)) / gallon
	},
}
