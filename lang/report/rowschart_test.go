package report_test

import (
	"bytes"
	"encoding/xml"
	"io"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/report"
)

// bars reads the bars of a page of charts and holds that it is well formed.
func bars(t *testing.T, facts *derive.Facts, draw func(*derive.Facts, io.Writer) error) []rect {
	var out bytes.Buffer
	require.NoError(t, draw(facts, &out))
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
	all := bars(t, b.facts(), report.RowsSVG)
	require.NotEmpty(t, all)
	for _, bar := range all[1 : len(all)-1] { // the first and the last week are in use for some days
		require.InDelta(t, all[0].y1, bar.y1, 0.02, "all stand on the axis")
		require.InDelta(t, 200/1.05*0.75, bar.y1-bar.y0, 200*0.02, "three quarters of the rows")
	}
	require.Empty(t, bars(t, nil, report.RowsSVG))
	require.Empty(t, bars(t, newFarm("Bare", 0).facts(), report.RowsSVG))
}
