package feature

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
)

// taskText tells what a task comes to, and how the first of its jobs is reckoned.
func (d *Doc) taskText(decl *farm.Task) string {
	head := "**" + capital(decl.Name.Value) + "**"
	if d.facts() == nil {
		return head + "."
	}
	l := d.facts().Labor()
	if i := slices.IndexFunc(l.Unplaced, func(u derive.Unplaced) bool { return u.Decl == decl }); i >= 0 {
		return head + " has no week: " + l.Unplaced[i].Why + "."
	}
	jobs := l.Of(decl)
	if len(jobs) == 0 {
		return head + ": nothing in the plan asks for it."
	}
	var lines []string
	if len(jobs) > 1 {
		for _, j := range jobs {
			lines = append(lines, fmt.Sprintf("- %s: %s", d.weekOf(j), hoursOf(j.Hours)))
		}
	}
	return joinParts([]string{
		fmt.Sprintf("%s: %s, %s.", head, hoursOf(sumHours(jobs)), counted(len(jobs), "time")), strings.Join(shortened(lines), "\n"),
		whyText(jobs[0].Why(l, d.units(), d.year())),
	})
}

// weekOf says in which weeks a job may be done, and on what.
func (d *Doc) weekOf(j *derive.Job) string {
	text := "week of " + d.day(j.From)
	if j.What != "" {
		text = j.What + ", " + text
	}
	return text
}

func hoursOf(h float64) string { return strconv.FormatFloat(h, 'f', 1, 64) + " h" }

func sumHours(jobs []*derive.Job) float64 {
	sum := 0.0
	for _, j := range jobs {
		sum += j.Hours
	}
	return sum
}

// crewText tells a crew's fullest week, and what does not fit.
func (d *Doc) crewText(decl *farm.Crew) string {
	head := fmt.Sprintf("**Crew**: %s a week", hoursOf(decl.HoursPerWeek.Value))
	if d.facts() == nil || d.facts().Farm.Crew != decl {
		return head + "."
	}
	l := d.facts().Labor()
	if l.Peak < 0 {
		return head + "."
	}
	w := l.Weeks[l.Peak]
	text := fmt.Sprintf("%s. The fullest week, of %s, has %s of work; the season %s.", head, d.day(w.Monday), hoursOf(w.Hours), hoursOf(l.Hours))
	if over, weeks := overHours(l); weeks > 0 {
		text += fmt.Sprintf(" %s in %s do not fit.", hoursOf(over), counted(weeks, "week"))
	}
	return text
}

func overHours(l *derive.Labor) (hours float64, weeks int) {
	for _, w := range l.Weeks {
		if w.Over >= 0.05 {
			hours += w.Over
			weeks++
		}
	}
	return hours, weeks
}

// wantText tells how a crop's harvest meets what is wanted of it, week by week.
func (d *Doc) wantText(decl *farm.Want) string {
	head := "**" + capital(decl.Crop.Title()) + "**, wanted"
	w := d.wantFacts(decl)
	if w == nil {
		return head + "."
	}
	if w.Unknown != "" {
		return head + ". Not set against the harvest: " + w.Unknown + "."
	}
	var lines []string
	for _, week := range w.Weeks {
		lines = append(lines, fmt.Sprintf("- week of %s: %s of %s %s", d.day(week.Monday), rough(week.Given), rough(week.Wanted), w.Unit.Name))
	}
	return joinParts([]string{head + ": " + wantLine(w) + ".", strings.Join(shortened(lines), "\n")})
}

func rough(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

func (d *Doc) wantFacts(decl *farm.Want) *derive.WantHarvest {
	if d.facts() == nil {
		return nil
	}
	wants := d.facts().Harvest().Wants
	if i := slices.IndexFunc(wants, func(w *derive.WantHarvest) bool { return w.Decl == decl }); i >= 0 {
		return wants[i]
	}
	return nil
}

// wantLine says in how many weeks a want is met: "short in 3 of 12 weeks", "met in all 12 weeks".
func wantLine(w *derive.WantHarvest) string {
	short := 0
	for _, week := range w.Weeks {
		if week.Short() {
			short++
		}
	}
	if short == 0 {
		return "met in " + counted(len(w.Weeks), "week")
	}
	return fmt.Sprintf("short in %d of %s", short, counted(len(w.Weeks), "week"))
}

// priceText tells what a price brings.
func (d *Doc) priceText(decl *farm.Price) string {
	head := fmt.Sprintf("**%s**, %s", capital(decl.Crop.Title()), strconv.FormatFloat(decl.Amount.Value, 'f', 2, 64))
	if decl.Per.Given {
		head += " by the " + decl.Per.Value
	}
	if value := d.valueOf(decl); value > 0 {
		head += ": the harvest brings " + strconv.FormatFloat(value, 'f', 2, 64)
	}
	return head + "."
}

// valueOf is what all that has this price brings.
func (d *Doc) valueOf(decl *farm.Price) float64 {
	if d.facts() == nil {
		return 0
	}
	value := 0.0
	for _, c := range d.facts().Harvest().Crops {
		if c.PriceDecl == decl {
			value += c.Value
		}
	}
	return value
}

// work says what tasks, wants, prices and the crew come to.
func (h *hinter) work(things []Thing) Hint {
	hint := Hint{Kind: HintCounts}
	facts := h.doc.facts()
	if facts == nil || len(things) != 1 {
		return hint
	}
	switch of := things[0].Of.(type) {
	case *farm.Task:
		if jobs := facts.Labor().Of(of); len(jobs) > 0 {
			hint.Label, hint.Tip = hoursOf(sumHours(jobs))+" in all", h.doc.taskText(of)
		}
	case *farm.Want:
		if w := h.doc.wantFacts(of); w != nil && w.Unknown == "" {
			hint.Label, hint.Tip = wantLine(w), h.doc.wantText(of)
		}
	case *farm.Price:
		if value := h.doc.valueOf(of); value > 0 {
			hint.Label, hint.Tip = "brings "+strconv.FormatFloat(value, 'f', 2, 64), h.doc.priceText(of)
		}
	case *farm.Crew:
		if l := facts.Labor(); facts.Farm.Crew == of && l.Peak >= 0 {
			w := l.Weeks[l.Peak]
			hint.Label = shortest(fmt.Sprintf("fullest week %s, of %s", hoursOf(w.Hours), h.doc.day(w.Monday)), "fullest week "+hoursOf(w.Hours))
			hint.Tip = h.doc.crewText(of)
		}
	}
	return hint
}
