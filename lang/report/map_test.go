package report_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/derive"
	"haulm/lang/farm"
	front "haulm/lang/plan"
	"haulm/lang/report"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// requireTrue holds a map against the facts: to scale, everything in its place, and nothing written over
// anything else. It returns how many plants are drawn one by one.
func requireTrue(t require.TestingT, p *picture, facts *derive.Facts) int {
	width := 1280.0
	if len(facts.Plots) == 1 && p.single {
		width = 1000
	}
	require.Equal(t, width, p.width)
	var plots []*derive.Plot
	for _, plot := range facts.Plots {
		if plot.Area > 0 {
			plots = append(plots, plot)
		}
	}
	require.Len(t, p.plots, len(plots))
	page := rect{0, 0, p.width, p.height}
	scale := p.barPx / p.barM // px per meter
	places := map[*derive.Plot]func(along, across float64) point{}
	for i, r := range p.plots {
		require.True(t, page.holds(r))
		for _, other := range p.plots[:i] {
			require.False(t, r.meets(other), "plots on top of one another")
		}
		long, wide := plots[i].Decl.Length.Value.SI, plots[i].Decl.Width.Value.SI
		across := math.Abs(r.x1-r.x0-wide*scale) < math.Abs(r.x1-r.x0-long*scale)
		w, h := r.x1-r.x0, r.y1-r.y0
		if across {
			w, h = h, w
		}
		require.InEpsilon(t, long*scale, w, 0.005)
		require.InEpsilon(t, wide*scale, h, 0.005)
		places[plots[i]] = placesIn(r, across, scale, facts, plots[i])
	}
	for _, list := range [][]rect{p.rows, p.paths, p.headlands} {
		for _, r := range list {
			inside := false
			for _, plot := range p.plots {
				inside = inside || plot.holds(r)
			}
			require.True(t, inside, "%v", r)
		}
	}

	byTip := map[string][]*derive.Planting{}
	placed := 0
	for _, q := range facts.Plantings {
		if q.Placed() {
			placed++
			byTip[tip(facts, q)] = append(byTip[tip(facts, q)], q)
		}
	}
	require.Len(t, p.plantings, placed)
	dots := 0
	for _, g := range p.plantings {
		require.NotEmpty(t, byTip[g.tip], "%q", g.tip)
		q := byTip[g.tip][0]
		byTip[g.tip] = byTip[g.tip][1:]
		require.NotEqual(t, g.band, len(g.dots) > 0, "%s: plants or a band", g.tip)
		if g.band {
			continue
		}
		require.Len(t, g.dots, q.Plants, g.tip)
		dots += q.Plants
		n := 0
		for line, x := range q.Row.Lines {
			for at := range q.Positions(line) {
				want := places[q.Row.Plot](q.Row.Start+at, x)
				require.InDelta(t, want.x, g.dots[n].x, 0.1, g.tip)
				require.InDelta(t, want.y, g.dots[n].y, 0.1, g.tip)
				inside := at > q.Row.Length*(1+1e-9) // beyond its end, as the plan has it
				for _, r := range p.rows {
					inside = inside || r.holds(rect{g.dots[n].x, g.dots[n].y, g.dots[n].x, g.dots[n].y})
				}
				require.True(t, inside, "%s: plant %d outside its row", g.tip, n)
				n++
			}
		}
	}

	for i, l := range p.labels {
		require.GreaterOrEqual(t, l.size, 11.0, l.text)
		require.True(t, page.holds(l.rect), "%q leaves the page: %v", l.text, l.rect)
		for _, other := range p.labels[:i] {
			require.False(t, l.rect.meets(other.rect), "%q over %q", l.text, other.text)
		}
	}
	return dots
}

