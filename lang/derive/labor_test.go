package derive

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

func crewOf(hours float64) *farm.Crew {
	return &farm.Crew{HoursPerWeek: farm.Number{Value: hours, Given: true}}
}

func perLength(minutes float64) farm.Amount { // of 100 ft
	return farm.Amount{Value: quantity.Of(minutes*60/(100*foot), quantity.LineTime), Given: true}
}

func takes(hours float64) farm.Amount {
	return farm.Amount{Value: quantity.Of(hours*3600, quantity.Time), Given: true}
}

func named(name string) farm.Text { return farm.Text{Value: name, Given: true} }

// jobsOf gives the jobs of a name.
func jobsOf(l *Labor, name string) []*Job {
	var out []*Job
	for _, j := range l.Jobs {
		if j.Name == name {
			out = append(out, j)
		}
	}
	return out
}

// A row of 100 ft planted on Monday May 3 with 51 plants: what is done to it, when, and for how long.
func TestLaborOfARow(t *testing.T) {
	p, _ := grown(marketPepper())
	l := derive(t, p).Labor()
	type line struct {
		name     string
		from, to season.Date
		hours    float64
	}
	day := func(m time.Month, d int) season.Date { return season.On(2027, m, d) }
	const acre = 4046.8564224
	ground := 10 * foot * 100 * foot // 5 ft to its first side
	want := []line{
		{"bed preparation", day(4, 19), day(5, 2), 0.75},              // 30 to 60 min for 100 ft
		{"planting", day(5, 3), day(5, 9), 51 * (9 + 18) / 2. / 3600}, // 200 to 400 plants an hour
		{"weeding", day(5, 17), day(5, 23), 10 / 60.},                 // 5 to 15 min for 100 ft
		{"weeding", day(5, 31), day(6, 6), 10 / 60.},
		{"weeding", day(6, 14), day(6, 20), 10 / 60.},
		{"picking", day(7, 12), day(7, 18), 50. / 145}, // culls too
		{"washing", day(7, 12), day(7, 18), 50 * (1/100. + 1/200.) / 2},
		{"picking", day(7, 19), day(7, 25), 50. / 145},
		{"washing", day(7, 19), day(7, 25), 50 * (1/100. + 1/200.) / 2},
		{"clearing", day(7, 26), day(8, 8), 12 * ground / acre}, // 8 to 16 h an acre
	}
	require.Len(t, l.Jobs, len(want))
	total := 0.0
	for i, w := range want {
		j := l.Jobs[i]
		require.Equal(t, w.name, j.Name)
		require.Equal(t, []season.Date{w.from, w.to}, []season.Date{j.From, j.To}, w.name)
		require.InDelta(t, w.hours, j.Hours, 1e-9, w.name)
		require.Equal(t, 1, j.Rows)
		total += w.hours
		for _, r := range j.Why(l, quantity.US, 2027) {
			require.NotEmpty(t, r.Result, w.name)
		}
	}
	require.InDelta(t, total, l.Hours, 1e-9)
	require.False(t, l.Crewed)
	require.True(t, math.IsInf(l.Weeks[0].Crew, 1))
}

// The closest rate of the plan's own rules.
func TestOwnRates(t *testing.T) {
	c := marketPepper()
	tests := []struct {
		name  string
		tasks func(p *plan, d *farm.Planting) []*farm.Task
		want  float64 // hours of a weeding of 100 ft
	}{
		{"none", func(*plan, *farm.Planting) []*farm.Task { return nil }, 10 / 60.},
		{"everywhere", func(*plan, *farm.Planting) []*farm.Task { return []*farm.Task{{PerLength: perLength(30)}} }, 0.5},
		{"the last of two", func(*plan, *farm.Planting) []*farm.Task {
			return []*farm.Task{{PerLength: perLength(30)}, {PerLength: perLength(60)}}
		}, 1},
		{"the plot's before the farm's", func(p *plan, _ *farm.Planting) []*farm.Task {
			return []*farm.Task{{PerLength: perLength(60), Plot: p.Plots[0]}, {PerLength: perLength(30)}}
		}, 1},
		{"another plot's does not count", func(p *plan, _ *farm.Planting) []*farm.Task {
			return []*farm.Task{{PerLength: perLength(60), Plot: p.plot("Yard", 20, 20, 0)}}
		}, 10 / 60.},
		{"the crop's before the plot's", func(p *plan, _ *farm.Planting) []*farm.Task {
			return []*farm.Task{{PerLength: perLength(60), Crop: c}, {PerLength: perLength(30), Plot: p.Plots[0]}}
		}, 1},
		{"the row's before the crop's", func(p *plan, _ *farm.Planting) []*farm.Task {
			return []*farm.Task{{PerLength: perLength(60), Row: p.Rows[0]}, {PerLength: perLength(30), Crop: c}}
		}, 1},
		{"the planting's before the row's", func(p *plan, d *farm.Planting) []*farm.Task {
			return []*farm.Task{{PerLength: perLength(60), Planting: d}, {PerLength: perLength(30), Row: p.Rows[0]}}
		}, 1},
		{"by the plant", func(*plan, *farm.Planting) []*farm.Task {
			return []*farm.Task{{PerPlant: farm.Amount{Value: quantity.Of(60, quantity.Time), Given: true}}}
		}, 51 / 60.},
		{"a time of its own", func(*plan, *farm.Planting) []*farm.Task { return []*farm.Task{{Takes: takes(2)}} }, 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, d := grown(c)
			p.Tasks = tt.tasks(p, d)
			for _, task := range p.Tasks {
				task.Name = named("Weeding")
			}
			l := derive(t, p).Labor()
			jobs := jobsOf(l, "weeding")
			require.Len(t, jobs, 3)
			for _, j := range jobs {
				require.InDelta(t, tt.want, j.Hours, 1e-9)
			}
			require.Empty(t, l.Unplaced)
		})
	}
}

