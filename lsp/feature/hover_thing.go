package feature

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// maxListed bounds how many of many things a hover names one by one.
const maxListed = 6

// thingsText tells about what was declared, the things themselves before those that a helper's call led
// to. fresh is false when the text was edited since.
func (d *Doc) thingsText(things []Thing, fresh bool) string {
	if len(things) == 0 {
		return ""
	}
	text := ""
	if _, isFile := things[0].Of.(*farm.RecordFile); isFile || len(things) == 1 {
		text = d.thingText(things[0]) // a file of records sums its own up
		if text != "" {
			text = joinParts([]string{text, d.pastText(things[0]), d.sinceText(things[0])})
		}
	} else {
		text = joinParts([]string{d.manyText(things), d.manyPast(things)})
	}
	if text != "" && !fresh {
		text += "\n\nWorked out before the last edit."
	}
	return text
}

func (d *Doc) thingText(t Thing) string {
	switch {
	case t.Planting != nil:
		return d.plantingText(t.Planting)
	case t.Row != nil:
		return d.rowText(t.Row)
	case t.Plot != nil:
		return d.plotText(t.Plot)
	}
	switch of := t.Of.(type) {
	case *farm.Farm:
		return d.farmText(of)
	case *farm.Site:
		return d.siteText(of)
	case *farm.Crop:
		return cropText(&of.Crop, d.units())
	case *farm.Zone:
		return d.zoneText(of)
	case *farm.WaterSource:
		return d.sourceText(of)
	case *farm.DripTape:
		return d.tapeText(of)
	case *farm.Pipe:
		return d.pipeText(of)
	case *farm.Tray:
		return d.trayText(of)
	case *farm.Pot:
		return d.potText(of)
	case *farm.Nursery:
		return d.nurseryText(of)
	case *farm.Trellis:
		return d.trellisText(of)
	case *farm.Protectant:
		return d.protectantText(of)
	case *farm.Protect:
		return d.protectText(of)
	case *farm.Product:
		return d.productText(of)
	case *farm.Measure:
		return d.measureText(of)
	case *farm.Feed:
		return d.feedText(of)
	case *farm.SoilTest:
		return d.soilTestText(of)
	case *farm.Task:
		return d.taskText(of)
	case *farm.Want:
		return d.wantText(of)
	case *farm.Price:
		return d.priceText(of)
	case *farm.Crew:
		return d.crewText(of)
	case *farm.Record:
		return d.recordText(of)
	case *farm.RecordFile:
		return d.recordFileText(of)
	}
	return ""
}

// manyText sums up what a call in a loop, or of a helper, declared.
func (d *Doc) manyText(things []Thing) string {
	var lines []string
	plants := 0
	kinds := map[string]int{}
	var order []string
	for _, t := range things {
		kind := t.kind()
		if kinds[kind] == 0 {
			order = append(order, kind)
		}
		kinds[kind]++
		if t.Planting != nil {
			plants += t.Planting.Plants
		}
		if line := d.line(t); line != "" && len(lines) < maxListed {
			lines = append(lines, "- "+line)
		}
	}
	var counts []string
	for _, kind := range order {
		counts = append(counts, counted(kinds[kind], strings.ReplaceAll(kind, "_", " ")))
	}
	head := "**" + strings.Join(counts, ", ") + "**"
	if plants > 0 {
		head += ", " + counted(plants, "plant")
	}
	if more := len(things) - len(lines); more > 0 && len(lines) == maxListed {
		lines = append(lines, fmt.Sprintf("- and %d more", more))
	}
	return head + "\n\n" + strings.Join(lines, "\n")
}