// placesIn gives where places in a plot lie on the page, worked out apart from the program: the page's
// right is where the first of the plots with most rows alongside run, else where all rows run.
func placesIn(r rect, across bool, scale float64, facts *derive.Facts, plot *derive.Plot) func(along, width float64) point {
	turn := plot.Decl.Bearing.Value
	quarter := 0
	if across {
		quarter = 1
	}
	// At their true places, plots turned by half a circle show their head at the right.
	if lengthwise(facts) >= 0 && math.Abs(turn-lengthwise(facts)) == 180 {
		quarter = 2
	}
	return func(along, width float64) point {
		switch quarter {
		case 1:
			return point{r.x1 - width*scale, r.y0 + along*scale}
		case 2:
			return point{r.x1 - along*scale, r.y1 - width*scale}
		}
		return point{r.x0 + along*scale, r.y0 + width*scale}
	}
}

// lengthwise is the bearing of the page's right where plots lie at their true places, -1 elsewhere:
// the test's farms put the first plot's rows along the page.
func lengthwise(facts *derive.Facts) float64 {
	if len(facts.Plots) > 2 && facts.Plots[2].Decl.North.Given && facts.Plots[4].Decl.North.Value.SI < 1000 {
		return facts.Plots[0].Decl.Bearing.Value
	}
	return -1
}

// tip is the sentence that a browser shows over a planting.
func tip(facts *derive.Facts, q *derive.Planting) string {
	text := fmt.Sprintf("%s, %s: %s, %d plant", q.Row.Plot.Decl.Name.Value, q.Row.Name(), q.Decl.Crop.Title(), q.Plants)
	if q.Plants != 1 {
		text += "s"
	}
	text += " at " + facts.Farm.Units.Short(quantity.Meters(q.Spacing))
	day := func(d season.Date) string {
		text := d.Month().String()[:3] + " " + strconv.Itoa(d.Day())
		if d.Year() != facts.Farm.Year.Value {
			text += ", " + strconv.Itoa(d.Year())
		}
		return text
	}
	if q.Plant.IsSet() {
		text += ", " + day(q.Plant) + " – " + day(q.LastHarvest)
	}
	return text
}

func TestMapsAreTrue(t *testing.T) {
	for name, build := range maps {
		t.Run(name, func(t *testing.T) {
			facts := build().facts()
			dots := requireTrue(t, drawMap(t, facts), facts)
			require.Equal(t, name == "long", dots == 0)
		})
	}
}

func TestGoldenMap(t *testing.T) {
	golden(t, "benches.svg", []byte(drawMap(t, benches().facts()).source))
}

func TestMapsRepeatThemselves(t *testing.T) {
	for _, build := range maps {
		require.Equal(t, drawMap(t, build().facts()).source, drawMap(t, build().facts()).source)
	}
}

// Every planting of a map that has room is named, with its number; every crop's letters are explained.
func TestMapNamesEverything(t *testing.T) {
	b := benches()
	p := drawMap(t, b.facts())
	var all []string
	for _, l := range p.labels {
		all = append(all, l.text)
	}
	text := strings.Join(all, "\n")
	for _, want := range []string{
		"Alder Hollow, 2027", "2 plots, 11 rows, 1962 plants", "Lower bench", "52 ft × 40 ft · sandy loam · 1580 plants · rows run 20° from north",
		"BP bell pepper 'Lantern Red' · 10", "Eg eggplant · 14 at 24 in · May 15 – Sep 22", "cage row",
		"Le 1st · lettuce · 40 at 12 in · Apr 5 – Jun 3", "Br 2nd · broccoli · 54 at 18 in · Jul 25 – Oct 7",
		"Ca carrot · 1348 at 1.5 in · Apr 1 – Jul 20", "On onion · 219 at 4 in", "28 ft 3 in left", "headland 5 ft", "42 in path",
		"carrot · 1348 plants", "Solanaceae", "10 ft", "N",
	} {
		require.Contains(t, text, want)
	}
	require.NotContains(t, text, "too small")
	bands, rings := 0, 0
	for _, g := range p.plantings {
		if g.band {
			bands++
		}
		if g.later {
			rings++
		}
	}
	require.Equal(t, 1, bands, "carrots")
	require.Equal(t, 1, rings, "broccoli after lettuce")
}

