package report

import (
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/source"
)

// Why gives the reckonings behind a plot, a row or a planting as text: of each its result, the
// equation, the inputs with where they came from, and the source. The item is named as derive.Find
// has it; the error says what there is near by.
func Why(facts *derive.Facts, item string) (string, error) {
	found, err := derive.Find(facts, item)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	b.WriteString(printable(found.Title()) + "\n")
	for _, r := range found.Why() {
		b.WriteByte('\n')
		writeReckoning(&b, &r)
	}
	if found.Row != nil {
		writePlanted(&b, found.Row)
	}
	return b.String(), nil
}

// writePlanted names the plantings of a row, each of which has reckonings of its own.
func writePlanted(b *strings.Builder, r *derive.Row) {
	for i, p := range r.Plantings {
		b.WriteString([]string{"\nPlanted there; ask for one by its number: ", ", "}[min(i, 1)])
		b.WriteString(strconv.Itoa(p.Number) + " " + printable(p.Decl.Crop.Title()))
	}
	if len(r.Plantings) > 0 {
		b.WriteByte('\n')
	}
}

func writeReckoning(b *strings.Builder, r *derive.Reckoning) {
	b.WriteString(printable(r.Title) + ": " + printable(orDash(r.Result)) + "\n")
	if r.Equation != "" {
		b.WriteString("  = " + printable(r.Equation) + "\n")
	}
	name, value, from := 0, 0, 0
	for _, in := range r.Inputs {
		name = max(name, source.TextColumns(printable(in.Name)))
		value = max(value, source.TextColumns(printable(orDash(in.Value))))
		from = max(from, source.TextColumns(printable(in.Source)))
	}
	for _, in := range r.Inputs {
		line := "    " + pad(in.Name, name) + "  " + pad(orDash(in.Value), value) + "  " + pad(in.Source, from)
		if in.Span.IsValid() {
			line += "  " + printable(in.Span.String())
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	if r.Source != "" {
		b.WriteString("  source: " + printable(r.Source) + "\n")
	}
}

func pad(text string, width int) string {
	text = printable(text)
	return text + strings.Repeat(" ", max(0, width-source.TextColumns(text)))
}

func orDash(text string) string {
	if text == "" {
		return dash
	}
	return text
}
