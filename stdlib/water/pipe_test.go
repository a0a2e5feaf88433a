package water

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/stdlib/table"
)

func TestEmissionUniformity(t *testing.T) {
	for _, test := range []struct{ spread, perPlant, least, mean, want float64 }{
		{0, 1, 1, 1, 100}, {0.04, 1, 0.9, 1, 90 * (1 - 1.27*0.04)}, {0.1, 4, 1, 1, 100 * (1 - 1.27*0.05)}, {0.9, 1, 1, 1, 0}, {0, 1, 0, 1, 0},
	} {
		got, err := EmissionUniformity(test.spread, test.perPlant, test.least, test.mean)
		require.NoError(t, err)
		require.InDelta(t, test.want, got, 1e-9, "%+v", test)
	}
	require.Equal(t, Range{80, 90}, RecommendedEU(0.01, false))
	require.Equal(t, Range{70, 85}, RecommendedEU(-0.03, false))
	require.Equal(t, Range{70, 85}, RecommendedEU(0, true))
}

func TestPartTables(t *testing.T) {
	for _, material := range []string{"polyethylene", "pvc", "aluminum", "steel", "copper", "layflat"} {
		c, found := PipeC(material)
		require.True(t, found, material)
		require.GreaterOrEqual(t, c.Low, 100.)
		require.LessOrEqual(t, c.High, 150.)
		require.LessOrEqual(t, c.Low, c.High)
	}
	_, found := PipeC("bamboo")
	require.False(t, found)
	for _, fitting := range []string{
		"elbow", "45 degree elbow", "tee, straight on", "tee, branch", "gate valve", "globe valve", "angle valve", "check valve", "entrance", "exit",
	} {
		k, found := FittingK(fitting)
		require.True(t, found, fitting)
		require.Positive(t, k, fitting)
	}
	_, found = FittingK("elbow grease")
	require.False(t, found)
	for law, name := range map[Law]string{Blasius: "Darcy-Weisbach, Blasius", WattersKeller: "Darcy-Weisbach, Watters-Keller", HazenWilliams: "Hazen-Williams"} {
		require.Equal(t, name, law.String())
	}
	for _, file := range []struct{ name, text string }{
		{"stages.csv", stagesCSV}, {"basal.csv", basalCSV}, {"soils.csv", soilsCSV}, {"classes.csv", classesCSV},
		{"pipes.csv", pipesCSV}, {"fittings.csv", fittingsCSV}, {"uniformity.csv", uniformityCSV},
	} {
		for _, r := range table.Read(file.name, file.text) {
			require.NotEmpty(t, r.Text("source"), file.name)
			require.Contains(t, []string{"seen", "memory"}, r.Text("how"), file.name)
		}
	}
}