// Where paths are too narrow for words, rows are named after their ends rather than drawn as bands.
func TestMapNamesTightRows(t *testing.T) {
	p := drawMap(t, tightRows().facts())
	require.Empty(t, p.bands)
	after := 0
	for _, l := range p.labels {
		if l.rect.x0 > p.plots[0].x1 && strings.Contains(l.text, "Le lettuce · 30 at 12 in; To tomato · 57 at 24 in") {
			after++
		}
	}
	require.Equal(t, 20, after) // of 21: the first has the ground at the plot's side
}

// Plots at their true places keep their distances; the key plan stands in where they cannot.
func TestMapKeepsPlaces(t *testing.T) {
	p := drawMap(t, spread().facts())
	scale := p.barPx / p.barM
	lower, upper := p.plots[0], p.plots[1]
	// Rows run north and the page's right is north: 90 ft east is 90 ft down.
	require.InDelta(t, 90*foot*scale, upper.y0-lower.y0, 0.1)
	require.InDelta(t, 0, upper.x0-lower.x0, 0.1)
	side := p.plots[3]
	require.InDelta(t, 145*foot*scale, side.x0-lower.x0, 0.1)
	require.NotContains(t, p.source, "Key plan")

	require.Contains(t, drawMap(t, far().facts()).source, "Key plan, north up")
	require.NotContains(t, drawMap(t, wholeSeason().facts()).source, "Key plan")
}

// The arrow of a plot points north: up the page when rows run east, to the right when they run north.
func TestMapPointsNorth(t *testing.T) {
	for _, c := range []struct{ bearing, dx, dy float64 }{
		{0, 1, 0}, {90, 0, -1}, {180, -1, 0}, {270, 0, 1}, {45, math.Sqrt2 / 2, -math.Sqrt2 / 2}, {-90, 0, 1}, {720, 1, 0},
	} {
		b := benches()
		b.f.Plots[0].Bearing = given(c.bearing)
		p := drawMap(t, b.facts())
		_, rest, _ := strings.Cut(p.source, `class="needle" d="M`)
		var tip, tail point
		_, err := fmt.Sscanf(strings.ReplaceAll(rest, "L", " "), "%g %g %g %g", &tip.x, &tip.y, &tail.x, &tail.y)
		require.NoError(t, err)
		// The tail's corner is 20 px back and 5.5 px aside.
		dx, dy := tip.x-tail.x, tip.y-tail.y
		require.InDelta(t, 20, dx*c.dx+dy*c.dy, 0.05, "bearing %g", c.bearing)
	}
}

// A name cannot get out of its text, turn it round, or cover the map.
func TestMapWithHostileNames(t *testing.T) {
	for _, name := range []string{
		`<script>alert("x")</script>`, `"/><image href="http://a.example/">`, "]]>&amp;&lt;", "\u202etfel ot thgir\u202c\u2067\u200f",
		strings.Repeat("Very long ", 1000), strings.Repeat("M", 10000), "\x00\x1b[31m\xff\ufffe", "畝畝畝畝畝畝畝畝畝畝畝畝", "",
	} {
		b := benches()
		b.f.Name = given(name)
		for _, p := range b.f.Plots {
			p.Name = given(name)
			p.Soil = &farm.Soil{Texture: given(name)}
		}
		for _, r := range b.f.Rows {
			r.Name = given(name)
		}
		for _, p := range b.f.Plantings {
			p.Crop.Name, p.Crop.Variety, p.Crop.Family = name, name, name
		}
		p := drawMap(t, b.facts())
		page := rect{0, 0, p.width, p.height}
		require.Less(t, len(p.source), 200_000)
		for i, l := range p.labels {
			require.Less(t, len([]rune(l.text)), 160)
			for _, r := range l.text {
				require.False(t, r < 0x20 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 || r == 0x200f, "%U", r)
			}
			if name == strings.Repeat("M", 10000) || strings.HasPrefix(name, "Very") {
				require.True(t, page.holds(l.rect), "%q", l.text)
				for _, other := range p.labels[:i] {
					require.False(t, l.rect.meets(other.rect), "%q over %q", l.text, other.text)
				}
			}
		}
		if len(name) > 9000 {
			require.Contains(t, p.source, "…")
		}
		require.NotContains(t, p.source, "<script")
		require.NotContains(t, p.source, "<image")
	}
}

