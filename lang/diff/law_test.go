package diff_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/diff"
	"haulm/lang/eval"
	"haulm/stdlib/quantity"
)

// requireExact holds that the effects of all changes together lead from the old totals to the new ones.
func requireExact(t require.TestingT, d *diff.Diff) {
	if d.Same() {
		return
	}
	for _, total := range d.Totals {
		now := total.Old
		for _, c := range d.Changes {
			for _, e := range c.Effects {
				if e.Total == total {
					now += e.New - e.Old
				}
			}
		}
		require.Equal(t, total.New, now, total.Name)
	}
	gained, lost := 0, 0
	for _, c := range d.Changes {
		require.NotEmpty(t, c.Types)
		gained, lost = gained+len(c.Gained), lost+len(c.Lost)
	}
	require.Equal(t, len(d.Gained), gained)
	require.Equal(t, len(d.Lost), lost)
}

// requireReversed holds that the diff of the exchanged farms says the same with the roles exchanged.
func requireReversed(t require.TestingT, d, back *diff.Diff) {
	said := func(c *diff.Change, from, to *diff.Thing, turned bool) string {
		var b strings.Builder
		types := slices.Clone(c.Types)
		for i, typ := range types {
			if turned {
				switch typ {
				case diff.Added:
					types[i] = diff.Removed
				case diff.Removed:
					types[i] = diff.Added
				case diff.Split:
					types[i] = diff.Joined
				case diff.Joined:
					types[i] = diff.Split
				}
			}
		}
		fmt.Fprintln(&b, types)
		for _, x := range []*diff.Thing{from, to} {
			if x != nil {
				fmt.Fprint(&b, x.Kind, " ", x.Title, "; ")
			}
			b.WriteByte('|')
		}
		for _, a := range c.Aspects {
			was, is := a.Old, a.New
			if turned {
				was, is = is, was
			}
			fmt.Fprintln(&b, a.Type, a.Name, was, is)
		}
		for _, e := range c.Effects {
			was, is := e.Old, e.New
			if turned {
				was, is = is, was
			}
			fmt.Fprintln(&b, e.Total.Name, was, is)
		}
		codes := func(list []*diff.Finding) string {
			var all []string
			for _, f := range list {
				all = append(all, f.Code()+" "+f.Message)
			}
			slices.Sort(all)
			return strings.Join(all, "\n")
		}
		if turned {
			fmt.Fprintln(&b, codes(c.Lost), "/", codes(c.Gained))
		} else {
			fmt.Fprintln(&b, codes(c.Gained), "/", codes(c.Lost))
		}
		return b.String()
	}
	var forth, again []string
	for _, c := range d.Changes {
		forth = append(forth, said(c, c.Old, c.New, false))
	}
	for _, c := range back.Changes {
		again = append(again, said(c, c.New, c.Old, true))
	}
	slices.Sort(forth)
	slices.Sort(again)
	if unitsOf(d) == unitsOf(back) { // else the two are told in different units
		require.Equal(t, forth, again)
	}
	require.Len(t, again, len(forth))
}

func unitsOf(d *diff.Diff) quantity.System { return d.New.Facts.Farm.Units }

// drawn is a farm as a plan may say it.
type drawn struct {
	year, hours int
	plots       []drawnPlot
}

type drawnPlot struct {
	name    string
	long    int
	texture string
	rows    []drawnRow
	zone    int
}

type drawnRow struct {
	at, lines int
	named     bool
	plantings []drawnPlanting
}

type drawnPlanting struct {
	crop    string
	variety string
	count   int
	day     int
}

func drawPlanting(t *rapid.T) drawnPlanting {
	return drawnPlanting{
		crop:    rapid.SampledFrom([]string{"beet", "kale", "okra"}).Draw(t, "crop"),
		variety: rapid.SampledFrom([]string{"", "", "Night", "Ember"}).Draw(t, "variety"),
		count:   rapid.IntRange(1, 12).Draw(t, "count"), day: rapid.IntRange(1, 28).Draw(t, "day"),
	}
}

func drawRow(t *rapid.T) drawnRow {
	return drawnRow{
		at: rapid.IntRange(1, 30).Draw(t, "at"), lines: rapid.IntRange(1, 2).Draw(t, "lines"), named: rapid.IntRange(0, 4).Draw(t, "named") == 0,
		plantings: rapid.SliceOfN(rapid.Custom(drawPlanting), 0, 3).Draw(t, "plantings"),
	}
}

func drawPlot(t *rapid.T) drawnPlot {
	return drawnPlot{
		name: rapid.SampledFrom([]string{"North", "South", "East", "West", "Yard"}).Draw(t, "name"), long: rapid.IntRange(30, 60).Draw(t, "long"),
		texture: rapid.SampledFrom([]string{"loam", "sandy loam"}).Draw(t, "texture"), zone: rapid.IntRange(0, 2).Draw(t, "zone"),
		rows: rapid.SliceOfN(rapid.Custom(drawRow), 0, 4).Draw(t, "rows"),
	}
}

func drawFarm(t *rapid.T) drawn {
	return drawn{year: 2027, hours: rapid.IntRange(30, 32).Draw(t, "hours"), plots: rapid.SliceOfN(rapid.Custom(drawPlot), 0, 4).Draw(t, "plots")}
}

