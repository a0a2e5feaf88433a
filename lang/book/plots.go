package book

import (
	"io"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/report"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

func decimal(n int) string { return strconv.Itoa(n) }

// plot writes a plot's map on a sheet of its own and a card for each of its rows.
func (b *Book) plot(w *paper, p *derive.Plot) {
	w.part("turn", b.turnOf(w.page, "Plots"))
	w.raw(`<div class="sheet">`)
	w.picture("Map of "+shown(p.Decl.Name.Value), func(out io.Writer) error {
		return report.PlotSVG(b.Facts, p, b.plantingWhy, out)
	})
	w.raw("</div>\n")
	w.heading("2", "rows", "Row by row")
	if len(p.Rows) == 0 {
		w.raw("<p>This plot has no rows.</p>\n")
	}
	tags, doses := newTags(), b.doses(p)
	w.raw(`<div class="cards">` + "\n")
	for _, r := range p.Rows {
		w.part("card", b.card(r, tags, doses[r]))
	}
	w.raw("</div>\n")
	w.raw(`<p class="onscreen"><a href="` + b.whyPage(p) + `">How the figures of this plot were reckoned</a></p>` + "\n")
}

// turning leads to the pages before and after.
type turning struct {
	Label         string
	Before, After *Page
}

// turnOf gives the pages of the same chapter before and after one.
func (b *Book) turnOf(page Page, label string) turning {
	t := turning{Label: label}
	found := false
	for i := range b.pages {
		p := &b.pages[i]
		switch {
		case p.chapter != page.chapter:
		case p.Name == page.Name:
			found = true
		case !found:
			t.Before = p
		default:
			t.After = p
			return t
		}
	}
	return t
}

// card is what hangs at a row's head.
type card struct {
	ID, Name  string
	Facts     []string
	Stretches []stretch
	Notes     []string
}

// stretch is a planting on a card.
type stretch struct {
	From, To, What, Link string
	Plants, Apart, When  string
	Tag                  tag
}

func (b *Book) card(r *derive.Row, tags *tags, doses []*derive.Dose) card {
	c := card{ID: "row-" + decimal(r.Number), Name: r.Plot.Decl.Name.Value + ", " + r.Name()}
	c.Facts = append(c.Facts, b.length(r.Length)+" long")
	if n := len(r.Lines); n > 1 {
		c.Facts = append(c.Facts, decimal(n)+" lines")
	}
	if z := r.Decl.Zone; z != nil {
		c.Facts = append(c.Facts, "zone "+shown(z.Name.Value))
	}
	if w := r.Water; w != nil && w.Zone != nil && w.Cut.Length > 0 {
		tape := "cut the tape " + b.length(w.Cut.Length)
		if w.Tapes > 1 {
			tape = "cut " + decimal(w.Tapes) + " tapes, each " + b.length(w.Cut.Length)
		}
		c.Facts = append(c.Facts, tape+" (fold "+b.length(w.Cut.Fold)+" at the end)")
	}
	if t := r.Decl.Trellis; t != nil {
		words := "trellis: " + shown(t.Style.Value)
		if h := t.Height; h.Given {
			words += ", " + b.Farm.Units.Format(h.Value) + " high"
		}
		c.Facts = append(c.Facts, words)
	}
	for _, p := range r.Plantings {
		c.Stretches = append(c.Stretches, b.stretch(p, tags))
	}
	if t := b.trellisOf(r); t != nil {
		c.Notes = append(c.Notes, b.trellis(t)...)
	}
	c.Notes = append(c.Notes, b.food(doses)...)
	if r.FreeLength > 0.01 && len(r.Plantings) > 0 {
		c.Notes = append(c.Notes, b.length(r.FreeLength)+" of the row stay free.")
	}
	return c
}

// doses gives what is fed to each row of a plot, by day.
func (b *Book) doses(p *derive.Plot) map[*derive.Row][]*derive.Dose {
	rows := map[*derive.Row][]*derive.Dose{}
	if b.Facts.Fed() {
		for _, d := range b.Facts.Feeding().Doses {
			if d.Row.Plot == p {
				rows[d.Row] = append(rows[d.Row], d)
			}
		}
	}
	return rows
}

// food says what a row is fed: "Food, May 4: feather meal, banded, 2 lb 5 oz, 1 1/3 scoops".
func (b *Book) food(doses []*derive.Dose) []string {
	var notes []string
	for _, d := range doses {
		day := "day not known"
		if d.Day.IsSet() {
			day = b.day(d.Day)
		}
		text := "Food, " + day + ": " + shown(d.Product.Name.Value)
		if how := d.Feed.Placement.Value; how != "" {
			text += ", " + shown(how)
		}
		text += ", " + report.DoseText(b.Facts, d)
		if d.Planting != nil && len(d.Row.Plantings) > 1 {
			text += ", for " + shown(d.Planting.Decl.Crop.Title())
		}
		notes = append(notes, text+".")
	}
	return notes
}

func (b *Book) trellisOf(r *derive.Row) *derive.Trellis {
	if r.Decl.Trellis == nil {
		return nil
	}
	t := b.Facts.Support().Of(r)
	if t == nil || t.Unknown != "" {
		return nil
	}
	return t
}

// trellis says what to put up at a row and when.
func (b *Book) trellis(t *derive.Trellis) []string {
	shared := ""
	if len(t.Rows) > 1 {
		shared = ", with the other row that shares it"
	}
	var parts []string
	if t.Posts > 0 {
		posts := decimal(t.Posts) + " posts of " + b.length(t.Post) + shared
		if t.Apart > 0 {
			posts += ", about " + b.length(t.Apart) + " apart"
		}
		if t.Depth > 0 {
			posts += ", " + b.length(t.Depth) + " in the ground"
		}
		parts = append(parts, posts)
	}
	if t.Cages > 0 {
		parts = append(parts, decimal(t.Cages)+" cages")
	}
	if t.Lines > 0 {
		parts = append(parts, decimal(t.Lines)+" strings of "+b.length(t.Line))
	}
	if t.Net > 0 {
		parts = append(parts, b.length(t.Net)+" of net")
	}
	if parts == nil {
		return nil
	}
	line := "Trellis: " + strings.Join(parts, "; ")
	if t.Set.IsSet() {
		line += "; put it up by " + b.day(t.Set)
	}
	notes := []string{line + "."}
	for i, levels := range [][]derive.StringLevel{t.Levels, t.Passes} {
		var at []string
		for _, l := range levels {
			text := b.length(l.Height)
			if l.On.IsSet() {
				text += " (" + b.day(l.On) + ")"
			}
			at = append(at, text)
		}
		if at != nil {
			notes = append(notes, []string{"Strings at ", "Clip at "}[i]+strings.Join(at, ", ")+".")
		}
	}
	return notes
}

func (b *Book) stretch(p *derive.Planting, tags *tags) stretch {
	s := stretch{What: p.Decl.Crop.Title(), Link: b.plantingWhy(p), From: "—", To: "—", Plants: "—", Apart: "—", When: b.days(p.Plant, p.Clear)}
	if p.Placed() {
		s.From, s.To, s.Plants = b.length(p.First), b.length(p.Last), decimal(p.Plants)
		if lines := len(p.Row.Lines); lines > 1 {
			s.Plants += " (" + decimal(p.PerLine) + " a line)"
		}
	}
	if p.Spacing > 0 {
		s.Apart = b.Farm.Units.Short(quantity.Meters(p.Spacing))
	}
	s.Tag = tags.of(s.What)
	return s
}

func (b *Book) length(meters float64) string { return b.Farm.Units.Format(quantity.Meters(meters)) }

// days gives "May 4 – Sep 17", as far as it is known.
func (b *Book) days(from, to season.Date) string {
	switch {
	case !from.IsSet():
		return "day not known"
	case !to.IsSet():
		return "from " + b.day(from)
	}
	return b.day(from) + " – " + b.day(to)
}

func (b *Book) day(d season.Date) string {
	text := d.Month().String()[:3] + " " + decimal(d.Day())
	if d.Year() != b.Farm.Year.Value {
		text += ", " + decimal(d.Year())
	}
	return text
}

// tag is a colour of the tags that are stuck beside the plants of one kind.
type tag struct{ Name, Class string }

// tagNames are colours that tags are sold in; their looks are in the style by their place here.
var tagNames = [...]string{"white", "yellow", "blue", "red", "green", "orange", "pink", "purple"}

// tags gives the kinds of a plot colours in the order in which they are met; when colours run out, they
// begin anew with a notch.
type tags struct{ given map[string]tag }

func newTags() *tags { return &tags{map[string]tag{}} }

func (t *tags) of(kind string) tag {
	if known, ok := t.given[kind]; ok {
		return known
	}
	n := len(t.given)
	next := tag{Name: tagNames[n%len(tagNames)], Class: "t" + decimal(n%len(tagNames))}
	switch notches := n / len(tagNames); notches {
	case 0:
	case 1:
		next.Name += ", a notch"
	default:
		next.Name += ", " + decimal(notches) + " notches"
	}
	t.given[kind] = next
	return next
}
