package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"haulm/lang/derive"
	"haulm/lang/report"
)

// topic is something that `haulm show` shows, with the forms it comes in, the usual one first.
type topic struct {
	name, says string
	forms      []string
	write      func(w io.Writer, facts *derive.Facts, form string, width int) error
	lacks      func(facts *derive.Facts) string // what a plan must have and does not, "" when it has it
}

// view is a table of a topic that lists it in its own way, asked for with --by.
type view struct {
	name string // "week"
	fill func(*derive.Facts) report.Table
}

// views are the tables of a topic besides its usual one.
func (t *topic) views() []view {
	switch t.name {
	case "nursery":
		return []view{{"seed", report.Seed}, {"week", report.NurseryWeeks}, {"vessel", report.Vessels}}
	case "support":
		return []view{{"string", report.Strings}, {"cut", report.Cuts}}
	case "labor":
		return []view{{"job", report.Jobs}, {"plot", report.LaborPlots}}
	case "feeding":
		return []view{{"row", report.FeedingRows}, {"date", report.FeedingDays}, {"plot", report.FeedingPlots}}
	case "record":
		return []view{{"job", report.RecordWork}, {"rate", report.OwnRates}}
	case "harvest":
		return []view{{"week", report.HarvestWeeks}, {"want", report.Wants}}
	}
	return nil
}

func topics() []topic {
	return []topic{
		{"plots", "size, rows, paths and free feet of every plot", tableForms, table(report.Plots), noPlots},
		{"plantings", "place, count and dates of every planting", tableForms, table(report.Plantings), noPlots},
		{"map", "the plots with their rows and plants, drawn to scale; as geojson, those that have a place on the earth",
			[]string{"svg", "geojson"}, mapForms, noPlots},
		{"water", "flow, pressure, evenness, season and neediest week of every zone; as svg, hours by week and pressure along the rows",
			append(slices.Clone(tableForms), "svg"), drawn(report.Water, report.WaterCharts), noZones},
		{"watering", "how long each valve is open, week by week", tableForms, table(report.Watering), noZones},
		{"tape", "where to cut the tape of every row, and what flows through it", tableForms, table(report.Tape), noZones},
		{"harvest", "how much every crop gives to sell, when, and what it brings; by week; against what is wanted; as svg, in bars",
			append(slices.Clone(tableForms), "svg"), drawn(report.Harvest, report.HarvestCharts), noPlantings},
		{"nursery", "what is sown in trays and when it is moved; seed to order; bench and mats by week; trays and pots to have", tableForms,
			table(report.Nursery), noStarts},
		{"support", "posts, strings, rails, cages and nets of every trellis; strings by day; the cut list", tableForms,
			table(report.Support), noTrellises},
		{"protection", "what is sprayed when, what is mixed for it, and from when rows may be entered and picked again", tableForms,
			table(report.Protection), noProtection},
		{"calendar", "all dated events of the season, in order", append(slices.Clone(tableForms), "ics"), calendarForms, noPlantings},
		{"labor", "hours of work week by week against the crew; by job; by plot; as svg, in bars", append(slices.Clone(tableForms), "svg"),
			drawn(report.Labor, report.LaborCharts), noPlantings},
		{"feeding", "what every planting needs and is fed; what goes where by day, in your own measures; soil tests by plot", tableForms,
			table(report.Feeding), noFeeding},
		{"record", "what happened against what was planned, by planting; hours by job; the farm's own rates; as star, these as lines for the next plan",
			append(slices.Clone(tableForms), "star"), recordForms, nothingRecorded},
		{"shopping", "what to buy: needed, in stock, packs, cost, by when and what for", tableForms, table(report.Shopping), nothingUsed},
	}
}

func noPlots(facts *derive.Facts) string {
	if len(facts.Plots) == 0 {
		return "plot"
	}
	return ""
}

func noPlantings(facts *derive.Facts) string {
	if len(facts.Plantings) == 0 {
		return "planting"
	}
	return ""
}

func noZones(facts *derive.Facts) string {
	if facts.Water == nil || len(facts.Water.Zones) == 0 {
		return "zone"
	}
	return ""
}

