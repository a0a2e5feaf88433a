package feature

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
	"haulm/stdlib/star"
)

// builtinText documents a built-in function.
func builtinText(b *eval.Builtin) string {
	head := "```python\n" + b.Signature() + "\n```"
	if b.Returns != "" {
		head += "\nGives " + b.Returns + "."
	}
	var must []string
	for _, p := range b.Params {
		if p.Required {
			must = append(must, "`"+p.Name+"`")
		}
	}
	needs := ""
	if len(must) > 0 {
		needs = "Always say " + strings.Join(must, ", ") + "."
	}
	return joinParts([]string{head, sentence(b.Summary), b.Doc, needs, example(b.Example)})
}

func example(text string) string {
	if text == "" {
		return ""
	}
	return "```python\n" + strings.TrimSpace(text) + "\n```"
}

// argument tells about an argument of a call: what belongs there, and what it led to.
func (h *hoverer) argument(call *Call, i int) string {
	b := call.Builtin()
	if b == nil || call.Receiver == "" && h.names.named(call.Name) != nil {
		return ""
	}
	p := call.Param(b, i)
	if p == nil {
		return ""
	}
	text := paramText(p, h.doc.units())
	if h.doc.Plan == nil {
		return text
	}
	then, fresh := h.doc.Evaluated(call.Span)
	things := h.doc.Plan.Things(then)
	if !fresh || len(things) != 1 {
		return text
	}
	for _, r := range reckonings(things[0], p.Name) {
		text += "\n\n" + whyLine(r)
	}
	return text
}

// paramText documents a parameter: "at (a length): of the center line from the plot's first side."
func paramText(p *eval.Param, units quantity.System) string {
	about := p.Type.String()
	if p.Default != "" {
		about += ", `" + p.Default + "` when not given"
	}
	if limits := p.LimitsText(units); limits != "" && p.Type.Kind != eval.KindQuantity {
		about += ", " + limits
	}
	text := "`" + p.Name + "` (" + about + ")"
	if p.Doc == "" {
		return text
	}
	return text + ": " + strings.TrimSuffix(p.Doc, ".") + "."
}

// reckonings gives the figures that an argument leads to.
func reckonings(t Thing, param string) []derive.Reckoning {
	var titles []string
	var all []derive.Reckoning
	switch {
	case t.Planting != nil:
		all = t.Planting.Why()
		switch param {
		case "count", "length", "fill":
			titles = []string{"Plants"}
		case "spacing":
			titles = []string{"Spacing in the line", "Plants"}
		case "start":
			titles = []string{"Place in the row"}
		case "on":
			titles = []string{"Sow", "First harvest"}
		case "sown_on":
			titles = []string{"Sow"}
		case "days_to_maturity":
			titles = []string{"First harvest"}
		case "harvest_window", "until":
			titles = []string{"Last harvest", "Clear"}
		}
	case t.Row != nil:
		all = t.Row.Why()
		switch param {
		case "at", "bed_width", "lines", "line_spacing":
			titles = []string{"Place across the plot"}
		case "length", "start":
			titles = []string{"Length"}
		}
	case t.Plot != nil:
		all = t.Plot.Why()
		switch param {
		case "length", "width":
			titles = []string{"Area"}
		case "headland":
			titles = []string{"Row length"}
		}
	}
	var found []derive.Reckoning
	for _, title := range titles {
		for _, r := range all {
			if r.Title == title {
				found = append(found, r)
			}
		}
	}
	return found
}

// functionText documents a function that the plan, or a module, defines.
func (d *Doc) functionText(m meaning) string {
	b := m.from
	if b == nil {
		return ""
	}
	if b.kind == loaded {
		text, ok := star.Module(b.load.module)
		if !ok {
			return ""
		}
		return defText(text, b.load.name)
	}
	if b.kind != defined {
		return ""
	}
	return defText(b.file.Text[b.value:], b.name)
}

// defText gives the head and the docstring of a function's definition.
func defText(text, name string) string {
	at := strings.Index(text, "def "+name+"(")
	if at < 0 {
		return ""
	}
	text = text[at:]
	f := source.New("", text)
	code := partAt(f, 1, 2).code()
	depth := 0
	for i, t := range code {
		switch word := f.Text[t.Start:t.End]; {
		case t.Kind == syntax.Opener:
			depth++
		case t.Kind == syntax.Closer:
			depth--
		case word == ":" && depth == 0:
			head := "```python\n" + f.Text[:t.Start] + "\n```"
			doc := ""
			if i+1 < len(code) && code[i+1].Kind == syntax.Text {
				doc = trimLines(unquoted(f.Text[code[i+1].Start:code[i+1].End]))
			}
			return joinParts([]string{head, doc})
		}
	}
	return ""
}

func trimLines(text string) string {
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = strings.TrimSpace(lines[i])
	}
	return strings.TrimSpace(strings.Join(lines, "\n"))
}

// moduleText tells what a module or a file of the plan offers.
func (d *Doc) moduleText(module string) string {
	if strings.ContainsAny(module, "./") {
		target := loadPath(d.File.Path, module)
		if d.Plan.File(target) == nil {
			return ""
		}
		var list []string
		for _, b := range d.topOf(target).list {
			if b.kind != loaded && !strings.HasPrefix(b.name, "_") {
				list = append(list, "`"+b.name+"`")
			}
		}
		return "**" + target + "** offers " + strings.Join(shortened(list), ", ") + "."
	}
	for _, m := range eval.Modules() {
		if m.Name != module {
			continue
		}
		if module == cropModule {
			return fmt.Sprintf("**crops**: the crop table, %d crops with spacing, timing and hardiness, each value with its source.", len(m.Names))
		}
		names := make([]string, len(m.Names))
		for i, n := range m.Names {
			names[i] = "`" + n + "`"
		}
		return "**" + module + "** offers " + strings.Join(shortened(names), ", ") + "."
	}
	return ""
}

// ruleText explains a finding.
func ruleText(r *diag.Rule) string {
	source := ""
	if r.Source != "" {
		source = "Source: " + r.Source
	}
	return joinParts([]string{ruleHead(r), strings.TrimSpace(r.Explain), source})
}

func ruleHead(r *diag.Rule) string {
	return "**" + r.Code + "** (" + r.Severity.String() + "): " + sentence(r.Summary)
}

// unitText tells what a unit is.
func unitText(u quantity.Unit) string {
	text := "`" + u.Name + "`: " + u.Dim.Noun()
	if u.SI != 1 || u.Dim == quantity.Ratio {
		text += ", " + inBothSystems(u.Of(1))
	}
	if u.Source != "" {
		text += " *(" + u.Source + ")*"
	}
	return text
}

// inBothSystems writes a quantity as each kind of farm would: "30 ft = 9.14 m".
func inBothSystems(q quantity.Quantity) string {
	us, metric := quantity.US.Short(q), quantity.Metric.Short(q)
	if us == metric {
		return us
	}
	return us + " = " + metric
}

func joinParts(parts []string) string {
	var kept []string
	for _, p := range parts {
		if p = strings.TrimSpace(p); p != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, "\n\n")
}

// sentence begins a text with a capital and ends it with a full stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	if !strings.HasSuffix(text, ".") {
		text += "."
	}
	return capital(text)
}

func capital(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(r)) + text[n:]
}

func article(noun string) string {
	if noun != "" && strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}
