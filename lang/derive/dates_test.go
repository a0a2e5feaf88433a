package derive

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/season"
)

func TestDates(t *testing.T) {
	day := func(month time.Month, d int) season.Date { return season.On(2027, month, d) }
	none := season.None
	tray, out, seed, harvest := stated(6, 8), stated(65, 75), stated(110, 120), stated(42, 56)
	unknown := crops.Range{}
	direct := func(d *farm.Planting) { d.Direct = true }
	tests := []struct {
		name                     string
		tray, out, seed, harvest crops.Range
		with                     []func(*farm.Planting)
		want                     [5]season.Date // sow, plant, first, last, clear
	}{
		{
			// May 1 - 7 weeks = Mar 13; + 70 days = Jul 10; + 49 days = Aug 28.
			"transplant", tray, out, seed, harvest, nil,
			[5]season.Date{day(3, 13), day(5, 1), day(7, 10), day(8, 28), day(8, 29)},
		},
		{
			// May 1 + 115 days = Aug 24; + 49 = Oct 12.
			"direct", tray, out, seed, harvest, []func(*farm.Planting){direct},
			[5]season.Date{day(5, 1), day(5, 1), day(8, 24), day(10, 12), day(10, 13)},
		},
		{
			// 115 days from seed less 2/3 of 49 in the tray: May 1 + 115 - 33 = Jul 22.
			"transplant by days from seed", tray, unknown, seed, harvest, nil,
			[5]season.Date{day(3, 13), day(5, 1), day(7, 22), day(9, 9), day(9, 10)},
		},
		{
			// Sown Apr 1, 30 days in the tray: 115 - 20 = 95, May 1 + 95 = Aug 4.
			"sown by the plan's own day", tray, unknown, seed, unknown,
			[]func(*farm.Planting){func(d *farm.Planting) { d.SownOn = on(4, 1) }},
			[5]season.Date{day(4, 1), day(5, 1), day(8, 4), none, none},
		},
		{
			// 70 days from setting out and 2/3 of 49 in the tray: May 1 + 103 = Aug 12.
			"direct by days from setting out", tray, out, unknown, unknown, []func(*farm.Planting){direct},
			[5]season.Date{day(5, 1), day(5, 1), day(8, 12), none, none},
		},
		{
			"direct, and no tray to convert by", unknown, out, unknown, harvest, []func(*farm.Planting){direct},
			[5]season.Date{day(5, 1), day(5, 1), none, none, none},
		},
		{
			// The plan's own: May 1 + 60 = Jun 30; + 14 = Jul 14.
			"the plan's own days", tray, out, seed, harvest,
			[]func(*farm.Planting){func(d *farm.Planting) { d.Maturity, d.Harvest = days(60), days(14) }},
			[5]season.Date{day(3, 13), day(5, 1), day(6, 30), day(7, 14), day(7, 15)},
		},
		{
			"one cut", unknown, out, unknown, stated(0, 0), nil,
			[5]season.Date{none, day(5, 1), day(7, 10), day(7, 10), day(7, 11)},
		},
		{
			"cleared sooner", tray, out, seed, harvest,
			[]func(*farm.Planting){func(d *farm.Planting) { d.Until = on(8, 1) }},
			[5]season.Date{day(3, 13), day(5, 1), day(7, 10), day(7, 31), day(8, 1)},
		},
		{
			"cleared later", tray, out, seed, harvest,
			[]func(*farm.Planting){func(d *farm.Planting) { d.Until = on(10, 1) }},
			[5]season.Date{day(3, 13), day(5, 1), day(7, 10), day(8, 28), day(10, 1)},
		},
		{
			"picked until it is cleared", tray, out, seed, unknown,
			[]func(*farm.Planting){func(d *farm.Planting) { d.Until = on(10, 1) }},
			[5]season.Date{day(3, 13), day(5, 1), day(7, 10), day(9, 30), day(10, 1)},
		},
		{
			"cleared before it is ready", tray, out, seed, harvest,
			[]func(*farm.Planting){func(d *farm.Planting) { d.Until = on(7, 10) }},
			[5]season.Date{day(3, 13), day(5, 1), day(7, 10), none, day(7, 10)},
		},
		{
			"no planting day", tray, out, seed, harvest,
			[]func(*farm.Planting){func(d *farm.Planting) { d.On = farm.DateArg{} }},
			[5]season.Date{none, none, none, none, none},
		},
		{
			"days beyond reason", stated(1e9, 1e9), stated(-80, -70), unknown, harvest, nil,
			[5]season.Date{none, day(5, 1), none, none, none},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlan(1)
			c := crop("a")
			c.TrayWeeks, c.MaturityTransplant, c.MaturitySeed, c.HarvestDays = tt.tray, tt.out, tt.seed, tt.harvest
			d := p.plant(p.row(p.plot("Bench", 10, 10, 0), 5), c, 1, counted(3))
			d.On = on(5, 1)
			for _, f := range tt.with {
				f(d)
			}
			q := derive(t, p).Plantings[0]
			require.Equal(t, tt.want, [5]season.Date{q.Sow, q.Plant, q.FirstHarvest, q.LastHarvest, q.Clear})
		})
	}
}

