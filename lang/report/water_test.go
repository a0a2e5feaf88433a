package report_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"os"
	"slices"
	"strconv"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	front "haulm/lang/plan"
	"haulm/lang/report"
)

// watered is a small farm of two zones with a climate, from testdata/water.star.
func watered(t *testing.T) *derive.Facts {
	text, err := os.ReadFile("testdata/water.star")
	require.NoError(t, err)
	s := front.Check(context.Background(), fstest.MapFS{"farm.star": {Data: text}}, "farm.star")
	require.NoError(t, s.Trouble)
	return s.Facts
}

func TestWaterTables(t *testing.T) {
	facts := watered(t)
	for _, table := range []report.Table{report.Water(facts), report.Watering(facts), report.Tape(facts), report.Shopping(facts)} {
		t.Run(table.Name, func(t *testing.T) {
			var text, csv bytes.Buffer
			require.NoError(t, table.WriteText(&text, 0))
			require.NoError(t, table.WriteCSV(&csv))
			golden(t, "water-"+table.Name+".txt", text.Bytes())
			golden(t, "water-"+table.Name+".csv", csv.Bytes())
			requireValid(t, table)
		})
	}
}

// A plan without water has tables without rows, and a chart that says so.
func TestNoWater(t *testing.T) {
	facts := derive.Derive(nil)
	for _, table := range []report.Table{report.Water(facts), report.Watering(facts), report.Tape(facts), report.Shopping(facts)} {
		require.Empty(t, table.Rows, table.Name)
		requireValid(t, table)
	}
	var out bytes.Buffer
	require.NoError(t, report.WaterCharts(facts).WriteSVG(&out))
	require.Contains(t, out.String(), "The plan has no zones to draw.")
}

// The tables agree with one another and with the facts: tapes and times add up.
func TestWaterAddsUp(t *testing.T) {
	facts := watered(t)
	total := 0.0
	for _, z := range facts.Water.Zones {
		total += z.Sent
	}
	sent := 0.0
	for _, week := range facts.Water.Sources[0].Weeks {
		sent += week.Volume
	}
	require.Positive(t, total)
	require.InEpsilon(t, total, sent, 1e-9)
	require.Len(t, report.Watering(facts).Rows, len(facts.Water.Weeks))
	require.Len(t, report.Tape(facts).Rows, 3)
}

// The chart has a bar for every week that is watered, each as high as its hours and none out of the page.
func TestWaterChart(t *testing.T) {
	facts := watered(t)
	var out bytes.Buffer
	require.NoError(t, report.WaterCharts(facts).WriteSVG(&out))
	type rect struct {
		Class  string `xml:"class,attr"`
		Y      string `xml:"y,attr"`
		Height string `xml:"height,attr"`
		X      string `xml:"x,attr"`
		Width  string `xml:"width,attr"`
	}
	var heights []float64
	curves := 0
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		return v
	}
	d := xml.NewDecoder(&out)
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range start.Attr {
			if a.Name.Local == "class" && a.Value == "curve" {
				curves++
			}
			if a.Name.Local != "class" || a.Value != "bar" {
				continue
			}
			var r rect
			require.NoError(t, d.DecodeElement(&r, &start))
			require.GreaterOrEqual(t, number(r.X), 0.0)
			require.LessOrEqual(t, number(r.X)+number(r.Width), 960.0)
			heights = append(heights, number(r.Height))
		}
	}
	weeks := facts.Water.Sources[0].Weeks
	require.Equal(t, len(facts.Water.Zones), curves)
	peak, highest := facts.Water.Sources[0].Peak, slices.Max(heights)
	for _, week := range weeks {
		if week.Time > 0 {
			require.InDelta(t, week.Time/weeks[peak].Time, heights[0]/highest, 0.005)
			heights = heights[1:]
		}
	}
	require.Empty(t, heights)
}
