package feature

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// zoneLine is a zone in one line: "fruiting, 7 rows, 2.66 of 11 gpm".
func (d *Doc) zoneLine(z *derive.ZoneWater) string {
	text := z.Decl.Name.Value + ", " + counted(len(z.Rows), "row")
	if flows(z) {
		text += ", " + d.ofSource(z)
	}
	return text
}

// zoneText tells what a zone holds, what it takes and needs, and how that is reckoned.
func (d *Doc) zoneText(decl *farm.Zone) string {
	head := "**Zone " + decl.Name.Value + "**"
	z := d.zoneFacts(decl)
	if z == nil {
		return head + "."
	}
	head += ": " + counted(len(z.Rows), "row")
	if z.Length > 0 {
		head += ", " + d.length(z.Length) + " of tape"
	}
	if decl.Source != nil {
		head += ", fed by " + decl.Source.Name.Value
	}
	var said []string
	if flows(z) {
		said = append(said, capital(d.ofSource(z))+", "+d.even(z.EU)+".")
	}
	if need := d.needing(d.zoneNeed([]*derive.ZoneWater{z})); need != "" {
		said = append(said, capital(need)+".")
	}
	return joinParts([]string{head + ".", strings.Join(said, " "), whyText(z.Why())})
}

// sourceText tells what a source gives, what hangs on it, and how that is reckoned.
func (d *Doc) sourceText(decl *farm.WaterSource) string {
	u := d.units()
	head := fmt.Sprintf("**Water source %s**: %s at %s", decl.Name.Value, u.Format(decl.Flow.Value), u.Format(decl.Pressure.Value))
	s := d.sourceFacts(decl)
	if s == nil {
		return head + "."
	}
	rows := 0
	lines := make([]string, len(s.Zones))
	for i, z := range s.Zones {
		rows += len(z.Rows)
		lines[i] = "- Zone " + d.zoneLine(z)
	}
	head += fmt.Sprintf("; %s, %s.", counted(len(s.Zones), "zone"), counted(rows, "row"))
	if need := d.needing(d.zoneNeed(s.Zones)); need != "" {
		head += " " + capital(need) + "."
	}
	return joinParts([]string{head, strings.Join(shortened(lines), "\n"), whyText(s.Why())})
}

// tapeText tells what a tape gives, where it lies, and how that is reckoned.
func (d *Doc) tapeText(decl *farm.DripTape) string {
	u := d.units()
	head := fmt.Sprintf("**Drip tape**, %s between emitters, %s at %s", u.Short(decl.EmitterSpacing.Value), u.Format(decl.Flow.Value), u.Format(decl.At.Value))
	w := d.waterFacts()
	if w == nil {
		return head + "."
	}
	zones, length := 0, 0.0
	for _, z := range w.Zones {
		if z.Decl.Tape == decl {
			zones++
			length += z.Length
		}
	}
	return joinParts([]string{fmt.Sprintf("%s: %s in %s.", head, d.length(length), counted(zones, "zone")), whyText(w.WhyTape(decl))})
}

// pipeText tells what flows through a pipe, zone by zone.
func (d *Doc) pipeText(decl *farm.Pipe) string {
	u := d.units()
	head := fmt.Sprintf("**Pipe**, %s of %s, %s inside.", u.Format(decl.Length.Value), decl.Material.Value, u.Short(decl.InsideDiameter.Value))
	w := d.waterFacts()
	if w == nil {
		return head
	}
	var lines []string
	for _, z := range w.Zones {
		i := slices.IndexFunc([]derive.Run{z.Supply, z.Header}, func(r derive.Run) bool { return r.Pipe == decl })
		if i < 0 || !flows(z) {
			continue
		}
		run := []derive.Run{z.Supply, z.Header}[i]
		lines = append(lines, fmt.Sprintf("- %s of zone %s: %s at %s, takes %s", []string{"Supply", "Header"}[i], z.Decl.Name.Value,
			d.flowText(run.Flow), u.Format(quantity.Of(run.Speed, quantity.Speed)), u.Format(quantity.Of(run.Loss, quantity.Pressure))))
	}
	return joinParts([]string{head, strings.Join(shortened(lines), "\n")})
}
