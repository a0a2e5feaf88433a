package book

import (
	"io"

	"haulm/lang/derive"
	"haulm/lang/report"
)

// sheet is a page of one subject: its tables and its drawing, if it has one.
type sheet struct {
	name, title string
	has         bool // whether the plan says anything on the subject
	tables      []captioned
	draw        func(*derive.Facts, io.Writer) error
}

// captioned is a table with the words above it, and the name and schema of its files for other programs.
type captioned struct {
	caption string
	fill    func(*derive.Facts) report.Table
	name    string
	schema  string
}

// sheets lists the subjects in the order of the book.
func (b *Book) sheets() []sheet {
	water := b.Facts.Water != nil && len(b.Facts.Water.Zones) > 0
	return []sheet{
		{"plantings.html", "Plantings", len(b.Facts.Plantings) > 0, []captioned{{"Every planting, by plot, row and place", report.Plantings, "plantings", report.PlantingsSchema}}, nil},
		{"watering.html", "Watering", water, []captioned{
			{"How long each valve is open, week by week", report.Watering, "watering", report.WateringSchema},
			{"What each zone gives and takes", report.Water, "water", report.WaterSchema},
		}, report.WaterSVG},
		{"tape.html", "Tape", water, []captioned{{"Where to cut the tape of every row", report.Tape, "tape", report.TapeSchema}}, nil},
		{"shopping.html", "Shopping", water, []captioned{{"What to buy", report.Shopping, "shopping", report.ShoppingSchema}}, nil},
	}
}

func (b *Book) addSheets() {
	for _, s := range b.sheets() {
		if s.has {
			b.add(Page{Name: s.name, Title: s.title, wide: s.name != "shopping.html", write: func(w *paper) { b.sheet(w, s) }})
		}
	}
}

func (b *Book) sheet(w *paper, s sheet) {
	for _, t := range s.tables {
		w.table(t.fill(b.Facts), t.caption)
	}
	if s.draw != nil {
		w.picture("Chart: "+s.title, func(out io.Writer) error { return s.draw(b.Facts, out) })
	}
}
