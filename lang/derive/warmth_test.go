package derive

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// even is a climate with the same temperatures all year, °C.
func even(low, high float64) *farm.Climate {
	c := &farm.Climate{}
	for range 12 {
		c.TMin.Value = append(c.TMin.Value, quantity.Celsius(low))
		c.TMax.Value = append(c.TMax.Value, quantity.Celsius(high))
	}
	return c
}

// warmed is a crop that needs so many °C days above 10 °C, as the plan or the table has it.
func warmed(need float64, grade crops.Grade) *farm.Crop {
	c := crop("corn")
	c.Direct, c.MaturitySeed, c.HarvestDays = true, stated(90, 90), stated(7, 7)
	degrees := func(v float64, dim quantity.Dimension) crops.Range {
		return crops.Range{Low: v, High: v, Dim: dim, Grade: grade, Source: "field guide"}
	}
	c.DegreeDays = degrees(need*86400, quantity.DegreeDays)
	c.DegreeBase = degrees(quantity.Celsius(10).SI, quantity.Temperature)
	return c
}

func TestDegreeDaysDateTheHarvest(t *testing.T) {
	may := season.On(2027, time.May, 1)
	tenADay := even(15, 25) // 10 °C days each day
	hot := season.Weather{{Date: may + 2, TMin: 20, TMax: 42}, {Date: may + 3, TMin: math.NaN(), TMax: 40}}
	half := even(15, 25)
	for i := range 12 {
		if time.Month(i+1) != time.May {
			half.TMin.Value[i].SI = math.NaN()
		}
	}
	tests := []struct {
		name string
		site *farm.Site
		crop *farm.Crop
		with func(*farm.Planting)
		want season.Date
	}{
		{"by normals", &farm.Site{Climate: tenADay}, warmed(300, "A"), nil, may + 29},
		{"a hot day on record", &farm.Site{Climate: tenADay, Weather: &farm.Weather{Days: hot}}, warmed(300, "A"), nil, may + 28},
		{"weather that does not reach", &farm.Site{Weather: &farm.Weather{Days: hot}}, warmed(300, "A"), nil, may + 90},
		{"no site", nil, warmed(300, "A"), nil, may + 90},
		{"nothing tells", &farm.Site{}, warmed(300, "A"), nil, may + 90},
		{"never warm", &farm.Site{Climate: even(0, 8)}, warmed(300, "A"), nil, may + 90},
		{"a month is known alone", &farm.Site{Climate: half}, warmed(300, "A"), nil, may + 29},
		{"a month on the way is not", &farm.Site{Climate: half}, warmed(320, "A"), nil, may + 90},
		{"days of the planting itself", &farm.Site{Climate: tenADay}, warmed(300, "A"), func(d *farm.Planting) { d.Maturity = daysGiven(50) }, may + 50},
		{"no base", &farm.Site{Climate: tenADay}, func() *farm.Crop { c := warmed(300, "A"); c.DegreeBase = crops.Range{}; return c }(), nil, may + 90},
		{"set out: the table's count from seed", &farm.Site{Climate: tenADay}, func() *farm.Crop {
			c := warmed(300, "A")
			c.Direct, c.Transplant, c.MaturityTransplant = false, true, stated(60, 60)
			return c
		}(), nil, may + 60},
		{"set out: the plan's count from planting", &farm.Site{Climate: tenADay}, func() *farm.Crop {
			c := warmed(300, crops.GradePlan)
			c.Direct, c.Transplant, c.MaturityTransplant = false, true, stated(60, 60)
			return c
		}(), nil, may + 29},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlan(1)
			p.Site = tt.site
			d := p.plant(p.row(p.plot("Bench", 10, 10, 0), 5), tt.crop, 1, counted(3))
			d.On = on(5, 1)
			if tt.with != nil {
				tt.with(d)
			}
			q := derive(t, p).Plantings[0]
			require.Equal(t, tt.want.String(), q.FirstHarvest.String())
			require.Equal(t, q.FirstHarvest.Add(7), q.LastHarvest)
		})
	}
}

func daysGiven(n int) farm.Field[int] { return farm.Field[int]{Value: n, Given: true} }

func TestWhyDegreeDays(t *testing.T) {
	why := func(site *farm.Site, c *farm.Crop) string {
		p := newPlan(1)
		p.Site, p.Units = site, quantity.Metric
		d := p.plant(p.row(p.plot("Bench", 10, 10, 0), 5), c, 1, counted(3))
		d.On = on(5, 1)
		return told([]Reckoning{derive(t, p).Plantings[0].whyFirstHarvest()})[0]
	}
	may := season.On(2027, time.May, 1)
	site := &farm.Site{Climate: even(15, 25)}
	c := warmed(300, "A")
	require.Equal(t, "First harvest: the day by whose end the degree days from planting day on come to what the crop needs; those of a day are the mean of "+
		"its least and greatest temperature less the base, never less than nothing; on Sat May 1 [this plan], "+
		"degree days to first harvest 300 °C days [field guide (grade A)], method simple [common practice], base 10 °C [field guide (grade A)], "+
		"summed by then 300 °C days [the climate's monthly normals, all 30 days]; Sun May 30 "+
		"[degree days by the methods of Table 3 in Heliyon 6 (2020) e05114]", why(site, c))

	c.DegreeDays.High = 320 * 86400
	c.DegreeMethod, c.DegreeUpper = season.CappedDegrees, crops.Range{Low: 303.15, High: 303.15, Dim: quantity.Temperature, Grade: crops.GradePlan}
	site.Weather = &farm.Weather{Days: season.Weather{{Date: may + 2, TMin: 20, TMax: 40}}}
	text := why(site, c)
	require.Contains(t, text, "300 °C days to 320 °C days, of which the middle [field guide (grade A)]")
	require.Contains(t, text, "what is above the upper temperature lowered to it")
	require.Contains(t, text, "upper temperature 30 °C [this plan]")
	require.Contains(t, text, "summed by then 315 °C days [the weather file on 1 of 31 days, the climate's monthly normals on the others]")

	require.Contains(t, why(nil, c), "degree days not used [the farm has no site, and so neither climate nor weather]; Fri Jul 30")
	require.Contains(t, why(&farm.Site{}, c), "degree days not used [the site has neither weather nor a climate with tmin and tmax]")
	require.Contains(t, why(&farm.Site{Climate: even(0, 5)}, c), "degree days not used [the weather and the climate do not tell of all days, or these are too cool]")
}

// A planting that goes in later is never ready earlier, and a warmer year never makes it later.
func TestDegreeDaysKeepOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(11, 18).Draw(t, "low")
		need := rapid.Float64Range(50, 900).Draw(t, "need")
		day := rapid.IntRange(0, 150).Draw(t, "day")
		ready := func(more float64, later int) season.Date {
			p := &Planting{Decl: &farm.Planting{Crop: warmed(need, "A"), Direct: true,
				On: farm.DateArg{Value: season.On(2027, time.April, 1).Add(day + later), Given: true}}}
			p.setDates(newSeasons(nil), &warmth{site: &farm.Site{Climate: even(low+more, low+more+10)}})
			require.NotNil(t, p.warm)
			require.GreaterOrEqual(t, p.Latest(p.FirstHarvest), p.Plant)
			return p.FirstHarvest
		}
		first := ready(0, 0)
		require.LessOrEqual(t, first, ready(0, rapid.IntRange(0, 30).Draw(t, "later")))
		require.GreaterOrEqual(t, first, ready(rapid.Float64Range(0, 5).Draw(t, "warmer"), 0))
	})
}
