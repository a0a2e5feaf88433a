package plan_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/format"
	"haulm/lang/plan"
	"haulm/stdlib/quantity"
)

const examples = "../../examples"

func example(t *testing.T, name string) *plan.Snapshot {
	s := plan.Check(context.Background(), os.DirFS(filepath.Join(examples, name)), "farm.star")
	require.NoError(t, s.Trouble)
	return s
}

// Every folder of examples is a plan with nothing above a note, and in the shape its text promises.
func TestExamples(t *testing.T) {
	entries, err := os.ReadDir(examples)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
		for _, d := range example(t, e.Name()).Findings {
			require.Equal(t, diag.Note, d.Rule.Severity, "%s: %s %s", e.Name(), d.Primary.Span, d.Message)
		}
	}
	require.Equal(t, []string{"first", "metric", "season"}, names)
	for _, name := range names {
		for _, f := range example(t, name).Files {
			laid, err := format.Format(f)
			require.NoError(t, err)
			require.Equal(t, laid, f.Text, "%s/%s: run haulm fmt -w examples", name, f.Path)
		}
	}
	require.Len(t, example(t, "first").Files, 1)
	require.Equal(t, quantity.Metric, example(t, "metric").Farm.Units)

	season := example(t, "season")
	require.Equal(t, quantity.US, season.Farm.Units)
	require.GreaterOrEqual(t, len(season.Facts.Plots), 5)
	require.GreaterOrEqual(t, len(season.Facts.Rows), 60)
	require.GreaterOrEqual(t, len(season.Files), 5)
	kinds := map[string]bool{}
	for _, p := range season.Farm.Plantings {
		kinds[p.Crop.Ident] = true
	}
	require.GreaterOrEqual(t, len(kinds), 25)
}

// Formatting, moving code and splitting files are no business of the facts: the same declarations in the
// same order give the same farm.
func TestSameTextSameFacts(t *testing.T) {
	a, b := example(t, "season"), example(t, "season")
	require.Equal(t, plain(a), plain(b))
}

type planted struct {
	plot, row, crop string
	plants          int
	first, last     float64
}

func plain(s *plan.Snapshot) []planted {
	var out []planted
	for _, p := range s.Facts.Plantings {
		out = append(out, planted{p.Row.Plot.Decl.Name.Value, rowName(p.Row.Decl), p.Decl.Crop.Title(), p.Plants, p.First, p.Last})
	}
	return out
}

func rowName(r *farm.Row) string { return r.Name.Value }
