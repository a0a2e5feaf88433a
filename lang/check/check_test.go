package check

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// written builds farms whose every argument has a place in a text, one call to a line.
type written struct {
	*farm.Farm
	file  *source.File
	order int
}

func newWritten(lines int) *written {
	line := strings.Repeat(" ", 8) + "call(argument)\n"
	return &written{Farm: &farm.Farm{
		Year:        farm.Count{Value: 2027, Given: true},
		Access:      farm.Length{Value: quantity.Meters(0.762)},
		SprayAccess: farm.Length{Value: quantity.Meters(0.6096)},
	}, file: source.New("farm.star", strings.Repeat(line, lines))}
}

func (w *written) decl(kind string) farm.Decl {
	w.order++
	return farm.Decl{Kind: kind, Call: w.span(9, 23), Order: w.order, Used: true}
}

func (w *written) span(from, to int32) source.Span {
	line := int32(w.order)
	return source.Span{File: w.file, Start: source.Point{Line: line, Col: from}, End: source.Point{Line: line, Col: to}}
}

func (w *written) length(m float64) farm.Length {
	return farm.Length{Value: quantity.Meters(m), Span: w.span(14, 22), Given: true}
}

func (w *written) plot(length, width float64) *farm.Plot {
	p := &farm.Plot{Decl: w.decl("plot")}
	p.Name = farm.Text{Value: fmt.Sprintf("Plot %d", len(w.Plots)+1), Span: w.span(14, 22), Given: true}
	p.Length, p.Width = w.length(length), w.length(width)
	w.Plots = append(w.Plots, p)
	return p
}

func (w *written) row(p *farm.Plot, at float64) *farm.Row {
	r := &farm.Row{Decl: w.decl("row"), Plot: p, At: w.length(at)}
	w.Rows = append(w.Rows, r)
	return r
}

func (w *written) plant(r *farm.Row, c *farm.Crop, count int, on season.Date) *farm.Planting {
	p := &farm.Planting{Decl: w.decl("plant"), Row: r, Crop: c, CropSpan: w.span(14, 22)}
	p.Count = farm.Count{Value: count, Span: w.span(14, 22), Given: true}
	p.On = farm.DateArg{Value: on, Span: w.span(14, 22), Given: on.IsSet()}
	w.Plantings = append(w.Plantings, p)
	return p
}

func ours(low, high float64, dim quantity.Dimension) crops.Range {
	return crops.Range{Low: low, High: high, Dim: dim, Grade: crops.GradePlan, Source: "this plan"}
}

// beans are a made-up crop with every value that a rule looks at.
func beans() *farm.Crop {
	return &farm.Crop{Crop: crops.Crop{
		Name: "beans", Family: "Fabaceae", Frost: crops.Tender,
		InRow: ours(0.1, 0.2, quantity.Length), BetweenRows: ours(0.8, 0.9, quantity.Length),
		Height: ours(0.4, 0.4, quantity.Length), Spread: ours(0.3, 0.3, quantity.Length),
		MaturitySeed: ours(60, 60, quantity.Ratio), MaturityTransplant: ours(40, 40, quantity.Ratio),
		HarvestDays: ours(20, 20, quantity.Ratio), SoilMin: ours(283, 283, quantity.Temperature),
		RotationYears: ours(3, 3, quantity.Ratio), TrayWeeks: ours(4, 4, quantity.Ratio),
	}}
}

func site() *farm.Site {
	date := func(month time.Month, day int) farm.DateArg {
		return farm.DateArg{Value: season.On(2027, month, day), Given: true}
	}
	s := &farm.Site{LastFrost: date(4, 24), FirstFrost: date(10, 14), Latitude: farm.Number{Value: 38, Given: true}}
	s.Climate = &farm.Climate{SoilTemperature: farm.Field[[]quantity.Quantity]{Given: true}}
	for i := range 12 {
		t := quantity.Celsius(12 - 12*math.Cos(float64(i)*math.Pi/6))
		s.Climate.SoilTemperature.Value = append(s.Climate.SoilTemperature.Value, t)
	}
	return s
}

// sound builds a farm of n rows with a planting each that no rule finds fault with, a hundred to a plot.
func sound(n int) *farm.Farm {
	w := newWritten(2*n + n/100 + 1)
	w.Site, w.Units = site(), quantity.Metric
	c := beans()
	var p *farm.Plot
	for i := range n {
		if i%100 == 0 {
			p = w.plot(50, 102)
		}
		w.plant(w.row(p, 1+float64(i%100)), c, 334, season.On(2027, time.May, 10))
	}
	return w.Farm
}

func TestSoundFarmHasNoFindings(t *testing.T) {
	for _, d := range Run(derive.Derive(sound(300))) {
		require.Fail(t, d.Message)
	}
}

// BenchmarkRun measures all rules over 100,000 rows with a planting each: good ones, and ones that each
// break a rule.
func BenchmarkRun(b *testing.B) {
	good := derive.Derive(sound(100_000))
	f := sound(100_000)
	for _, p := range f.Plantings {
		p.On.Value = season.On(2027, time.April, 1)
	}
	early := derive.Derive(f)
	for _, c := range []struct {
		name  string
		facts *derive.Facts
	}{{"good", good}, {"early", early}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				Run(c.facts)
			}
		})
	}
}

