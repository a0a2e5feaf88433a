package report_test

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/report"
)

// onEarth is what a reader finds in a file of places.
type onEarth struct {
	Type     string
	Features []struct {
		Type     string
		Geometry struct {
			Type        string
			Coordinates json.RawMessage
		}
		Properties map[string]any
	}
}

func places(t require.TestingT, facts *derive.Facts) onEarth {
	var b bytes.Buffer
	require.NoError(t, report.WriteGeoJSON(facts, &b))
	var got onEarth
	require.NoError(t, json.Unmarshal(b.Bytes(), &got), b.String())
	require.Equal(t, "FeatureCollection", got.Type)
	require.NotNil(t, got.Features)
	return got
}

// meters between two places, by the haversine of a sphere of the earth's mean radius.
func apart(a, b [2]float64) float64 {
	const degree = math.Pi / 180
	half := func(x float64) float64 { s := math.Sin(x / 2); return s * s }
	h := half((b[1]-a[1])*degree) + math.Cos(a[1]*degree)*math.Cos(b[1]*degree)*half((b[0]-a[0])*degree)
	return 2 * 6371008.8 * math.Asin(math.Sqrt(h))
}

func TestPlacesOnEarth(t *testing.T) {
	b := spread()
	b.f.Site = &farm.Site{Latitude: given(38.2), Longitude: given(-84.9)}
	facts := b.facts()
	require.True(t, report.HasPlaces(facts))
	got := places(t, facts)
	kinds := map[string]int{}
	for _, f := range got.Features {
		require.Equal(t, "Feature", f.Type)
		kinds[f.Properties["kind"].(string)]++
	}
	require.Equal(t, len(facts.Plots), kinds["plot"])
	require.Equal(t, len(facts.Rows), kinds["row"])
	require.Positive(t, kinds["planting"])
}

// Whatever the place and the bearing: a ring that is closed and runs counterclockwise, sides as long as the
// plot's to half a percent, the first corner where the plan puts it.
func TestRings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := benches()
		latitude := rapid.Float64Range(-65, 65).Draw(t, "latitude")
		longitude := rapid.Float64Range(-180, 180).Draw(t, "longitude")
		b.f.Site = &farm.Site{Latitude: given(latitude), Longitude: given(longitude)}
		b.f.Plots[0].East, b.f.Plots[0].North = feet(rapid.Float64Range(-900, 900).Draw(t, "east")), feet(rapid.Float64Range(-900, 900).Draw(t, "north"))
		b.f.Plots[0].Bearing = given(rapid.Float64Range(-360, 720).Draw(t, "bearing"))
		facts := b.facts()
		got := places(t, facts)
		require.NotEmpty(t, got.Features)
		require.Equal(t, "Polygon", got.Features[0].Geometry.Type)
		var rings [][][2]float64
		require.NoError(t, json.Unmarshal(got.Features[0].Geometry.Coordinates, &rings))
		require.Len(t, rings, 1)
		ring := rings[0]
		require.Len(t, ring, 5)
		require.Equal(t, ring[0], ring[4])
		turned := 0.0
		for i := range 4 {
			require.LessOrEqual(t, math.Abs(ring[i][0]), 180.0)
			step := math.Remainder(ring[i+1][0]-ring[i][0], 360)
			turned += math.Remainder(ring[i][0]-ring[0][0], 360)*(ring[i+1][1]-ring[i][1]) - step*(ring[i][1]-ring[0][1])
		}
		require.Positive(t, turned, "counterclockwise")
		require.InEpsilon(t, b.f.Plots[0].Width.Value.SI, apart(ring[0], ring[1]), 0.01)
		require.InEpsilon(t, b.f.Plots[0].Length.Value.SI, apart(ring[1], ring[2]), 0.01)
	})
}

func TestNoPlaces(t *testing.T) {
	require.False(t, report.HasPlaces(nil))
	require.Empty(t, places(t, nil).Features)
	b := spread()
	require.False(t, report.HasPlaces(b.facts()), "no latitude")
	b.f.Site = &farm.Site{Latitude: given(90.0), Longitude: given(0.0)}
	require.Empty(t, places(t, b.facts()).Features, "at the pole")
	b = benches()
	b.f.Site = &farm.Site{Latitude: given(38.0), Longitude: given(-84.0)}
	require.False(t, report.HasPlaces(b.facts()), "no plot has a place")
}
