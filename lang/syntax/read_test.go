package syntax_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

func TestUnreadableFiles(t *testing.T) {
	for _, c := range []struct {
		name, text, code, message, help string
		at                              string
	}{
		{"latin-1", "x = 1\ny = 'd\xe9p\xf4t'\n", "not-utf8", "byte 13 of the file, on line 2, is 0xE9, which is not UTF-8", "save the file with the encoding UTF-8", "farm.star:2:7"},
		{"utf-16", "\xff\xfex\x00", "not-utf8", "byte 1 of the file, on line 1, is 0xFF, which is not UTF-8", "the file looks like UTF-16; save the file with the encoding UTF-8", "farm.star:1:1"},
		{"cut short", "x = 'é🌽\xf0\x9f", "not-utf8", "byte 12 of the file, on line 1, is 0xF0, which is not UTF-8", "save the file with the encoding UTF-8", "farm.star:1:8"},
		{"too large", strings.Repeat("#", 8<<20+1), "file-too-large", "the file has more than 8,388,608 bytes (8 MiB), the most a plan's file may have", "split it into several files and load them", "farm.star:1:1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tree := syntax.Parse(source.New("farm.star", c.text))
			require.Len(t, tree.Findings, 1)
			d := tree.Findings[0]
			require.Equal(t, c.code, d.Code())
			require.Equal(t, diag.Error, d.Rule.Severity)
			require.Equal(t, c.message, d.Message)
			require.Equal(t, c.help, d.Help)
			require.Equal(t, c.at, d.Primary.Span.String())
			require.Empty(t, tree.Root.Stmts)
		})
	}
	require.Empty(t, syntax.Parse(source.New("farm.star", strings.Repeat("#", 8<<20))).Findings)
}

func TestByteOrderMark(t *testing.T) {
	f := source.New("farm.star", "\ufeffx = row(1)\n    y = 2\n\ufeff z = 3\n")
	tree := syntax.Parse(f)
	require.Len(t, tree.Findings, 3, "the mark, the indent, and a mark in the middle")
	require.Equal(t, "byte-order-mark", tree.Findings[0].Code())
	require.Equal(t, diag.Note, tree.Findings[0].Rule.Severity)
	require.Equal(t, "there is an invisible character here (U+FEFF)", tree.Findings[2].Message)
	require.Equal(t, "x = row(1)", syntax.SpanOf(f, tree.Root.Stmts[0]).Text())

	f = source.New("farm.star", "\ufeff# accept: a-b — why\nx = 1\n")
	tree = syntax.Parse(f)
	require.Len(t, tree.Findings, 1)
	require.Equal(t, "x = 1", tree.Accepts[0].Target.Text())
	fixed := apply(f, tree.Findings[0].Fixes[0])
	require.Equal(t, "# accept: a-b — why\nx = 1\n", fixed)
	require.Empty(t, syntax.Parse(source.New("farm.star", fixed)).Findings)
}

// Each rule's example is found fault with by that rule.
func TestRulesHaveExamples(t *testing.T) {
	codes := []string{}
	for _, r := range syntax.Rules() {
		codes = append(codes, r.Code)
		require.NotEmpty(t, r.Summary)
		require.NotEmpty(t, r.Explain)
		require.NotEmpty(t, r.Source)
		example := r.Example
		if r.Code == "file-too-large" {
			example = strings.Repeat("\n", 8<<20+1)
		}
		tree := syntax.Parse(source.New("farm.star", example))
		require.Len(t, tree.Findings, 1, r.Code)
		require.Same(t, r, tree.Findings[0].Rule)
	}
	require.Equal(t, []string{"syntax", "not-utf8", "byte-order-mark", "file-too-large", "nested-too-deep", "accept-without-reason"}, codes)
}