// noStarts lets a plan without trays show its seed.
func noStarts(facts *derive.Facts) string {
	if n := facts.Nursery(); len(n.Starts) == 0 && len(n.Seeds) == 0 {
		return "seed"
	}
	return ""
}

func noTrellises(facts *derive.Facts) string {
	if len(facts.Support().Trellises) == 0 {
		return "trellis"
	}
	return ""
}

func noProtection(facts *derive.Facts) string {
	if len(facts.Protection().Applications) == 0 {
		return "spraying"
	}
	return ""
}

func noFeeding(facts *derive.Facts) string {
	if !facts.Fed() {
		return "feeding or soil test"
	}
	return ""
}

func nothingRecorded(facts *derive.Facts) string {
	if facts.Record == nil {
		return "record"
	}
	return ""
}

func nothingUsed(facts *derive.Facts) string {
	if len(facts.Shopping().Wares) == 0 {
		return "thing to buy"
	}
	return ""
}

var tableForms = []string{"table", "csv", "json"}

// table makes a topic's writer from the report that fills its table.
func table(fill func(*derive.Facts) report.Table) func(io.Writer, *derive.Facts, string, int) error {
	return func(w io.Writer, facts *derive.Facts, form string, width int) error {
		t := fill(facts)
		switch form {
		case "csv":
			return t.WriteCSV(w)
		case "json":
			return t.WriteJSON(w)
		}
		return t.WriteText(w, width)
	}
}

func mapForms(w io.Writer, facts *derive.Facts, form string, _ int) error {
	if form == "geojson" {
		return report.WriteGeoJSON(facts, w)
	}
	return report.MapSVG(facts, w)
}

// drawn makes the writer of a topic that has a table and a drawing.
func drawn(fill func(*derive.Facts) report.Table, draw func(*derive.Facts) *report.Charts) func(io.Writer, *derive.Facts, string, int) error {
	return func(w io.Writer, facts *derive.Facts, form string, width int) error {
		if form == "svg" {
			return draw(facts).WriteSVG(w)
		}
		return table(fill)(w, facts, form, width)
	}
}

func calendarForms(w io.Writer, facts *derive.Facts, form string, width int) error {
	if form == "ics" {
		return report.CalendarICS(facts, w)
	}
	return table(report.Calendar)(w, facts, form, width)
}

func recordForms(w io.Writer, facts *derive.Facts, form string, width int) error {
	if form == "star" {
		_, err := io.WriteString(w, report.OwnRatesPlan(facts))
		return err
	}
	return table(report.Record)(w, facts, form, width)
}

// showFlags are the flags of `haulm show`.
type showFlags struct {
	*options
	as, why, out, by string
}

func newShow(o *options) *cobra.Command {
	f := &showFlags{options: o}
	var names, list, ways []string
	for _, t := range topics() {
		names = append(names, t.name)
		list = append(list, t.name+" ("+t.says+")")
		if len(t.views()) > 0 {
			ways = append(ways, t.name+" by "+strings.Join(t.ways(), " or "))
		}
	}
	cmd := &cobra.Command{
		Use:   "show TOPIC [PATH]",
		Short: "Show what follows from a plan",
		Long: "Shows one thing that was worked out from a plan: " + strings.Join(list, "; ") + ". PATH is as for " +
			"`haulm check`. A plan with errors is shown as far as it is known. With --why, shows how the figures of " +
			"one item came about: the equation, its numbers, and the line of the plan or the source that gave each; " +
			"the item is a plot (\"Lower bench\"), a row (\"Lower bench/2\"), a planting (\"Lower bench/2/okra\") or the " +
			"number of one in the table of plantings, a crop that is planted once, a zone, a job (\"weeding\", \"weeding/okra\"), or a thing to buy by its name.",
		Example: "  haulm show plantings\n  haulm show plots --as csv -o plots.csv\n" +
			"  haulm show map --as svg -o map.svg\n  haulm show plantings --why \"Lower bench/2\"",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("say what to show: " + strings.Join(names, ", "))
			}
			if len(args) > 2 {
				return errors.New("show takes one topic and one plan")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return names, cobra.ShellCompDirectiveNoFileComp
			}
			return nil, cobra.ShellCompDirectiveDefault
		},
	}
	cmd.Flags().StringVar(&f.as, "as", "", "form: table, csv or json; svg or geojson for the map, ics for the calendar, star for the record (default: as the name after -o ends, else table)")
	cmd.Flags().StringVar(&f.by, "by", "", "list it another way: "+strings.Join(ways, "; "))
	cmd.Flags().StringVar(&f.why, "why", "", "show how the figures of this `ITEM` came about")
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "write to this `FILE`, whole or not at all")
	complete(cmd, "as", "table", "csv", "json", "svg", "geojson", "ics", "star")
	f.addToday(cmd)
	return cmd
}

