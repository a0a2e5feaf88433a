package report_test

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

var update = flag.Bool("update", false, "write the golden files")

// golden compares with a file of testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "run the test with -update")
	require.Equal(t, string(want), string(got))
}

const (
	foot = 0.3048
	inch = 0.0254
)

func given[T any](v T) farm.Field[T] { return farm.Field[T]{Value: v, Given: true} }
func length(m float64) farm.Length   { return given(quantity.Meters(m)) }
func feet(n float64) farm.Length     { return length(n * foot) }
func inches(n float64) farm.Length   { return length(n * inch) }
func day(text string) farm.DateArg {
	d, err := season.Parse(text)
	if err != nil {
		panic(err)
	}
	return given(d)
}

// span makes a place in the text of a plan.
func span(line, col, to int32) source.Span {
	return source.Span{File: plan, Start: source.Point{Line: line, Col: col}, End: source.Point{Line: line, Col: to}}
}

var plan = source.New("farm.star", "\n\n\n\n\n\n\n\n\n\n\n\n")

func number(low, high float64) crops.Range {
	return crops.Range{Low: low, High: high, Grade: "A", Source: "a trial of the test's own"}
}

// crop makes a crop of the test's own, with whole figures that are easy to follow.
func crop(name, family string, inRow, days, harvest float64) *farm.Crop {
	c := &farm.Crop{Crop: crops.Crop{
		Name: name, Family: family, InRow: number(inRow*inch, inRow*inch), TrayWeeks: number(6, 6),
		MaturityTransplant: number(days, days), MaturitySeed: number(days+20, days+20), HarvestDays: number(harvest, harvest),
	}}
	c.InRow.Dim = quantity.Length
	return c
}

// builder puts a farm together as a plan would.
type builder struct{ f *farm.Farm }

func newFarm(name string, units quantity.System) *builder {
	return &builder{&farm.Farm{Name: given(name), Year: given(2027), Units: units, Access: inches(30)}}
}

func (b *builder) plot(name string, long, wide, headland float64) *farm.Plot {
	p := &farm.Plot{Name: given(name), Length: feet(long), Width: feet(wide), Headland: feet(headland)}
	b.f.Plots = append(b.f.Plots, p)
	return p
}

func (b *builder) row(p *farm.Plot, at float64) *farm.Row {
	r := &farm.Row{Plot: p, At: feet(at), Lines: farm.Count{Value: 1}}
	b.f.Rows = append(b.f.Rows, r)
	return r
}

// bed makes a bed of several lines, 30 in wide.
func (b *builder) bed(p *farm.Plot, at float64, lines int, apart float64) *farm.Row {
	r := b.row(p, at)
	r.Lines, r.LineSpacing, r.BedWidth = given(lines), inches(apart), inches(30)
	return r
}

func (b *builder) plant(r *farm.Row, c *farm.Crop, on string) *farm.Planting {
	p := &farm.Planting{Row: r, Crop: c}
	if on != "" {
		p.On = day(on)
	}
	b.f.Plantings = append(b.f.Plantings, p)
	return p
}

func (b *builder) fill(r *farm.Row, c *farm.Crop, on string) *farm.Planting {
	p := b.plant(r, c, on)
	p.Fill = given(true)
	return p
}

func (b *builder) count(r *farm.Row, c *farm.Crop, n int, on string) *farm.Planting {
	p := b.plant(r, c, on)
	p.Count = given(n)
	return p
}

func (b *builder) facts() *derive.Facts { return derive.Derive(b.f) }

// Crops of the tests.
func pepper() *farm.Crop {
	c := crop("bell pepper", "Solanaceae", 18, 75, 60)
	c.Variety = "Lantern Red"
	return c
}
func eggplant() *farm.Crop { return crop("eggplant", "Solanaceae", 24, 70, 60) }
func tomato() *farm.Crop   { return crop("tomato", "Solanaceae", 24, 75, 70) }
func lettuce() *farm.Crop  { return crop("lettuce", "Asteraceae", 12, 45, 14) }
func broccoli() *farm.Crop { return crop("broccoli", "Brassicaceae", 18, 60, 14) }
func kale() *farm.Crop     { return crop("kale", "Brassicaceae", 18, 55, 90) }
func corn() *farm.Crop     { return crop("sweet corn", "Poaceae", 9, 70, 10) }
func carrot() *farm.Crop   { return crop("carrot", "Apiaceae", 1.5, 60, 30) }
func squash() *farm.Crop   { return crop("summer squash", "Cucurbitaceae", 30, 50, 50) }
func onion() *farm.Crop    { return crop("onion", "Amaryllidaceae", 4, 100, 14) }
func bean() *farm.Crop     { return crop("snap bean", "Fabaceae", 3, 50, 21) }

// benches is a small farm with most of what a map shows: single rows, beds, a staggered one, two crops
// in turn, a dense sowing, feet left over, an empty row, zones and soil.
func benches() *builder {
	b := newFarm("Alder Hollow", quantity.US)
	low := b.plot("Lower bench", 52, 40, 5)
	low.Soil = &farm.Soil{Texture: given("sandy loam")}
	low.Bearing = given(20.0)
	fruiting := &farm.Zone{Name: given("fruiting")}
	r := b.row(low, 4)
	r.Zone = fruiting
	b.count(r, pepper(), 10, "2027-05-08").Spacing = inches(18)
	b.fill(r, eggplant(), "2027-05-15")
	r = b.row(low, 9)
	r.Zone = fruiting
	b.fill(r, tomato(), "2027-05-12")
	b.f.Rows[1].Name = given("cage row")
	r = b.bed(low, 15, 2, 18)
	r.Zone = &farm.Zone{Name: given("greens")}
	b.count(r, lettuce(), 20, "2027-04-05")
	b.count(r, broccoli(), 27, "2027-07-25")
	r = b.bed(low, 21, 3, 12)
	r.Staggered = given(true)
	b.fill(r, kale(), "2027-04-12")
	r = b.bed(low, 27, 4, 8)
	p := b.fill(r, carrot(), "2027-04-01")
	p.Direct = true
	r = b.row(low, 32)
	b.count(r, squash(), 6, "2027-05-20")
	b.row(low, 37)
	up := b.plot("Upper bench", 30, 24, 3)
	r = b.row(up, 4)
	b.fill(r, corn(), "2027-05-01").Direct = true
	r = b.row(up, 7.5)
	b.fill(r, corn(), "2027-05-14").Direct = true
	r = b.row(up, 12)
	b.fill(r, bean(), "2027-05-10").Direct = true
	r = b.bed(up, 18, 3, 10)
	b.fill(r, onion(), "")
	return b
}