// Whatever is missing, there is a map of the rest, and it says what is missing.
func TestMapOfHoles(t *testing.T) {
	require.Contains(t, drawMap(t, nil).source, "The plan has no plots yet.")
	require.Contains(t, drawMap(t, &derive.Facts{}).source, "The plan has no plots yet.")
	p := drawMap(t, metricFarm().facts())
	require.Contains(t, p.source, "Not drawn, for want of a size: no size yet.")
	require.Contains(t, p.source, "1 planting without a place")

	b := benches()
	b.f.Rows[1].At = feet(400)
	b.f.Rows[2].Start = feet(-30)
	b.f.Rows[2].Length = feet(3000)
	b.f.Rows[3].Length = feet(0)
	b.f.Rows[4].Start = feet(1e9)
	b.count(b.f.Rows[5], kale(), 1<<29, "2027-05-01")
	b.f.Plots[1].Bearing = given(math.NaN())
	p = drawMap(t, b.facts())
	require.Contains(t, p.source, "Not drawn, because they have no length within their plot: Lower bench, row 3; ")
	page := rect{0, 0, p.width, p.height}
	for _, r := range append(p.rows, p.bands...) {
		require.True(t, page.holds(r))
	}

	for _, size := range [][2]farm.Length{
		{length(math.NaN()), feet(1)}, {length(math.Inf(1)), feet(1)}, {length(-1), feet(1)}, {length(0), feet(1)}, {length(1e300), length(1e300)},
		{given(quantity.Of(3, quantity.Mass)), feet(1)},
	} {
		b := benches()
		b.f.Plots[0].Length, b.f.Plots[0].Width = size[0], size[1]
		require.Len(t, drawMap(t, b.facts()).plots, 1)
	}
	for _, size := range [][2]float64{{1, 1000}, {10000, 1}, {1, 1}} {
		b := newFarm("F", quantity.Metric)
		p := b.plot("P", size[0], size[1], 0)
		b.fill(b.row(p, size[1]/2), kale(), "2027-05-01")
		m := drawMap(t, b.facts())
		require.Len(t, m.plots, 1)
		require.Less(t, m.height, 3000.0)
	}
}

// A planting whose crop is not known is drawn all the same.
func TestMapWithoutCrops(t *testing.T) {
	facts := benches().facts()
	for _, p := range facts.Plantings {
		p.Decl.Crop = nil
	}
	p := drawMap(t, facts)
	require.Contains(t, p.source, "crop not known")
	var b bytes.Buffer
	require.NoError(t, report.Plantings(facts).WriteText(&b, 80))
	require.NoError(t, report.Plantings(facts).WriteJSON(&b))
}

// However many plants there are, the file can be opened.
func TestMapHoldsSoManyPlants(t *testing.T) {
	b := newFarm("Big", quantity.US)
	for n := range 40 {
		p := b.plot("plot "+strconv.Itoa(n), 100, 100, 5)
		for at := 4.0; at < 98; at += 6 {
			b.fill(b.bed(p, at, 3, 12), kale(), "2027-05-01")
		}
	}
	p := drawMap(t, b.facts())
	dots := 0
	for _, g := range p.plantings {
		dots += len(g.dots)
	}
	require.LessOrEqual(t, dots, 20000)
	require.Less(t, len(p.source), 4_000_000)
}