func (f *showFlags) run(cmd *cobra.Command, args []string) error {
	t, err := topicNamed(args[0])
	if err != nil {
		return err
	}
	if t, err = t.listedBy(f.by); err != nil {
		return err
	}
	if f.as == "" && f.out == "" && t.forms[0] == "svg" && isTerminal(cmd.OutOrStdout()) {
		return fmt.Errorf("the %s is a drawing: write it to a file with -o %s.svg", t.name, t.name)
	}
	f.as = f.formOf(t)
	if !slices.Contains(t.forms, f.as) {
		return fmt.Errorf("%s can be shown as %s, not as %q", t.name, strings.Join(t.forms, ", "), f.as)
	}
	arg := "."
	if len(args) == 2 {
		arg = args[1]
	}
	p, err := locate(arg, f.options, cmd.InOrStdin())
	if err != nil {
		return err
	}
	defer p.Close()
	s, err := workedOut(cmd, p, arg)
	if err != nil {
		return err
	}
	if what := t.lacks(s.Facts); what != "" {
		fmt.Fprintf(cmd.ErrOrStderr(), "%s: there is no %s to show\n", p.name(), what)
		return foundError{}
	}
	return f.write(cmd.OutOrStdout(), t, s.Facts)
}

func (f *showFlags) write(stdout io.Writer, t topic, facts *derive.Facts) error {
	var page bytes.Buffer
	if f.why != "" {
		text, err := report.Why(facts, f.why)
		if err != nil {
			return err
		}
		page.WriteString(text)
	} else if err := t.write(&page, facts, f.as, f.tableWidth(stdout)); err != nil {
		return err
	}
	return writeResult(stdout, f.out, page.Bytes())
}

// tableWidth is the width of the page on a terminal; a file or a pipe has room for every column.
func (f *showFlags) tableWidth(stdout io.Writer) int {
	if f.out == "" && (isTerminal(stdout) || os.Getenv("COLUMNS") != "") {
		return pageWidth(stdout)
	}
	return 0
}

// formOf is the form that --as names, else the one that the name of the file to write ends in, else the
// topic's usual one.
func (f *showFlags) formOf(t topic) string {
	if f.as != "" {
		return f.as
	}
	if end := strings.TrimPrefix(path.Ext(f.out), "."); slices.Contains(t.forms, end) {
		return end
	}
	return t.forms[0]
}

// ways are the names of the other tables of a topic.
func (t *topic) ways() []string {
	var names []string
	for _, v := range t.views() {
		names = append(names, v.name)
	}
	return names
}

// listedBy gives the topic with another of its tables in the place of the usual one.
func (t topic) listedBy(name string) (topic, error) {
	if name == "" {
		return t, nil
	}
	for _, v := range t.views() {
		if v.name == name {
			t.forms, t.write = tableForms, table(v.fill)
			return t, nil
		}
	}
	if len(t.views()) == 0 {
		return t, fmt.Errorf("%s has only one table, without --by", t.name)
	}
	return t, unknown("way of listing "+t.name, name, t.ways(), "it can be listed by "+strings.Join(t.ways(), ", "))
}

func topicNamed(name string) (topic, error) {
	var names []string
	for _, t := range topics() {
		if t.name == name {
			return t, nil
		}
		names = append(names, t.name)
	}
	return topic{}, unknown("topic", name, names, "topics are "+strings.Join(names, ", "))
}
