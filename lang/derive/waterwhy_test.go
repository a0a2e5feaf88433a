package derive

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// titled gives the reckoning of a title's beginning.
func titled(t *testing.T, all []Reckoning, title string) Reckoning {
	t.Helper()
	for _, r := range all {
		if strings.HasPrefix(r.Title, title) {
			return r
		}
	}
	require.Fail(t, "no reckoning "+title)
	return Reckoning{}
}

// input gives the value of an input by its name's beginning.
func input(t *testing.T, r Reckoning, name string) Input {
	t.Helper()
	for _, in := range r.Inputs {
		if strings.HasPrefix(in.Name, name) {
			return in
		}
	}
	require.Fail(t, "no input "+name)
	return Input{}
}

func TestWhyWaterOfAPlanting(t *testing.T) {
	p, _ := twoRows()
	p.Plots[0].Soil = loam()
	p.Site.Climate.Rain = months(quantity.Length, same(0.06))
	facts := derive(t, p)
	all := facts.Plantings[0].Why()
	et := titled(t, all, "Reference evapotranspiration, week of Mon Jul 12")
	require.Equal(t, "1.378 in", et.Result)
	require.Equal(t, "0.197 in per day", input(t, et, "reference_et of July").Value)
	kc := titled(t, all, "Crop coefficient")
	require.Equal(t, "0.60, 1.05 and 0.90; stages of 29, 37, 64 and 24 days", kc.Result)
	require.Equal(t, "28, 37, 63 and 23 days", input(t, kc, "stages as printed").Value)
	require.Equal(t, "field guide (grade B)", input(t, kc, "Kc young").Source)
	ground := titled(t, all, "Ground")
	require.Equal(t, "400 sq ft: 4 ft wide", ground.Result)
	young := titled(t, all, "Share")
	require.Contains(t, young.Result, "rising to 1 in 66 days")
	week := titled(t, all, "Water, week")
	require.Equal(t, "evenness of zone fruiting", input(t, week, "efficiency").Source)
	// 0.6 × 60 - 10 = 26 mm of July's 31 days: 5.87 mm, 0.231 in of the 36.75 mm.
	require.Equal(t, "0.2311 in", input(t, week, "rain that counts").Value)
	require.Equal(t, "319.6 gal; 380.3 gal without rain", week.Result)
	titled(t, all, "Water of the season")

	// A row without a zone is not told of tape.
	p.Rows[0].Zone = nil
	for _, r := range derive(t, p).Plantings[0].Why() {
		require.False(t, strings.HasPrefix(r.Title, "Share"))
	}
}

func TestWhyWaterByWeather(t *testing.T) {
	p, d := bench(7)
	site := bangkok()
	site.Weather = &farm.Weather{Days: measuredWeek()}
	site.Weather.File.Value = "april.csv"
	p.Site = site
	d.On.Value, d.Until.Value = d.On.Value.Add(-28), d.Until.Value.Add(-28)
	all := of(derive(t, p), d).Why()
	et := titled(t, all, "Reference evapotranspiration")
	require.Equal(t, "Hargreaves-Samani, days of the weather file", et.Equation, "that is five of the seven")
	require.Equal(t, "FAO-56 Eq. 52", et.Source)
	require.Equal(t, "april.csv", input(t, et, "weather file").Value)
}

func TestWhyWaterOfARow(t *testing.T) {
	p, _ := twoRows()
	p.Plots[0].Soil = loam()
	p.Plots[0].Slope = amount(0.01, quantity.Ratio)
	r := derive(t, p).Rows[0]
	all := r.Why()
	flow := titled(t, all, "Flow of the tapes")
	require.Contains(t, flow.Result, "0.344 gpm")
	require.Equal(t, "1 %", input(t, flow, "slope").Value)
	require.Equal(t, "1 × 100", input(t, flow, "tapes").Value)
	cut := titled(t, all, "Cut")
	require.Equal(t, "100 ft 5 in from cut to cut, 100 emitters", cut.Result)
	require.Equal(t, "1 in", input(t, cut, "shorter").Value)
	// 1 ft/s through 5/8 in are 0.956 gpm (0.4085 Q/d²); the emitters take theirs at less pressure than when it is shut.
	flush := titled(t, all, "Flushing")
	require.Equal(t, "0.956 gpm", input(t, flush, "out of the end").Value)
	wet := titled(t, all, "Wetted ground")
	require.Contains(t, wet.Result, "24 in wide")
	require.Contains(t, input(t, wet, "held").Value, "on 100 ft")
	hours := titled(t, all, "Hours, week of Mon Jul 12")
	require.Equal(t, "384.6 gal on 100 ft", input(t, hours, "bell pepper").Value)
	titled(t, all, "Evenness")
}

func TestWhyAZone(t *testing.T) {
	p, z := twoRows(func(z *farm.Zone) {
		z.Supply, z.Header, z.Filter = run(120, 1), run(8, 1), amount(2*psi, quantity.Pressure)
	})
	p.Plots[0].Soil = loam()
	z.Together.Value = "east"
	p.zone("leaves", p.Sources[0], p.Tapes[0]).Together.Value = "east"
	facts := derive(t, p)
	item, err := Find(facts, "zone FRUITING")
	require.NoError(t, err)
	require.Equal(t, "zone fruiting", item.Title())
	all := item.Why()
	flow := titled(t, all, "Flow")
	require.Equal(t, "0.679 gpm through 200 emitters in 2 rows; 8 psi at the header", flow.Result)
	require.Equal(t, "30 psi comes in, 8 psi goes on", input(t, flow, "regulator").Value)
	require.Equal(t, "leaves", input(t, flow, "open with it").Value)
	require.Contains(t, input(t, flow, "supply").Value, "120 ft of polyethylene, 1 in inside")
	require.Contains(t, flow.Source, "rounds; pipes by Hazen-Williams")
	open := titled(t, all, "Open, week of Mon Aug 9") // the second row, at the header's end, has a little less pressure
	require.Equal(t, "2", input(t, open, "rows open").Value)
	require.Equal(t, "380.3 gal at 0.34 gpm", input(t, open, "Bench, row 2").Value)
	require.Equal(t, "18 h 40 min, 760.7 gal sent", open.Result)
	plan := titled(t, all, "Openings")
	require.Contains(t, plan.Result, "every 2 days, 5 h 20 min")
	titled(t, all, "Water of the season")
	titled(t, all, "Evenness")

	p.Sources[0].Flow = amount(0.5*gpm, quantity.Flow)
	flow = titled(t, derive(t, p).Water.Zones[0].Why(), "Flow")
	require.Equal(t, "0.679 gpm", input(t, flow, "what the rows would take").Value)

	for text, want := range map[string]string{
		"zone leavs": `there is no zone "leavs": try "leaves", "fruiting"`,
		"zone":       `nothing in the plan is called "zone": try "Bench", "valve", "leaves", "weeding"`,
	} {
		_, err := Find(facts, text)
		require.EqualError(t, err, want)
	}
	_, err = Find(Derive(&farm.Farm{}), "zone fruiting")
	require.EqualError(t, err, `there is no zone "fruiting": the plan has no zones`)
	item, err = Find(derive(t, p), "fruiting")
	require.NoError(t, err)
	require.NotNil(t, item.Zone)
	p.Plots[0].Name.Value = "Zone fruiting"
	item, err = Find(derive(t, p), "zone fruiting")
	require.NoError(t, err)
	require.NotNil(t, item.Plot, "a plot called so goes first")
}
