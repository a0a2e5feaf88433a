package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/report"
)

func TestGoldenWhy(t *testing.T) {
	b := benches()
	p := b.f.Plantings[0]
	p.Call, p.On.Span, p.Count.Span = span(3, 1, 40), span(3, 20, 30), span(3, 10, 12)
	facts := b.facts()
	var all strings.Builder
	for _, item := range []string{"Upper bench", "Lower bench/cage row", "Lower bench/1/bell pepper", "12"} {
		got, err := report.Why(facts, item)
		require.NoError(t, err, item)
		all.WriteString("### " + item + "\n" + got)
	}
	require.Contains(t, all.String(), "farm.star:3:20")
	golden(t, "why.txt", []byte(all.String()))
}

func TestWhyOfNothing(t *testing.T) {
	got, err := report.Why(benches().facts(), "Lower bank")
	require.ErrorContains(t, err, "Lower bench")
	require.Empty(t, got)
	for _, facts := range []*derive.Facts{{}, derive.Derive(nil)} {
		_, err = report.Why(facts, "1")
		require.Error(t, err)
	}
}

func TestWhyIsSafe(t *testing.T) {
	b := benches()
	b.f.Plots[0].Name = given("a\x1b[2J\nb")
	got, err := report.Why(b.facts(), "Upper bench")
	require.NoError(t, err)
	require.NotEmpty(t, got)
	got, err = report.Why(b.facts(), "1")
	require.NoError(t, err)
	require.NotContains(t, got, "\x1b")
	require.True(t, strings.HasPrefix(got, "a␛[2J␊b, row 1, bell pepper"), got)
}
