package water

import (
	"math"
	"testing"
)

const (
	psi    = 6894.757293168
	foot   = 0.3048
	gpm    = 3.785411784e-3 / 60
	inchSI = 0.0254
)

// tape is 5/8 in tape of a flow in gpm per 100 ft at 8 psi, emitters 12 in apart.
func tape(flow, length, exponent float64) Lateral {
	e, err := NewEmitter(flow*gpm/100, 8*psi, exponent, 0.04)
	if err != nil {
		panic(err)
	}
	return Lateral{Diameter: 0.625 * inchSI, Spacing: foot, Length: length, Emitter: e}
}

// bigZone is 300 rows of 200 emitters on one header; unlike rows differ in length, slope and flow.
func bigZone(exponent float64, unlike bool) Network {
	rows := make([]Row, 300)
	for i := range rows {
		l := tape(0.22, 200*foot, exponent)
		if unlike {
			l.Spacing = (200 - float64(i%7)*0.1) * foot / 200
			l.Slope = 0.0001 * float64(i-150)
			l.Emitter.K *= 1 + float64(i)*1e-4
		}
		rows[i] = Row{At: float64(i) * 1.2, Lateral: l}
	}
	return Network{
		Source: Source{Pressure: 40 * psi, Flow: math.Inf(1)},
		Main:   []Part{Pipe{Length: 100, Diameter: 0.15, Law: HazenWilliams, C: 145}},
		Zones: []Zone{{
			Supply:  []Part{Filter{Loss: 2 * psi, Flow: 150 * gpm}, Regulator{Set: 12 * psi, Loss: 2 * psi}, Pipe{Length: 50, Diameter: 0.1, Law: HazenWilliams, C: 145}},
			Headers: []Header{{Diameter: 0.1, Law: HazenWilliams, C: 145, Slope: 0.002, Rows: rows}},
		}},
	}
}

func BenchmarkZone(b *testing.B) {
	for _, test := range []struct {
		name     string
		exponent float64
		unlike   bool
		share    float64 // of what it wants, that the source gives
	}{
		{"like rows", 0.5, false, 0},
		{"unlike rows", 0.5, true, 0},
		{"unlike rows, exponent 0.46", 0.46, true, 0},
		{"unlike rows, compensating", 0, true, 0},
		{"unlike rows, short of water", 0.5, true, 0.6},
	} {
		b.Run(test.name, func(b *testing.B) {
			n := bigZone(test.exponent, test.unlike)
			if test.share > 0 {
				s, err := Solve(n)
				if err != nil {
					b.Fatal(err)
				}
				n.Source.Flow = test.share * s.Flow
			}
			var s Solution
			for b.Loop() {
				var err error
				if s, err = Solve(n); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(s.Iterations), "rounds")
			b.ReportMetric(float64(s.Zones[0].Emitters), "emitters")
		})
	}
}
