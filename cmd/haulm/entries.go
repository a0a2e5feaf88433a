package main

import (
	"fmt"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/star"
)

// The entries below are what the reference pages are made of and what `haulm doc` and `haulm explain`
// print: Markdown that reads well as it stands.

// builtinEntry documents a function that a plan can call.
func builtinEntry(b *eval.Builtin) string {
	var e strings.Builder
	fmt.Fprintf(&e, "## %s\n\n%s: %s.\n\n    %s\n", b.Name, b.Name, strings.TrimSuffix(b.Summary, "."), b.Signature())
	if b.Doc != "" {
		e.WriteString("\n" + strings.TrimSpace(b.Doc) + "\n")
	}
	if len(b.Params) > 0 {
		e.WriteString("\n")
	}
	for i := range b.Params {
		p := &b.Params[i]
		about := []string{p.Type.String()}
		if p.Required {
			about = append(about, "required")
		}
		if p.Default != "" {
			about = append(about, p.Default+" when not given")
		}
		if limits := limitsOf(p); limits != "" {
			about = append(about, limits)
		}
		fmt.Fprintf(&e, "- `%s` (%s)", p.Name, strings.Join(about, "; "))
		if p.Doc != "" {
			e.WriteString(": " + strings.TrimSuffix(p.Doc, "."))
		}
		e.WriteString("\n")
	}
	if b.Returns != "" {
		e.WriteString("\nGives " + b.Returns + ".\n")
	}
	e.WriteString(example(b.Example))
	return e.String()
}

// limitsOf says a parameter's bounds in both systems of units where they differ.
func limitsOf(p *eval.Param) string {
	us, metric := p.LimitsText(quantity.US), p.LimitsText(quantity.Metric)
	if us == metric {
		return us
	}
	return us + " (" + metric + ")"
}

func example(text string) string {
	if text = strings.TrimRight(text, "\n"); text == "" {
		return ""
	}
	return "\nFor example:\n\n    " + strings.ReplaceAll(text, "\n", "\n    ") + "\n"
}

// ruleEntry explains a finding.
func ruleEntry(r *diag.Rule) string {
	var e strings.Builder
	fmt.Fprintf(&e, "## %s\n\n%s: %s.\n\n%s\n", r.Code, r.Severity, strings.TrimSuffix(r.Summary, "."),
		strings.TrimSpace(r.Explain))
	e.WriteString(example(r.Example))
	if r.Source != "" {
		e.WriteString("\nSource: " + r.Source + "\n")
	}
	return e.String()
}

// unitEntry says what a unit is.
func unitEntry(u quantity.Unit) string {
	factor := u.Factor
	if u.Dim != quantity.Ratio {
		factor += " " + u.Dim.BaseUnits()
	}
	return fmt.Sprintf("- `%s`: %s, printed as %s; 1 %s is %s (%s)\n",
		u.Name, u.Dim.Noun(), u.Symbol, u.Symbol, factor, u.Source)
}

// cropEntry lists what the table holds on a crop, each value with its grade and source.
func cropEntry(c *crops.Crop) string {
	var e strings.Builder
	fmt.Fprintf(&e, "## %s\n\n    load(\"crops\", %q)\n\n", c.Name, c.Ident)
	for _, v := range c.Values() {
		fmt.Fprintf(&e, "- %s: %s%s\n", v.Label, inBoth(v.Format), from(v.Range.Grade, v.Range.Source, v.Range.Note))
		for _, o := range v.Range.Others {
			say := func(s quantity.System) string { return v.FormatStated(o, s) }
			fmt.Fprintf(&e, "  - else %s%s\n", inBoth(say), from(o.Grade, o.Source, o.Note))
		}
	}
	return e.String()
}

// gradesOf says what the grades of a crop's values mean.
func gradesOf(c *crops.Crop) string {
	used := map[crops.Grade]bool{}
	for _, v := range c.Values() {
		used[v.Range.Grade] = true
		for _, o := range v.Range.Others {
			used[o.Grade] = true
		}
	}
	var e strings.Builder
	e.WriteString("\nGrades of the sources, the surest first:\n\n")
	for _, g := range []crops.Grade{crops.GradeA, crops.GradeB, crops.GradeC, crops.GradeMemory} {
		if used[g] {
			e.WriteString("- " + g.Words() + "\n")
		}
	}
	return e.String()
}

// inBoth writes a value in US units, and in metric ones behind them where that differs.
func inBoth(say func(quantity.System) string) string {
	us, metric := say(quantity.US), say(quantity.Metric)
	if us == metric {
		return us
	}
	return us + " (" + metric + ")"
}

func from(g crops.Grade, source, note string) string {
	text := " [" + string(g) + "] " + source
	if note != "" {
		text += "; " + note
	}
	return text
}

// moduleEntry says what a module offers to load.
func moduleEntry(m eval.Module) string {
	var e strings.Builder
	fmt.Fprintf(&e, "## %s\n\n    load(%q, %q)\n\nOffers %s.\n", m.Name, m.Name, m.Names[0], strings.Join(m.Names, ", "))
	if text, ok := star.Module(m.Name); ok {
		e.WriteString("\nThe module:\n\n    " + strings.ReplaceAll(strings.TrimRight(text, "\n"), "\n", "\n    ") + "\n")
	}
	return strings.ReplaceAll(e.String(), "\n    \n", "\n\n")
}
