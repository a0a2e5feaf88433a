package main

import (
	"errors"
	"fmt"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/plan"
)

// checked gathers what the plans of one command line gave.
type checked struct {
	plans   int
	roots   map[string]bool
	results []result
	summary []string // one line for each plan
	trouble error    // the last
}

// result is one plan's findings and how its files are called.
type result struct {
	findings []diag.Diagnostic
	place    *place
}

func (c *checked) add(p *place, s *plan.Snapshot) {
	c.plans++
	if c.roots == nil {
		c.roots = map[string]bool{}
	}
	c.roots[p.dir] = true
	c.results = append(c.results, result{s.Findings, p})
	c.summary = append(c.summary, summarize(p, s))
}

// merged gives the findings of all plans in one order, their files called as the format's readers expect:
// tools that look at a work tree want paths from its root, everyone else paths from the current folder.
func (c *checked) merged(format string) []diag.Diagnostic {
	var all []diag.Diagnostic
	for _, r := range c.results {
		name := r.place.fromHere(stdinName)
		switch {
		case format == "text":
			name = r.place.fromHere(stdinTitle)
		case (format == "sarif" || format == "github") && len(c.roots) == 1:
			name = r.place.fromRoot
		}
		all = append(all, renamed(r.findings, name)...)
	}
	return diag.Sort(all)
}

// summarize says what was checked and what came of it: "Ferry Bank: 5 plots, 62 rows, 3,410 plants; 2
// warnings".
func summarize(p *place, s *plan.Snapshot) string {
	name := s.Farm.Name.Value
	if name == "" {
		name = p.name()
	}
	plants := 0
	for _, plot := range s.Facts.Plots {
		plants += plot.Plants
	}
	text := fmt.Sprintf("%s: %s, %s, %s; %s", name, count(len(s.Facts.Plots), "plot"),
		count(len(s.Facts.Rows), "row"), count(plants, "plant"), diag.Tally(s.Findings))
	if n := len(s.Accepted); n > 0 {
		text += fmt.Sprintf(", %d accepted", n)
	}
	if _, fixable := diag.ApplySafe(s.Findings); len(fixable) > 0 {
		text += fmt.Sprintf(" (--fix would mend %d)", len(fixable))
	}
	return text
}

// count gives a number with its noun: "1 row", "3,410 plants".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	digits := fmt.Sprint(n)
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return digits + " " + noun + "s"
}

// name is how people read of the plan's first file.
func (p *place) name() string { return p.fromHere(stdinTitle)(p.entry) }

// trouble says why the plan could not be read, by the name that the reader knows it by.
func (p *place) trouble(err error) error {
	text := err.Error()
	if inner := errors.Unwrap(err); inner != nil {
		text = inner.Error()
	}
	return errors.New(p.name() + ": " + strings.TrimPrefix(text, p.entry+": "))
}