func TestNoFactsNoFindings(t *testing.T) {
	require.Empty(t, Run(nil))
	require.Empty(t, Run(&derive.Facts{}))
	require.Empty(t, Run(derive.Derive(&farm.Farm{})))
}

// TestHoles holds that a farm with any of its parts missing or absurd is judged without a panic, that
// what is found has a place and words, and that fixes can be applied.
func TestHoles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := newWritten(100)
		flip := rapid.Bool()
		number := rapid.SampledFrom([]float64{0, -1, 0.1, 0.5, 1, 2, 3, 10, 40, 1e9, math.NaN(), math.Inf(1), math.Inf(-1)})
		day := rapid.SampledFrom([]season.Date{season.None, season.On(2026, 12, 1), season.On(2027, 3, 1), season.On(2027, 5, 1), season.On(2027, 8, 1), season.On(2029, 1, 1)})
		length := func(name string) farm.Length {
			f := w.length(number.Draw(t, name))
			f.Given = flip.Draw(t, name+" given")
			return f
		}
		date := func(name string) farm.DateArg {
			return farm.DateArg{Value: day.Draw(t, name), Span: w.span(14, 22), Given: flip.Draw(t, name+" given")}
		}
		w.Units = rapid.SampledFrom([]quantity.System{quantity.US, quantity.Metric}).Draw(t, "units")
		if flip.Draw(t, "a site") {
			w.Site = site()
			w.Site.LastFrost.Given, w.Site.FirstFrost.Given = flip.Draw(t, "last frost"), flip.Draw(t, "first frost")
			w.Site.LastFrost.Value, w.Site.FirstFrost.Value = day.Draw(t, "last"), day.Draw(t, "first")
			if flip.Draw(t, "no climate") {
				w.Site.Climate = nil
			}
		}
		w.Turning = length("turning")
		kinds := []*farm.Crop{beans(), {}, nil}
		for range rapid.IntRange(0, 2).Draw(t, "plots") {
			p := w.plot(50, 20)
			p.Length, p.Width, p.Headland = length("plot length"), length("plot width"), length("headland")
			p.Bearing.Value = rapid.SampledFrom([]float64{0, 90, 270, 45, math.NaN()}).Draw(t, "bearing")
			p.Used = flip.Draw(t, "used")
			h := &farm.History{Decl: w.decl("history"), Plot: rapid.SampledFrom([]*farm.Plot{p, nil}).Draw(t, "of")}
			h.Year = farm.Count{Value: 2026, Given: true}
			h.Families.Value = []string{"Fabaceae"}
			w.Histories = append(w.Histories, h)
		}
		for range rapid.IntRange(0, 6).Draw(t, "rows") {
			var p *farm.Plot
			if len(w.Plots) > 0 {
				p = rapid.SampledFrom(w.Plots).Draw(t, "plot")
			}
			r := w.row(p, 1)
			r.At, r.Start, r.Length, r.BedWidth, r.LineSpacing = length("at"), length("start"), length("length"), length("bed"), length("lines apart")
			r.Lines.Value = rapid.IntRange(-1, 4).Draw(t, "lines")
			r.Staggered.Value = flip.Draw(t, "staggered")
			r.Name = farm.Text{Value: "same", Span: w.span(14, 22), Given: flip.Draw(t, "named")}
		}
		for range rapid.IntRange(0, 8).Draw(t, "plantings") {
			var r *farm.Row
			if len(w.Rows) > 0 {
				r = rapid.SampledFrom(w.Rows).Draw(t, "row")
			}
			p := w.plant(r, rapid.SampledFrom(kinds).Draw(t, "crop"), rapid.IntRange(-1, 400).Draw(t, "count"), season.None)
			p.Count.Given = flip.Draw(t, "counted")
			p.Length, p.Spacing, p.Start = length("stretch"), length("spacing"), length("start")
			p.On, p.SownOn, p.Until = date("on"), date("sown"), date("until")
			p.Direct = flip.Draw(t, "direct")
			p.Fill.Value = flip.Draw(t, "fill")
			p.SoilTemperature = farm.Amount{Value: quantity.Celsius(number.Draw(t, "soil")), Given: flip.Draw(t, "measured")}
			p.Succession = farm.Text{Value: "heads", Given: flip.Draw(t, "succession")}
			if flip.Draw(t, "by a helper") {
				p.Chain = []source.Span{w.span(9, 23)}
			}
		}
		for _, d := range Run(derive.Derive(w.Farm)) {
			require.NotNil(t, d.Rule)
			require.NotEmpty(t, d.Message)
			for _, bad := range []string{"NaN", "Inf", "%!", "<nil>"} {
				require.NotContains(t, d.Message, bad)
			}
			for _, fix := range d.Fixes {
				_, err := diag.Apply(fix)
				require.NoError(t, err)
			}
		}
	})
}