// With its own days between passes, weeding goes on until harvest; a rate of nothing leaves the job out.
func TestOwnPasses(t *testing.T) {
	p, _ := grown(marketPepper())
	p.Tasks = []*farm.Task{{Name: named("weeding"), PerLength: perLength(10), Every: days(10)}, {Name: named("washing"), Takes: takes(0)}}
	l := derive(t, p).Labor()
	require.Len(t, jobsOf(l, "weeding"), 6, "May 13, 23, June 2, 12, 22, July 2; harvest begins on July 12")
	require.Empty(t, jobsOf(l, "washing"))
}

func TestExtraTasks(t *testing.T) {
	p, d := grown(marketPepper())
	p.Crew = crewOf(10)
	p.Tasks = []*farm.Task{
		{Name: named("mow"), Takes: takes(2), On: on(5, 3), Until: on(5, 30), Every: days(14)},
		{Name: named("stake"), PerPlant: farm.Amount{Value: quantity.Of(60, quantity.Time), Given: true}, Planting: d, On: on(5, 3), Until: on(5, 16), After: named("planting")},
		{Name: named("stretch wire"), Takes: takes(1), Plot: p.Plots[0], On: on(4, 5), After: named("planting")},
		{Name: named("no day"), Takes: takes(1)},
		{Name: named("weedin"), PerLength: perLength(10)},
		{Name: named("roll out"), Takes: takes(1), On: on(5, 3), After: named("plantin")},
		{Name: named("count"), Picked: farm.Amount{Value: quantity.Of(1, quantity.MassRate), Given: true}, On: on(5, 3)},
	}
	l := derive(t, p).Labor()
	mow := jobsOf(l, "mow")
	require.Len(t, mow, 2)
	require.Equal(t, season.On(2027, 5, 17), mow[1].From)
	stake := jobsOf(l, "stake")[0]
	require.InDelta(t, 51/60., stake.Hours, 1e-9)
	require.Equal(t, "planting", stake.After[0].Name)
	require.Equal(t, p.Plots[0], stake.Plot.Decl)
	wire := jobsOf(l, "stretch wire")[0]
	require.Empty(t, wire.After)
	require.Equal(t, "planting", wire.Early.Name)
	type left struct{ name, why, near string }
	var got []left
	for _, u := range l.Unplaced {
		got = append(got, left{u.Decl.Name.Value, u.Why, u.Near})
	}
	require.Equal(t, []left{
		{"no day", "it has no day", ""}, {"weedin", "it has no day", "weeding"}, {"roll out", "nothing in the plan is called plantin", "planting"},
		{"count", "only picking and washing can be timed by what is picked", ""},
	}, got)
}

func TestCrewHours(t *testing.T) {
	c := crewOf(35)
	require.Equal(t, 35.0, crewHours(c, season.On(2027, 5, 3)))
	c.ByMonth = farm.Months{Value: make([]quantity.Quantity, 12), Given: true}
	for i := range c.ByMonth.Value {
		c.ByMonth.Value[i] = quantity.Of(math.NaN(), quantity.Time)
	}
	c.ByMonth.Value[5] = quantity.Of(70*3600, quantity.Time)
	require.Equal(t, 35.0, crewHours(c, season.On(2027, 5, 3)))
	require.Equal(t, 70.0, crewHours(c, season.On(2027, 6, 7)))
	require.Equal(t, 65.0, crewHours(c, season.On(2027, 5, 31)), "a day of May, six of June")
}

// Hours in are hours out, by week and by plot, whatever the crew; without one nothing is over.
func TestLaborAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPlan(foot)
		for i := range rapid.IntRange(1, 3).Draw(t, "plots") {
			plot := p.plot(string(rune('A'+i)), 100, 40, 0)
			for k := range rapid.IntRange(0, 3).Draw(t, "rows") {
				p.plant(p.row(plot, float64(5+5*k)), marketPepper(), 2, filled, func(d *farm.Planting) {
					d.On = farm.DateArg{Value: season.On(2027, 4, rapid.IntRange(1, 60).Draw(t, "day")), Given: true}
				})
			}
		}
		if rapid.Bool().Draw(t, "crewed") {
			p.Crew = crewOf(float64(rapid.IntRange(0, 5).Draw(t, "hours")))
		}
		facts := Derive(&p.Farm)
		l := facts.Labor()
		jobs, weeks, plots := 0.0, 0.0, 0.0
		for _, j := range l.Jobs {
			sum := 0.0
			for _, s := range j.Shares {
				sum += s.Hours
			}
			require.InDelta(t, j.Hours, sum, 1e-9)
			jobs += j.Hours
		}
		for _, w := range l.Weeks {
			weeks += w.Hours
			require.LessOrEqual(t, w.Hours-w.Over, w.Crew+1e-9)
			require.True(t, l.Crewed || w.Over == 0)
		}
		for _, of := range l.ByPlot(facts.Plots) {
			plots += of.Hours
		}
		require.InDelta(t, l.Hours, jobs, 1e-9)
		require.InDelta(t, l.Hours, weeks, 1e-9)
		require.InDelta(t, l.Hours, plots, 1e-9)
	})
}
