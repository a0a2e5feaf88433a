package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/format"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
)

// OwnRatesPlan writes the own rates as plan text to paste into next year's plan: a variety for each crop, and a task
// for each job whose pace is known. It can be evaluated as it stands beside a farm.
func OwnRatesPlan(facts *derive.Facts) string {
	text := ownRatesText(facts)
	laid, err := format.Format(source.New("own.star", text))
	if err != nil {
		return text
	}
	return laid
}

func ownRatesText(facts *derive.Facts) string {
	t := newTable("own_rates", facts)
	var b strings.Builder
	fmt.Fprintf(&b, "# Own rates by the record of %s, %d. Lines to paste into the next plan.\n", InComment(t.farm), t.year)
	if facts == nil || facts.Record == nil {
		return b.String()
	}
	if !facts.Farm.Today.Given {
		b.WriteString("# They take the record for that of the whole year: with --today, only of what is over by then.\n")
	}
	names := newCropNames(facts)
	b.WriteString(names.load())
	for _, o := range facts.Record.Rates() {
		var args, said []string
		if o.Days > 0 {
			args = append(args, fmt.Sprintf("days_to_maturity = %d", o.Days))
			said = append(said, orUnplanned(o.PlannedDays, "days"))
		}
		if o.Window > 0 {
			args = append(args, fmt.Sprintf("harvest_window = %d", o.Window))
			said = append(said, orUnplanned(o.PlannedWindow, "days of harvest"))
		}
		if o.Yield > 0 {
			args = append(args, "yield_per_length = "+t.expr(o.Yield, quantity.LineMass))
			said = append(said, t.harvestOf(o))
		}
		if len(args) == 0 {
			continue
		}
		fmt.Fprintf(&b, "# %s, %s: %s.\n", InComment(o.Crop.Title()), counted(o.Plantings, "planting"), strings.Join(said, "; "))
		if ident := o.Crop.Ident; ident != "" {
			variety := o.Crop.Variety
			if variety == "" {
				variety = "own"
			}
			fmt.Fprintf(&b, "%s = %s.variety(%s, %s)\n", names.variable(o.Crop), ident, quoted(variety), strings.Join(args, ", "))
		} else {
			fmt.Fprintf(&b, "# The crop is the plan's own; write there: %s\n", strings.Join(args, ", "))
		}
	}
	for _, w := range facts.Record.Work() {
		args := t.taskArgs(w)
		if args == "" {
			continue
		}
		where := ""
		if w.Crop != nil {
			where = names.of(w.Crop)
			if where == "" {
				continue
			}
			where = "where = " + where + ", "
		}
		fmt.Fprintf(&b, "# %s, planned %s.\n", decimal(w.Hours, 1)+" h in "+counted(w.Times, "record"), orDash(t.pace(w.Plan, w.Per)))
		if w.Per == "" {
			fmt.Fprintf(&b, "# %s of %s is work of its own: %s\n", InComment(w.Name), InComment(t.farm), args)
			continue
		}
		fmt.Fprintf(&b, "task(%s, %s%s)\n", quoted(w.Name), where, args)
	}
	return b.String()
}

func orUnplanned(planned int, what string) string {
	if planned == 0 {
		return what + " not planned"
	}
	return fmt.Sprintf("%d %s planned", planned, what)
}

// cropNames are the names by which plan text speaks of crops: those of the table as they are loaded, and a name for
// each variety.
type cropNames struct {
	loads     []string
	varieties map[string]string // by title
}

func newCropNames(facts *derive.Facts) *cropNames {
	n := &cropNames{varieties: map[string]string{}}
	taken := map[string]bool{}
	load := func(c *farm.Crop) {
		if c.Ident != "" && !taken[c.Ident] {
			taken[c.Ident] = true
			n.loads = append(n.loads, c.Ident)
		}
	}
	for _, o := range facts.Record.Rates() {
		if o.Days > 0 || o.Window > 0 || o.Yield > 0 {
			load(o.Crop)
		}
	}
	for _, w := range facts.Record.Work() {
		if w.Crop != nil {
			load(w.Crop)
		}
	}
	slices.Sort(n.loads)
	for _, o := range facts.Record.Rates() {
		if o.Crop.Ident == "" || o.Days == 0 && o.Window == 0 && o.Yield == 0 {
			continue
		}
		name := "own_" + o.Crop.Ident
		if v := Ident(o.Crop.Variety); v != "" {
			name = "own_" + v
		}
		for taken[name] {
			name += "_" + o.Crop.Ident
		}
		taken[name] = true
		n.varieties[o.Crop.Title()] = name
	}
	return n
}

// load is the statement that loads them.
func (n *cropNames) load() string {
	if len(n.loads) == 0 {
		return "\n"
	}
	words := []string{quoted("crops")}
	for _, name := range n.loads {
		words = append(words, quoted(name))
	}
	return "load(" + strings.Join(words, ", ") + ")\n\n"
}

func (n *cropNames) variable(c *farm.Crop) string { return n.varieties[c.Title()] }

// of gives the name of a crop or of its variety, "" for one that the text does not have.
func (n *cropNames) of(c *farm.Crop) string {
	if name := n.variable(c); name != "" {
		return name
	}
	if c.Variety != "" {
		return ""
	}
	return c.Ident
}

// plainLetters are those of the Latin alphabet without their marks.
var plainLetters = strings.NewReplacer("ä", "a", "á", "a", "à", "a", "â", "a", "å", "a", "ã", "a", "é", "e", "è", "e", "ê", "e", "ë", "e",
	"í", "i", "ì", "i", "î", "i", "ï", "i", "ö", "o", "ó", "o", "ò", "o", "ô", "o", "õ", "o", "ø", "o", "ü", "u", "ú", "u", "ù", "u", "û", "u",
	"ñ", "n", "ç", "c", "ß", "ss")

// Ident makes a name of plan text out of people's words, "" where nothing is left.
func Ident(words string) string {
	var b strings.Builder
	gap := false
	for _, r := range plainLetters.Replace(strings.ToLower(words)) {
		if 'a' <= r && r <= 'z' || '0' <= r && r <= '9' && b.Len() > 0 {
			if gap && b.Len() > 0 {
				b.WriteByte('_')
			}
			b.WriteRune(r)
			gap = false
		} else if r != '\'' {
			gap = true
		}
	}
	return b.String()
}

// quoted writes a text as plan text.
func quoted(text string) string { return strconv.Quote(printable(text)) }

// InComment is a text for a comment of plan text.
func InComment(text string) string { return strings.Join(strings.Fields(printable(text)), " ") }