// edited is the farm with some of it changed, as a grower goes on with a plan.
func edited(t *rapid.T, d drawn) drawn {
	e := d
	e.plots = slices.Clone(d.plots)
	for i := range e.plots {
		p := &e.plots[i]
		p.rows = slices.Clone(p.rows)
		for j := range p.rows {
			p.rows[j].plantings = slices.Clone(p.rows[j].plantings)
		}
		switch rapid.IntRange(0, 8).Draw(t, "edit") {
		case 0:
			p.name = rapid.SampledFrom([]string{"Far", "Near", "North"}).Draw(t, "new name")
		case 1:
			p.long++
		case 2:
			p.rows = append(p.rows, drawRow(t))
		case 3:
			if len(p.rows) > 0 {
				p.rows = p.rows[1:]
			}
		case 4:
			if len(p.rows) > 1 {
				p.rows[0].plantings, p.rows[1].plantings = p.rows[1].plantings, p.rows[0].plantings
			}
		case 5:
			if len(p.rows) > 0 {
				p.rows[0].plantings = append(p.rows[0].plantings, drawPlanting(t))
			}
		case 6:
			if len(p.rows) > 0 && i > 0 {
				e.plots[i-1].rows = append(slices.Clone(e.plots[i-1].rows), p.rows[0])
				p.rows = p.rows[1:]
			}
		case 7:
			p.zone = (p.zone + 1) % 3
		}
	}
	if rapid.IntRange(0, 3).Draw(t, "whole") == 0 {
		e.hours++
	}
	return e
}

func (d drawn) text() string {
	var b strings.Builder
	b.WriteString("load(\"crops\", \"beet\", \"kale\", \"okra\")\n")
	fmt.Fprintf(&b, "farm(\"Ferry Bank\", year = %d, crew = crew(hours_per_week = %d), site = site(latitude = 38, elevation = 200 * ft, "+
		"last_frost = \"2027-04-20\", first_frost = \"2027-10-15\", climate = climate(reference_et = [3 * mm / days for m in range(12)])))\n", d.year, d.hours)
	b.WriteString("spring = water_source(\"spring\", flow = 12 * gpm, pressure = 30 * psi)\n" +
		"tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.4 * gpm / (100 * ft), at = 8 * psi)\n" +
		"zones = [None, zone(\"a\", source = spring, tape = tape, regulator = 10 * psi), zone(\"b\", source = spring, tape = tape, regulator = 10 * psi)]\n")
	for i, p := range d.plots {
		fmt.Fprintf(&b, "p%d = plot(%q, length = %d * ft, width = 40 * ft, soil = soil(texture = %q))\n", i, p.name, p.long, p.texture)
		for j, r := range p.rows {
			name := ""
			if r.named {
				name = fmt.Sprintf(", name = \"row at %d\"", r.at)
			}
			fmt.Fprintf(&b, "r%d_%d = row(p%d, at = %d * ft, lines = %d, line_spacing = 10 * inch, zone = zones[%d]%s)\n", i, j, i, r.at, r.lines, p.zone, name)
			for _, q := range r.plantings {
				crop := q.crop
				if q.variety != "" {
					crop += fmt.Sprintf(".variety(%q, days_to_maturity = %d)", q.variety, 50+len(q.variety))
				}
				fmt.Fprintf(&b, "plant(r%d_%d, %s, count = %d, spacing = 12 * inch, on = \"%d-05-%02d\")\n", i, j, crop, q.count, d.year, q.day)
			}
		}
	}
	return b.String()
}

func (d drawn) side(t require.TestingT) diff.Side {
	return check(t, fstest.MapFS{entry: {Data: []byte(d.text())}})
}

// Whatever two farms are: a farm is the same as itself, the diff of the exchanged farms is the exchanged diff, and
// the effects add up to the difference.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawFarm(t)
		b := edited(t, a)
		if rapid.IntRange(0, 4).Draw(t, "another") == 0 {
			b = drawFarm(t)
		}
		from, to := a.side(t), b.side(t)
		require.Empty(t, diff.Compare(from, a.side(t)).Changes)
		d := diff.Compare(from, to)
		requireExact(t, d)
		requireReversed(t, d, diff.Compare(to, from))
		if a.text() != b.text() {
			plants := func(s diff.Side) int {
				n := 0
				for _, p := range s.Facts.Plots {
					n += p.Plants
				}
				return n
			}
			require.True(t, !d.Same() || plants(from) == plants(to))
		}
	})
}

// A text that only moves down says the same of everything that a plan can declare.
func TestMovedText(t *testing.T) {
	compared := 0
	for _, b := range eval.Builtins() {
		if b.Example == "" {
			continue
		}
		t.Run(b.Name, func(t *testing.T) {
			compared++
			a := check(t, fstest.MapFS{entry: {Data: []byte(b.Example)}})
			d := diff.Compare(a, check(t, fstest.MapFS{entry: {Data: []byte("# The plan of the year.\n\n" + b.Example)}}))
			require.Empty(t, d.Changes)
			requireExact(t, diff.Compare(diff.Side{}, a))
		})
	}
	require.Greater(t, compared, 20)
}
