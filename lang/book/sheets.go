package book

import (
	"io"

	"haulm/lang/derive"
	"haulm/lang/report"
)

// sheet is a page of one subject.
type sheet struct {
	name, title string
	has         bool // whether the plan says anything on the subject
	narrow      bool // fits on paper that stands upright
	tables      []captioned
}

// captioned is a table with the words above it, and the name and schema of its files for other programs.
type captioned struct {
	caption string
	fill    func(*derive.Facts) report.Table
	name    string
	schema  string
}

// listSheets gives the subjects in the order of the book.
func (b *Book) listSheets() []sheet {
	water := b.Facts.Water != nil && len(b.Facts.Water.Zones) > 0
	planted := len(b.Facts.Plantings) > 0
	return []sheet{
		{"plantings.html", "Plantings", planted, false, []captioned{
			{"Every planting, by plot, row and place", report.Plantings, "plantings", report.PlantingsSchema},
		}},
		{"watering.html", "Watering", water, false, []captioned{
			{"How long each valve is open, week by week", report.Watering, "watering", report.WateringSchema},
			{"What each zone gives and takes", report.Water, "water", report.WaterSchema},
		}},
		{"tape.html", "Tape", water, false, []captioned{
			{"Where to cut the tape of every row", report.Tape, "tape", report.TapeSchema},
		}},
		{"harvest.html", "Harvest", planted, true, []captioned{
			{"What there is to sell of each crop", report.Harvest, "harvest", report.HarvestSchema},
			{"What each week gives", report.HarvestWeeks, "harvest_weeks", report.HarvestWeeksSchema},
		}},
		{"shopping.html", "Shopping", len(b.Facts.Uses()) > 0, true, []captioned{
			{"What to buy", report.Shopping, "shopping", report.ShoppingSchema},
		}},
	}
}

func (b *Book) addSheets() {
	for _, s := range b.sheets {
		if !s.has {
			continue
		}
		class := "wide"
		if s.narrow {
			class = ""
		}
		b.add(Page{Name: s.name, Title: s.title, class: class, write: func(w *paper) {
			for _, t := range s.tables {
				w.table(t.fill(b.Facts), t.caption)
			}
		}})
	}
}

// chart is a drawing with its name.
type chart struct {
	name string
	has  bool
	draw func(*derive.Facts, io.Writer) error
}

func (b *Book) charts() []chart {
	return []chart{
		{"Rows in use", len(b.Facts.Plantings) > 0, report.RowsSVG},
		{"Water", b.Facts.Water != nil && len(b.Facts.Water.Sources) > 0, report.WaterSVG},
	}
}

func (b *Book) addCharts() {
	b.add(Page{Name: "charts.html", Title: "Charts", write: func(w *paper) {
		for _, c := range b.charts() {
			if c.has {
				w.picture("Chart: "+c.name, func(out io.Writer) error { return c.draw(b.Facts, out) })
			}
		}
	}})
}
