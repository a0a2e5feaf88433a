package report_test

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"haulm/lang/diff"
	"haulm/lang/report"
)

// changed is the small farm a year later: a renamed plot, a planting less, one more, and a row that moved.
func changed() *diff.Diff {
	b := benches()
	b.f.Plots[0].Name = given("Low <bench>")
	b.f.Rows[1].At = feet(9.5)
	b.f.Plantings = b.f.Plantings[1:]
	b.fill(b.row(b.f.Plots[0], 36), onion(), "2027-04-15")
	return diff.Compare(diff.Side{Facts: benches().facts()}, diff.Side{Facts: b.facts()})
}

func TestDiffText(t *testing.T) {
	var text bytes.Buffer
	require.NoError(t, report.DiffText(changed(), &text, 80))
	golden(t, "diff.txt", text.Bytes())
	for line := range strings.Lines(text.String()) {
		require.LessOrEqual(t, len([]rune(line)), 81)
	}
	text.Reset()
	require.NoError(t, report.DiffStat(changed(), &text))
	golden(t, "diff-stat.txt", text.Bytes())
}

func TestDiffJSON(t *testing.T) {
	for name, d := range map[string]*diff.Diff{
		"changed": changed(), "same": diff.Compare(diff.Side{}, diff.Side{}),
		"new": diff.Compare(diff.Side{}, diff.Side{Facts: benches().facts()}),
	} {
		var text bytes.Buffer
		require.NoError(t, report.DiffJSON(d, &text), name)
		doc, err := jsonschema.UnmarshalJSON(&text)
		require.NoError(t, err)
		require.NoError(t, schema(t, "diff").Validate(doc), name)
	}
}

// Both maps are on the page, every change has its badge on each map that has the thing, and the page is well formed.
func TestDiffHTML(t *testing.T) {
	var page bytes.Buffer
	d := changed()
	require.NoError(t, report.DiffHTML(d, &page))
	text := page.String()
	require.Equal(t, 2, strings.Count(text, `class="map"`))
	require.Equal(t, 1, strings.Count(text, `id="headland"`), "patterns stand once")
	require.Contains(t, text, "Low &lt;bench&gt;")
	require.NotContains(t, text, "<bench>")
	drawn := 0
	for _, c := range d.Changes {
		for _, x := range []*diff.Thing{c.Old, c.New} {
			if x != nil && x.Title != "" && (x.Item.Plot != nil || x.Item.Row != nil || x.Item.Planting != nil && x.Item.Planting.Placed()) {
				drawn++
			}
		}
	}
	require.Equal(t, drawn, strings.Count(text, `class="badgetext"`))
	for _, class := range []string{"came", "went", "other"} {
		require.Contains(t, text, `<rect class="`+class+`"`)
	}
	read := xml.NewDecoder(&page)
	read.Strict = false
	read.AutoClose = xml.HTMLAutoClose
	read.Entity = xml.HTMLEntity
	for {
		if _, err := read.Token(); err == io.EOF {
			break
		} else {
			require.NoError(t, err)
		}
	}

	page.Reset()
	require.NoError(t, report.DiffHTML(diff.Compare(diff.Side{}, diff.Side{}), &page))
	require.Contains(t, page.String(), "Nothing changed.")
}