func TestDeliveryErrors(t *testing.T) {
	line := func(change func(*Lateral)) error {
		l := tape(0.45, 60, 0.5)
		change(&l)
		_, err := l.Run(8 * psi)
		_, again := l.Profile(8*psi, 0)
		_, flushed := l.Flush(FlushVelocity)
		require.Equal(t, err, again)
		require.Equal(t, err, flushed)
		return err
	}
	at := func(pressure float64) error {
		_, err := tape(0.45, 60, 0.5).Run(pressure)
		return err
	}
	net := func(change func(*Network)) error {
		n := Network{
			Source: Source{Pressure: 8 * psi, Flow: 10 * gpm},
			Zones:  []Zone{{Headers: []Header{{Diameter: 0.05, Rows: []Row{{Lateral: tape(0.45, 60, 0.5)}, {At: 1, Lateral: tape(0.45, 50, 0.5)}}}}}},
		}
		change(&n)
		_, err := Solve(n)
		return err
	}
	curve := func(points ...Duty) error { return net(func(n *Network) { n.Source.Curve = points }) }
	supply := func(parts ...Part) error { return net(func(n *Network) { n.Zones[0].Supply = parts }) }
	_, noFlow := NewEmitter(0, 55e3, 0.5, 0)
	_, noPressure := NewEmitter(1e-6, 0, 0.5, 0)
	_, exponent := NewEmitter(1e-6, 55e3, 1.2, 0)
	_, spread := NewEmitter(1e-6, 55e3, 0.5, 4)
	_, backwards := Velocity(-1, 0.1)
	_, flush := tape(0.45, 60, 0.5).Flush(0)
	_, perPlant := EmissionUniformity(0, 0, 1, 1)
	_, least := EmissionUniformity(0, 1, 2, 1)
	for want, err := range map[string]error{
		"the pressure at the head of the line is 0 Pa; it must be above 0 Pa and at most 1e+07 Pa: open the valve, or look at the regulator": at(0),
		"the pressure at the head of the line is -5000 Pa":  at(-5000),
		"the pressure at the head of the line is not known": at(math.NaN()),
		"the emitter exponent is 1.2; it must be from 0 to 1: take it from the maker's sheet: 0.5 for plain emitters, near 0 for compensating ones": exponent,
		"the emitter flow is 0 m3/s; it must be above 0 m3/s":                                   noFlow,
		"the pressure of the emitter flow is 0 Pa":                                              noPressure,
		"the emitter spread is 4; it must be from 0 to 1: good tape has 0.04, given as a ratio": spread,
		"the emitter K is 0 m3/s at 1 Pa; it must be above 0 m3/s at 1 Pa":                      line(func(l *Lateral) { l.Emitter.K = 0 }),
		"the inside diameter is 0 m":                                                            line(func(l *Lateral) { l.Diameter = 0 }),
		"the emitter spacing is 0 m":                                                            line(func(l *Lateral) { l.Spacing = 0 }),
		"the length of the drip line is -2 m":                                                   line(func(l *Lateral) { l.Length = -2 }),
		"the number of emitters is 0.6562; it must be from 1 to 1e+06: give a line at least as long as its emitter spacing": line(func(l *Lateral) { l.Length = 0.2 }),
		"the number of emitters is 6e+06": line(func(l *Lateral) { l.Spacing = 1e-5 }),
		"the slope of the drip line is 2; it must be from -0.99 to 0.99: give m of rise on each m of tube: 0.02 for 2 %": line(func(l *Lateral) { l.Slope = 2 }),
		"the Hazen-Williams C is 0; it must be above 0 and at most 200":                                                  line(func(l *Lateral) { l.Law = HazenWilliams }),
		"the friction law is 9; it must be from 0 to 2":                                                                  line(func(l *Lateral) { l.Law = 9 }),
		"the distance to the first emitter is 70 m":                                                                      line(func(l *Lateral) { l.First = 70 }),
		"the length that stands for a barb is -1 m":                                                                      line(func(l *Lateral) { l.Barb = -1 }),
		"the flow is -1 m3/s; it must be from 0 m3/s to 100 m3/s: flow cannot run backwards":                             backwards,
		"the flushing speed is 0 m/s":                                                                                    flush,
		"the number of emitters to a plant is 0; it must be at least 1: count 1 where plants share emitters":             perPlant,
		"the least emitter flow is 2 m3/s":                                                                               least,

		"the pressure of the source is 0 Pa; it must be above 0 Pa and at most 1e+08 Pa: measure it at the outlet while water runs":      net(func(n *Network) { n.Source.Pressure = 0 }),
		"the flow of the source is 0 m3/s; it must be above 0 m3/s and at most 100 m3/s: time how long it takes to fill a bucket":        net(func(n *Network) { n.Source.Flow = 0 }),
		"the source's curve has 1 points; it needs at least 2: add the flow and pressure of another":                                     curve(Duty{1, 1}),
		"the flow at point 2 of the source's curve is 1 m3/s; it must be above 1 m3/s":                                                   curve(Duty{1, 10}, Duty{1, 5}),
		"the pressure at point 2 of the source's curve is 20 Pa; it must be from 0 Pa to 10 Pa: a pump gives less pressure at more flow": curve(Duty{1, 10}, Duty{2, 20}),
		"the network has no zones; it needs at least 1: open one":                                                                        net(func(n *Network) { n.Zones = nil }),
		"zone 1 has no headers; it needs at least 1":                                                                                     net(func(n *Network) { n.Zones[0].Headers = nil }),
		"zone 1, header 1: it has no rows; it needs at least 1":                                                                          net(func(n *Network) { n.Zones[0].Headers[0].Rows = nil }),
		"zone 1, header 1: the inside diameter is 0 m":                                                                                   net(func(n *Network) { n.Zones[0].Headers[0].Diameter = 0 }),
		"zone 1, header 1: the slope of the header is 1":                                                                                 net(func(n *Network) { n.Zones[0].Headers[0].Slope = 1 }),
		"zone 1, header 1, row 2: the emitter spacing is 0 m":                                                                            net(func(n *Network) { n.Zones[0].Headers[0].Rows[1].Lateral.Spacing = 0 }),
		"zone 1, header 1, row 1: the place of the row is -1 m":                                                                          net(func(n *Network) { n.Zones[0].Headers[0].Rows[0].At = -1 }),
		"zone 1, header 1, row 1: the number of tapes is -1; it must be at least 0":                                                      net(func(n *Network) { n.Zones[0].Headers[0].Rows[0].Tapes = -1 }),
		"zone 1, supply: part 2: the rise of the pipe is 5 m; it must be from -2 m to 2 m: a pipe cannot rise more than it is long": supply(
			Filter{1, 1}, Pipe{Length: 2, Diameter: 0.1, Rise: 5}),
		"zone 1, supply: part 1: the K of the fitting is -1":                supply(Fitting{-1, 0.1}),
		"zone 1, supply: part 1: the flow of the filter is 0 m3/s":          supply(Filter{1, 0}),
		"zone 1, supply: part 1: the pressure of the regulator is 0 Pa":     supply(Regulator{}),
		"zone 1, supply: part 1 is empty: leave it out":                     supply(nil),
		"main: part 1: the length of the pipe is 0 m; it must be above 0 m": net(func(n *Network) { n.Main = []Part{Pipe{Diameter: 0.1}} }),
	} {
		require.ErrorContains(t, err, want)
	}
	require.NoError(t, net(func(*Network) {}))
}