// line is a thing in one line.
func (d *Doc) line(t Thing) string {
	switch {
	case t.Planting != nil:
		p := t.Planting
		return fmt.Sprintf("%s %s, %s", plantsOf(p), p.Decl.Crop.Title(), rowOf(p.Row))
	case t.Row != nil:
		return fmt.Sprintf("%s, %s long, %s free", rowOf(t.Row), d.length(t.Row.Length), d.length(t.Row.FreeLength))
	case t.Plot != nil:
		p := t.Plot
		return fmt.Sprintf("%s, %s, %s", p.Decl.Name.Value, counted(len(p.Rows), "row"), counted(p.Plants, "plant"))
	}
	switch of := t.Of.(type) {
	case *farm.Crop:
		return of.Title()
	case *farm.Zone:
		if z := d.zoneFacts(of); z != nil {
			return d.zoneLine(z)
		}
	}
	return t.declaredName()
}

func plantsOf(p *derive.Planting) string {
	if !p.Placed() {
		return "an unknown number of"
	}
	return strconv.Itoa(p.Plants)
}

func rowOf(r *derive.Row) string { return r.Name() + " of " + r.Plot.Decl.Name.Value }

func (d *Doc) length(v float64) string { return d.units().Format(quantity.Meters(v)) }

func (d *Doc) plantingText(p *derive.Planting) string {
	year := d.year()
	head := fmt.Sprintf("**%s %s** in %s", plantsOf(p), p.Decl.Crop.Title(), rowOf(p.Row))
	if p.Placed() {
		head += fmt.Sprintf(", %s apart, from %s to %s", d.units().Short(quantity.Meters(p.Spacing)), d.length(p.First), d.length(p.Last))
	}
	var days []string
	if p.Sow.IsSet() && p.Sow != p.Plant {
		days = append(days, "sow "+p.Sow.Long(year))
	}
	if p.Plant.IsSet() {
		verb := "set out "
		if p.Decl.Direct {
			verb = "sow "
		}
		days = append(days, verb+p.Plant.Long(year))
	}
	switch {
	case p.FirstHarvest.IsSet() && p.LastHarvest.IsSet():
		days = append(days, "harvest "+p.FirstHarvest.Long(year)+" to "+p.LastHarvest.Long(year))
	case p.FirstHarvest.IsSet():
		days = append(days, "harvest from "+p.FirstHarvest.Long(year))
	}
	if p.Clear.IsSet() {
		days = append(days, "the place is free from "+p.Clear.Long(year))
	}
	return joinParts([]string{head + ".", capital(strings.Join(days, "; ")), whyText(p.Why())})
}

func (d *Doc) rowText(r *derive.Row) string {
	head := fmt.Sprintf("**%s**: %s long, %s free.", capital(rowOf(r)), d.length(r.Length), d.length(r.FreeLength))
	var what []string
	for _, p := range r.Plantings {
		what = append(what, plantsOf(p)+" "+p.Decl.Crop.Title())
	}
	what = shortened(what)
	return joinParts([]string{head, capital(strings.Join(what, "; ")), whyText(r.Why())})
}

func (d *Doc) plotText(p *derive.Plot) string {
	u := d.units()
	head := fmt.Sprintf("**%s**: %s by %s, %s, %s of row, %s free, %s.", p.Decl.Name.Value, u.Format(p.Decl.Length.Value),
		u.Format(p.Decl.Width.Value), counted(len(p.Rows), "row"), d.length(p.RowLength), d.length(p.FreeLength),
		counted(p.Plants, "plant"))
	var narrow *derive.Path
	for i := range p.Paths {
		if narrow == nil || p.Paths[i].Width < narrow.Width {
			narrow = &p.Paths[i]
		}
	}
	path := ""
	if narrow != nil {
		path = fmt.Sprintf("The narrowest path, between %s and %s, is %s wide.", narrow.Left.Name(), narrow.Right.Name(),
			u.Short(quantity.Meters(narrow.Width)))
	}
	why := p.Why()
	if len(why) > len(p.Paths) {
		why = why[:len(why)-len(p.Paths)] // the paths are summed up above
	}
	return joinParts([]string{head, path, whyText(why)})
}

func (d *Doc) farmText(f *farm.Farm) string {
	rows, plants := 0, 0
	if d.Plan != nil && d.Plan.Facts != nil {
		rows = len(d.Plan.Facts.Rows)
		for _, p := range d.Plan.Facts.Plantings {
			plants += p.Plants
		}
	}
	return fmt.Sprintf("**%s**, season %d: %s, %s, %s.", f.Name.Value, f.Year.Value, counted(len(f.Plots), "plot"),
		counted(rows, "row"), counted(plants, "plant"))
}

