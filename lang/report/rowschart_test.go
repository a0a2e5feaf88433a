package report_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/report"
)

// bars reads the bars of a page of charts and holds that it is well formed.
func bars(t *testing.T, facts *derive.Facts, draw func(*derive.Facts) *report.Charts) []rect {
	var out bytes.Buffer
	require.NoError(t, draw(facts).WriteSVG(&out))
	d := xml.NewDecoder(&out)
	var list []rect
	number := func(e xml.StartElement, name string) float64 {
		v, err := strconv.ParseFloat(attr(e, name), 64)
		require.NoError(t, err)
		return v
	}
	for {
		token, err := d.Token()
		if err == io.EOF {
			return list
		}
		require.NoError(t, err)
		if e, ok := token.(xml.StartElement); ok && attr(e, "class") == "bar" {
			x, y := number(e, "x"), number(e, "y")
			list = append(list, rect{x, y, x + number(e, "width"), y + number(e, "height")})
		}
	}
}

// A row that is full has a bar as high as the line of what there is; two crops in turn each have their weeks.
func TestRowsInUse(t *testing.T) {
	b := newFarm("Ferry Bank", 0)
	p := b.plot("Bench", 60, 20, 5)
	b.fill(b.row(p, 4), pepper(), "2027-05-08")
	half := b.row(p, 9)
	b.count(half, pepper(), 17, "2027-05-08")
	all := bars(t, b.facts(), report.RowsCharts)
	require.NotEmpty(t, all)
	for _, bar := range all[1 : len(all)-1] { // the first and the last week are in use for some days
		require.InDelta(t, all[0].y1, bar.y1, 0.02, "all stand on the axis")
		require.InDelta(t, 200/1.05*0.75, bar.y1-bar.y0, 200*0.02, "three quarters of the rows")
	}
	require.Empty(t, bars(t, nil, report.RowsCharts))
	require.Empty(t, bars(t, newFarm("Bare", 0).facts(), report.RowsCharts))
}

// The sheets of a page of charts hold all of its bars, each once and where the whole page has it.
func TestSheetsHoldAllCharts(t *testing.T) {
	b := newFarm("Ferry Bank", 0)
	for i := range 20 {
		p := b.plot("Bench "+strconv.Itoa(i), 60, 20, 5)
		b.fill(b.row(p, 4), pepper(), "2027-05-08")
	}
	c := report.RowsCharts(b.facts())
	require.Greater(t, c.Sheets(), 1)
	all := bars(t, b.facts(), report.RowsCharts)
	var parts int
	for i := range c.Sheets() {
		var out bytes.Buffer
		require.NoError(t, c.WriteSheet(i, &out))
		parts += strings.Count(out.String(), `<rect class="bar"`)
		var y, wide, high float64
		_, rest, _ := strings.Cut(out.String(), `viewBox="`)
		_, err := fmt.Sscanf(rest, "0 %g %g %g", &y, &wide, &high)
		require.NoError(t, err)
		require.LessOrEqual(t, high, 1250.0)
	}
	require.Equal(t, len(all), parts)
}
