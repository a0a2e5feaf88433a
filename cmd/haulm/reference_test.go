package main

import (
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/eval"
	"haulm/lang/plan"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

var update = flag.Bool("update", false, "rewrite the reference pages")

// made opens every page: nobody should mend the page instead of what it is made from.
const made = "<!-- Made by `go test ./cmd/haulm -update`; change what it is made from. -->\n\n"

// TestReferenceIsFresh holds the reference pages to the registries they are made from.
func TestReferenceIsFresh(t *testing.T) {
	for name, text := range map[string]string{
		"builtins.md": builtinsPage(), "findings.md": findingsPage(),
		"crops.md": cropsPage(), "units.md": unitsPage(),
	} {
		path := "reference/" + name
		if *update {
			require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		}
		have, err := os.ReadFile(path)
		require.NoError(t, err)
		require.True(t, string(have) == text, "%s is stale: run go test ./cmd/haulm -update", path)
	}
}

func builtinsPage() string {
	var page strings.Builder
	page.WriteString("# Functions\n\n" + made + "What a plan can call without loading anything.\n")
	for _, b := range eval.Builtins() {
		page.WriteString("\n" + builtinEntry(b))
	}
	return page.String()
}

func findingsPage() string {
	var page strings.Builder
	page.WriteString("# Findings\n\n" + made + "An error cannot be done, a warning is ill-advised, a note is worth knowing.\n")
	for _, r := range plan.Rules() {
		page.WriteString("\n" + ruleEntry(r))
	}
	return page.String()
}

func cropsPage() string {
	var page strings.Builder
	page.WriteString("# Crops\n\n" + made + "Every value has the grade of its source in brackets:\n\n")
	for _, g := range []crops.Grade{crops.GradeA, crops.GradeB, crops.GradeC, crops.GradeMemory} {
		page.WriteString("- " + g.Words() + "\n")
	}
	page.WriteString("\nWhat other sources say stands below a value.\n")
	for _, c := range crops.All() {
		page.WriteString("\n" + cropEntry(c))
	}
	return page.String()
}

func unitsPage() string {
	var page strings.Builder
	page.WriteString("# Units\n\n" + made + "Written after a number with `*`, as in `30 * inch`; divided with `/`, as in `0.45 * gpm / (100 * ft)`.\n")
	var done []quantity.Dimension
	for _, first := range quantity.Units() {
		if contains(done, first.Dim) {
			continue
		}
		done = append(done, first.Dim)
		page.WriteString("\n## " + first.Dim.Name() + "\n\n")
		for _, u := range quantity.Units() {
			if u.Dim == first.Dim {
				page.WriteString(unitEntry(u))
			}
		}
	}
	return page.String()
}

func contains(dims []quantity.Dimension, d quantity.Dimension) bool {
	for _, have := range dims {
		if have == d {
			return true
		}
	}
	return false
}

// Every function, finding, unit, module and crop is found under its own name.
func TestEveryWordHasAnEntry(t *testing.T) {
	for _, word := range words() {
		text, err := lookUp(word)
		require.NoError(t, err, word)
		require.NotEmpty(t, text, word)
	}
	for _, r := range plan.Rules() {
		require.Contains(t, ruleEntry(r), r.Summary[:len(r.Summary)-1], r.Code)
	}
	for _, c := range crops.All() {
		for _, word := range []string{c.Name, c.Ident} {
			text, err := lookUp(word)
			require.NoError(t, err)
			require.Equal(t, cropEntry(c)+gradesOf(c), text, word)
		}
	}
}