func (d *Doc) siteText(s *farm.Site) string {
	if !s.LastFrost.Given || !s.FirstFrost.Given {
		return ""
	}
	text := fmt.Sprintf("**Last frost %s, first frost %s**", s.LastFrost.Value.Long(d.year()), s.FirstFrost.Value.Long(d.year()))
	if days := s.FirstFrost.Value.DaysSince(s.LastFrost.Value); days > 0 {
		text += fmt.Sprintf(": %d days between them", days)
	}
	return text + "."
}

// sharedText tells which declarations share a word.
func (d *Doc) sharedText(param, word string) string {
	var lines []string
	if param == "succession" && d.Plan.Facts != nil {
		for _, p := range d.Plan.Facts.Plantings {
			if p.Decl.Succession.Value == word {
				lines = append(lines, fmt.Sprintf("- %s %s, %s, harvest %s to %s", plantsOf(p), p.Decl.Crop.Title(), rowOf(p.Row),
					p.FirstHarvest.Long(d.year()), p.LastHarvest.Long(d.year())))
			}
		}
		return "**Succession " + word + "**: " + counted(len(lines), "planting") + "\n\n" + strings.Join(shortened(lines), "\n")
	}
	for _, z := range d.Plan.Farm.Zones {
		if z.Together.Value == word {
			lines = append(lines, "- "+z.Name.Value)
		}
	}
	return "**Open together**: " + counted(len(lines), "zone") + "\n\n" + strings.Join(shortened(lines), "\n")
}

// whyText lists reckonings, one line each, with the figures they start from and the source.
func whyText(why []derive.Reckoning) string {
	lines := make([]string, 0, len(why))
	for _, r := range why {
		lines = append(lines, "- "+whyLine(r))
	}
	return strings.Join(lines, "\n")
}

func whyLine(r derive.Reckoning) string {
	line := r.Title + ": **" + r.Result + "**"
	switch {
	case strings.ContainsAny(r.Equation, "×/+±") || strings.Contains(r.Equation, " - ") || strings.HasPrefix(r.Equation, "sum "):
		line += " = " + r.Equation
	case r.Equation != "":
		line += ", " + r.Equation
	}
	var inputs []string
	for _, in := range r.Inputs {
		if in.Value == r.Result {
			continue // the result itself, as given
		}
		text := strings.TrimSpace(in.Name + " " + in.Value)
		if in.Source != "" && in.Source != r.Source && !strings.HasPrefix(in.Source, "see ") && !isPlain(in.Source) {
			text += joined(in.Source) + shortSource(in.Source)
		}
		inputs = append(inputs, text)
	}
	if inputs = shortened(inputs); len(inputs) > 0 {
		line += "; " + strings.Join(inputs, ", ")
	}
	if r.Source != "" && !strings.Contains(r.Equation, "the plan") {
		line += " *(" + r.Source + ")*"
	}
	return line
}

// joined is what a source is tied to its figure with: an author stands after a by, a place or a reason does
// not.
func joined(source string) string {
	switch word, _, _ := strings.Cut(source, " "); word {
	case "in", "from", "at":
		return " "
	case "more", "so", "measured":
		return ", "
	}
	return ", by "
}

// isPlain tells whether a source says only where in the plan a figure stands, or that it stands nowhere.
func isPlain(source string) bool {
	return source == "this plan" || source == "recorded" || source == "when the plan gives none" || strings.HasPrefix(source, "the plan gives no ") ||
		strings.HasPrefix(source, "from the first plant") || strings.HasPrefix(source, "the headland")
}

// shortened keeps the first of a long list and says how many more there are.
func shortened(list []string) []string {
	if len(list) <= maxListed+1 {
		return list
	}
	return append(slices.Clone(list[:maxListed]), fmt.Sprintf("and %d more", len(list)-maxListed))
}

func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
