package book

import (
	"io"
	"slices"

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
	f := b.Facts
	water := f.Water != nil && len(f.Water.Zones) > 0
	planted := len(f.Plantings) > 0
	nursery := f.Nursery()
	return []sheet{
		{"plantings.html", "Plantings", planted, false, []captioned{
			{"Every planting, by plot, row and place", report.Plantings, "plantings", report.PlantingsSchema},
		}},
		{"nursery.html", "Nursery", len(nursery.Starts) > 0 || len(nursery.Seeds) > 0, false, []captioned{
			{"What is raised for the rows", report.Nursery, "nursery", report.NurserySchema},
			{"Seed to have", report.Seed, "seed", report.SeedSchema},
			{"The bench, week by week", report.NurseryWeeks, "nursery_weeks", report.NurseryWeeksSchema},
			{"Trays and pots to have and to wash", report.Vessels, "vessels", report.VesselsSchema},
		}},
		{"feeding.html", "Feeding", f.Fed(), false, []captioned{
			{"What goes where, by day", report.FeedingDays, "feeding_days", report.FeedingDaysSchema},
			{"What every planting needs and is fed", report.Feeding, "feeding", report.FeedingSchema},
			{"Soil tests", report.FeedingPlots, "feeding_plots", report.FeedingPlotsSchema},
		}},
		{"watering.html", "Watering", water, false, []captioned{
			{"How long each valve is open, week by week", report.Watering, "watering", report.WateringSchema},
			{"What each zone gives and takes", report.Water, "water", report.WaterSchema},
		}},
		{"tape.html", "Tape", water, false, []captioned{
			{"Where to cut the tape of every row", report.Tape, "tape", report.TapeSchema},
		}},
		{"support.html", "Support", len(f.Support().Trellises) > 0, false, []captioned{
			{"What holds plants up", report.Support, "support", report.SupportSchema},
			{"Strings and clips, by the day they go on", report.Strings, "strings", report.StringsSchema},
			{"How to cut rails from the stock", report.Cuts, "cuts", report.CutsSchema},
		}},
		{"protection.html", "Protection", len(f.Protection().Applications) > 0, false, []captioned{
			{"What is sprayed, where and when", report.Protection, "protection", report.ProtectionSchema},
		}},
		{"work.html", "Work", planted, false, []captioned{
			{"Hours of work, week by week", report.Labor, "labor", report.LaborSchema},
			{"Every job", report.Jobs, "jobs", report.JobsSchema},
			{"Hours of each plot", report.LaborPlots, "labor_plots", report.LaborPlotsSchema},
		}},
		{"harvest.html", "Harvest", planted, true, []captioned{
			{"What there is to sell of each crop", report.Harvest, "harvest", report.HarvestSchema},
			{"What each week gives", report.HarvestWeeks, "harvest_weeks", report.HarvestWeeksSchema},
			{"What is wanted and what there is", report.Wants, "wants", report.WantsSchema},
		}},
		{"record.html", "Record", f.Record != nil, false, []captioned{
			{"What happened against what was planned", report.Record, "record", report.RecordSchema},
			{"Hours written down, by job", report.RecordWork, "record_work", report.RecordWorkSchema},
			{"The farm's own rates", report.OwnRates, "own_rates", report.OwnRatesSchema},
		}},
		{"shopping.html", "Shopping", len(f.Shopping().Wares) > 0, true, []captioned{
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
			var cautions []string
			for _, t := range s.tables {
				table := t.fill(b.Facts)
				if len(table.Rows) == 0 {
					continue
				}
				w.table(table, t.caption)
				if c := table.Caution(); c != "" && !slices.Contains(cautions, c) {
					cautions = append(cautions, c)
				}
			}
			for _, c := range cautions {
				w.part("mind", c)
			}
		}})
	}
}

// chart is a page of drawings with its name.
type chart struct {
	name string
	has  bool
	of   func(*derive.Facts) *report.Charts
}

func (b *Book) charts() []chart {
	planted := len(b.Facts.Plantings) > 0
	return []chart{
		{"Rows in use", planted, report.RowsCharts},
		{"Hours of work", planted, report.LaborCharts},
		{"Harvest", planted, report.HarvestCharts},
		{"Water", b.Facts.Water != nil && len(b.Facts.Water.Sources) > 0, report.WaterCharts},
	}
}

func (b *Book) addCharts() {
	b.add(Page{Name: "charts.html", Title: "Charts", write: func(w *paper) {
		for _, c := range b.charts() {
			if !c.has {
				continue
			}
			drawn := c.of(b.Facts)
			for i := range drawn.Sheets() {
				name := "Chart: " + c.name
				if i > 0 {
					name += ", part " + decimal(i+1)
				}
				w.picture(name, func(out io.Writer) error { return drawn.WriteSheet(i, out) })
			}
		}
	}})
}