// Farms of any shape are drawn true.
func TestAnyMapIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		units := rapid.SampledFrom([]quantity.System{quantity.US, quantity.Metric}).Draw(t, "units")
		b := newFarm("Any farm", units)
		all := []func() *farm.Crop{pepper, tomato, lettuce, carrot, squash, onion, bean}
		n := 0
		for i := range rapid.IntRange(1, 4).Draw(t, "plots") {
			wide := rapid.Float64Range(8, 120).Draw(t, "width")
			p := b.plot("plot "+strconv.Itoa(i), rapid.Float64Range(20, 400).Draw(t, "length"), wide, rapid.Float64Range(0, 8).Draw(t, "headland"))
			apart := rapid.Float64Range(3, 8).Draw(t, "apart")
			for at := apart / 2; at < wide-1.3; at += apart {
				var r *farm.Row
				if lines := rapid.IntRange(0, 4).Draw(t, "lines"); lines > 1 && at > 1.3 {
					r = b.bed(p, at, lines, 24/float64(lines))
				} else {
					r = b.row(p, at)
				}
				for range rapid.IntRange(0, 3).Draw(t, "plantings") {
					c := all[rapid.IntRange(0, len(all)-1).Draw(t, "crop")]()
					c.Variety = "no. " + strconv.Itoa(n) // so that the test can tell them apart
					n++
					long := p.Length.Value.SI - 2*p.Headland.Value.SI
					most := int(long / 4 / c.InRow.Low)
					if most < 1 {
						continue
					}
					on := rapid.SampledFrom([]string{"2027-04-01", "2027-06-20", "2027-09-10"}).Draw(t, "on")
					b.count(r, c, rapid.IntRange(1, most).Draw(t, "count"), on)
				}
			}
		}
		facts := b.facts()
		requireTrue(t, drawMap(t, facts), facts)
	})
}

func BenchmarkMap(b *testing.B) {
	facts := wholeSeason().facts()
	for b.Loop() {
		if err := report.MapSVG(facts, io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

// alone are the facts of one plot.
func alone(facts *derive.Facts, p *derive.Plot) *derive.Facts {
	one := &derive.Facts{Farm: facts.Farm, Plots: []*derive.Plot{p}, Rows: p.Rows}
	for _, r := range p.Rows {
		one.Plantings = append(one.Plantings, r.Plantings...)
	}
	return one
}

// The map of one plot is as true as the farm's: scale, places, labels clear of one another, also in the examples.
func TestPlotMapsAreTrue(t *testing.T) {
	farms := map[string]*derive.Facts{}
	for name, build := range maps {
		farms[name] = build().facts()
	}
	for _, name := range []string{"first", "metric", "season"} {
		s := front.Check(context.Background(), os.DirFS(filepath.Join("../../examples", name)), "farm.star")
		require.NoError(t, s.Trouble)
		farms["example "+name] = s.Facts
	}
	for name, facts := range farms {
		t.Run(name, func(t *testing.T) {
			if strings.HasPrefix(name, "example") {
				requireTrue(t, drawMap(t, facts), facts)
			}
			for _, p := range facts.Plots {
				var b bytes.Buffer
				require.NoError(t, report.PlotSVG(facts, p, nil, &b))
				drawn := readMap(t, b.String())
				drawn.single = true
				if p.Area > 0 {
					requireTrue(t, drawn, alone(facts, p))
				}
			}
		})
	}
}

// Plantings lead where they are told to, and say which line declares them.
func TestPlotMapLeads(t *testing.T) {
	facts := watered(t)
	var b bytes.Buffer
	link := func(p *derive.Planting) string { return "why.html#planting-" + strconv.Itoa(p.Number) }
	require.NoError(t, report.PlotSVG(facts, facts.Plots[0], link, &b))
	for _, p := range facts.Plots[0].Rows[0].Plantings {
		require.Contains(t, b.String(), `<a href="why.html#planting-`+strconv.Itoa(p.Number)+`" aria-label="`)
		require.Contains(t, b.String(), `data-planting="`+strconv.Itoa(p.Number)+`" data-file="farm.star" data-line="`+strconv.Itoa(int(p.Decl.Call.Start.Line))+`"`)
	}
	for _, sign := range []string{`class="tape"`, `class="zone"`, "drip tape", "rows behind one valve"} {
		require.Contains(t, b.String(), sign)
	}
}
