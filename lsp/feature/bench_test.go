package feature_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lsp/feature"
)

// farmOf writes a farm of n rows, each planted.
func farmOf(n int) string {
	var b strings.Builder
	b.WriteString("load(\"crops\", \"radish\", \"tomato\")\n")
	b.WriteString("here = site(latitude = 38.2, last_frost = \"2027-04-24\", first_frost = \"2027-10-14\")\n")
	b.WriteString("farm(\"Bench\", year = 2027, site = here)\n")
	for i := range n {
		if i%100 == 0 {
			fmt.Fprintf(&b, "plot_%d = plot(\"Plot %d\", length = 52 * ft, width = 500 * ft)\n", i/100, i/100)
		}
		fmt.Fprintf(&b, "row_%d = row(plot_%d, at = %d * ft)\nplant(row_%d, tomato, count = 10, on = here.last_frost + 2 * weeks)\n", i, i/100, 4*(i%100+1), i)
	}
	return b.String()
}

// BenchmarkAfterEdit measures what is asked after every keystroke, on farms whose sizes should not matter.
func BenchmarkAfterEdit(b *testing.B) {
	for _, rows := range []int{100, 1_000, 10_000} {
		text := farmOf(rows)
		files := fstest.MapFS{"farm.star": {Data: []byte(text)}}
		p := feature.NewPlan(plan.Check(context.Background(), files, "farm.star"), files)
		p.Warm()
		at := strings.Index(text[len(text)/2:], "plant(") + len(text)/2
		edited := text[:at] + "plant(row_7, to, on = \"2027-05-01\")\n" + text[at:]
		ask := func(name string, f func(*feature.Doc, source.Point)) {
			b.Run(fmt.Sprintf("%s/%d", name, rows), func(b *testing.B) {
				whole := source.New("farm.star", edited)
				var texts [8]*source.File
				for i := range texts {
					texts[i] = whole.Edit(at, at, strings.Repeat("#", i)+"\n")
				}
				for i := 0; b.Loop(); i++ {
					now := texts[i%len(texts)]
					f(feature.NewDoc(now, p), now.Point(at+i%len(texts)+1+len("plant(row_7, to")))
				}
			})
		}
		ask("complete", func(d *feature.Doc, at source.Point) { d.Complete(at) })
		ask("hover", func(d *feature.Doc, at source.Point) { at.Col -= 6; d.Hover(at) })
		ask("hints", func(d *feature.Doc, at source.Point) {
			first := source.Point{Line: at.Line - 25, Col: 1}
			d.Hints(source.Span{File: d.File, Start: first, End: source.Point{Line: at.Line + 25, Col: 1}}, everyKind)
		})
		ask("actions", func(d *feature.Doc, at source.Point) { d.Actions(source.Span{File: d.File, Start: at, End: at}) })
		ask("signature", func(d *feature.Doc, at source.Point) { d.Signature(at) })
	}
}

// BenchmarkFirst measures the tables that the first question after an evaluation builds.
func BenchmarkFirst(b *testing.B) {
	for _, rows := range []int{1_000, 10_000} {
		files := fstest.MapFS{"farm.star": {Data: []byte(farmOf(rows))}}
		snap := plan.Check(context.Background(), files, "farm.star")
		b.Run(fmt.Sprint(rows), func(b *testing.B) {
			for b.Loop() {
				feature.NewPlan(snap, files).Warm()
			}
		})
	}
}