func TestOverlaps(t *testing.T) {
	stands := func(in, out season.Date) *Planting { return &Planting{Plant: in, Clear: out} }
	may, june, july := season.On(2027, 5, 1), season.On(2027, 6, 1), season.On(2027, 7, 1)
	require.False(t, stands(may, june).Overlaps(stands(june, july)), "the day it is cleared the place is free")
	require.True(t, stands(may, june.Add(1)).Overlaps(stands(june, july)))
	require.True(t, stands(may, season.None).Overlaps(stands(june, july)), "never cleared")
	require.False(t, stands(june, season.None).Overlaps(stands(may, june)))
	require.True(t, stands(season.None, season.None).Overlaps(stands(may, june)), "no day known: all season")
	in, out := stands(season.None, season.None).occupied()
	require.Equal(t, season.None, in)
	require.Equal(t, season.Date(math.MaxInt32), out)
}

// The first frost ends the picking of what it kills, and of nothing else.
func TestFrostEndsTheHarvest(t *testing.T) {
	site := frostSite(season.On(2027, 4, 24), season.On(2027, 10, 14))
	for _, c := range []struct {
		name  string
		class crops.Frost
		on    season.Date
		want  season.Date
	}{
		// May 1 + 70 + 140 days is Nov 27, after the frost of Oct 14.
		{"tender", crops.Tender, season.On(2027, 5, 1), season.On(2027, 10, 14)},
		{"very tender", crops.VeryTender, season.On(2027, 5, 1), season.On(2027, 10, 14)},
		{"hardy", crops.Hardy, season.On(2027, 5, 1), season.On(2027, 11, 27)},
		{"ready after the frost", crops.Tender, season.On(2027, 9, 1), season.On(2028, 3, 29)},
		{"another year", crops.Tender, season.On(2028, 5, 1), season.On(2028, 10, 14)},
	} {
		t.Run(c.name, func(t *testing.T) {
			days := crops.Range{Low: 70, High: 70, Grade: "B"}
			window := crops.Range{Low: 140, High: 140, Grade: "B"}
			p := &Planting{Decl: &farm.Planting{
				Crop: &farm.Crop{Crop: crops.Crop{Frost: c.class, MaturityTransplant: days, HarvestDays: window}},
				On:   farm.DateArg{Value: c.on, Given: true},
			}}
			p.setDates(newSeasons(site), &warmth{site: site})
			require.Equal(t, c.want.String(), p.LastHarvest.String())
			require.Equal(t, c.want.Add(1), p.Clear)
		})
	}
}

// Cloves are planted and never were in a tray: their days count from planting, and planting day is their
// sowing day.
func TestPlantedWithoutATray(t *testing.T) {
	days, window := crops.Range{Low: 240, High: 240, Grade: "B"}, crops.Range{Low: 10, High: 10, Grade: "B"}
	p := &Planting{Decl: &farm.Planting{
		Crop: &farm.Crop{Crop: crops.Crop{Direct: true, MaturitySeed: days, HarvestDays: window}},
		On:   farm.DateArg{Value: season.On(2026, 10, 20), Given: true},
	}}
	p.setDates(newSeasons(nil), &warmth{})
	require.Equal(t, p.Plant, p.Sow)
	require.Equal(t, "2027-06-17", p.FirstHarvest.String()) // 240 days on
	require.Equal(t, "2027-06-27", p.LastHarvest.String())
}
