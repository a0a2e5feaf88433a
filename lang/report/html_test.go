package report_test

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/report"
)

// A table for a page is well formed, has a caption and heads, and no name gets out of its cell.
func TestTableAsHTML(t *testing.T) {
	for _, name := range []string{"Lower bench", `<script>alert("x")</script>`, "a\u202eb", strings.Repeat("long ", 2000), "]]>&lt;", ""} {
		b := benches()
		b.f.Plots[0].Name = given(name)
		facts := b.facts()
		for _, table := range []report.Table{report.Plots(facts), report.Plantings(facts), report.Shopping(facts), report.Water(derive.Derive(nil))} {
			var out bytes.Buffer
			require.NoError(t, table.WriteHTML(&out, "What is where <b>"))
			page := out.String()
			require.NotContains(t, page, "<script")
			require.NotContains(t, page, "\u202e")
			require.Less(t, len(page), 40_000)
			d := xml.NewDecoder(strings.NewReader("<page>" + page + "</page>"))
			columns, heads := map[int]bool{}, 0
			cells := 0
			for {
				token, err := d.Token()
				if err == io.EOF {
					break
				}
				require.NoError(t, err, page)
				if e, ok := token.(xml.StartElement); ok {
					switch {
					case e.Name.Local == "tr":
						cells = 0
					case e.Name.Local == "th" && attr(e, "scope") == "col":
						heads++
						cells++
					case e.Name.Local == "th" || e.Name.Local == "td":
						cells++
					}
				}
				if e, ok := token.(xml.EndElement); ok && e.Name.Local == "tr" {
					columns[cells] = true
				}
			}
			if len(table.Rows) > 0 {
				require.Len(t, columns, 1, "all rows are as long")
				require.True(t, columns[heads])
			}
		}
	}
}
