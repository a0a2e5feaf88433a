package book

import (
	"io"
	"math"

	"haulm/lang/diag"
	"haulm/lang/report"
	"haulm/stdlib/quantity"
)

func (b *Book) farmName() string {
	name := b.Farm.Name.Value
	if name == "" {
		name = "The farm"
	}
	if y := b.Farm.Year.Value; y != 0 {
		name = shown(name) + ", " + decimal(y)
	}
	return name
}

// figure is one number of the page that opens the book.
type figure struct{ Name, Value string }

// glance opens the book: what there is, the farm's map and the contents.
func (b *Book) glance(w *paper) {
	area, plants := 0.0, 0
	for _, p := range b.Facts.Plots {
		area += p.Area
		plants += p.Plants
	}
	figures := []figure{{"plots", decimal(len(b.Facts.Plots))}, {"ground", b.Farm.Units.Format(quantity.Of(area, quantity.Area))},
		{"rows", decimal(len(b.Facts.Rows))}, {"plants", decimal(plants)}}
	if s := b.Farm.Site; s != nil && s.LastFrost.Value.IsSet() && s.FirstFrost.Value.IsSet() {
		figures = append(figures, figure{"last frost", b.day(s.LastFrost.Value)}, figure{"first frost", b.day(s.FirstFrost.Value)})
	}
	if l := b.Facts.Labor(); l.Peak >= 0 {
		figures = append(figures, figure{"hours of work", number(math.Round(l.Hours))},
			figure{"fullest week", b.day(l.Weeks[l.Peak].Monday) + ": " + number(l.Weeks[l.Peak].Hours) + " h"})
	}
	if w := b.Facts.Water; w != nil {
		sent := 0.0
		for _, s := range w.Sources {
			sent += s.Volume
		}
		if sent > 0 {
			figures = append(figures, figure{"water", b.Farm.Units.Format(quantity.Of(sent, quantity.Volume))})
		}
	}
	figures = append(figures, figure{"findings", diag.Tally(b.Findings)})
	w.part("glance", figures)
	w.heading("2", "contents", "In this book")
	var list []Page
	for _, p := range b.pages {
		if p.chapter != "why.html" && p.Name != "index.html" {
			list = append(list, p)
		}
	}
	w.part("contents", list)
	w.heading("2", "plots", "The plots")
	w.table(report.Plots(b.Facts), "Plots")
	if !b.large() {
		b.farmMap(w)
	}
}

// mostAtOnce is how many plantings the map of the farm may have to stand on the page that opens the book.
const mostAtOnce = 2000

func (b *Book) large() bool { return len(b.Facts.Plantings) > mostAtOnce }

func (b *Book) farmMap(w *paper) {
	w.raw(`<div class="sheet" id="map">`)
	w.picture("Map of the farm", func(out io.Writer) error { return report.MapSVG(b.Facts, out) })
	w.raw("</div>\n")
}
