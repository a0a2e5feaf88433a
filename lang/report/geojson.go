package report

import (
	"bufio"
	"bytes"
	"io"
	"math"

	"haulm/lang/derive"
	"haulm/lang/farm"
)

// WriteGeoJSON writes the plots that the plan gives a position, with their rows and plantings, as RFC 7946 has
// it: a plot is a polygon, a row the line from its head to its end, a planting the line from its first plant
// to its last. A position needs the site's latitude and longitude and the plot's east or north of there;
// the ground is taken for flat, which over a farm is true to a hand's width. Without positions there are no
// features.
func WriteGeoJSON(facts *derive.Facts, w io.Writer) error {
	out := &features{w: bufio.NewWriter(w)}
	out.w.WriteString(`{"type":"FeatureCollection","features":[`)
	if facts != nil && facts.Farm != nil {
		if ground, ok := groundOf(facts.Farm.Site); ok {
			for _, p := range facts.Plots {
				out.plot(ground, p)
			}
		}
	}
	out.w.WriteString("\n]}\n")
	return out.w.Flush()
}

// HasPlaces tells whether the plan says enough for a place of any plot on the earth.
func HasPlaces(facts *derive.Facts) bool {
	if facts == nil || facts.Farm == nil {
		return false
	}
	if _, ok := groundOf(facts.Farm.Site); !ok {
		return false
	}
	for _, p := range facts.Plots {
		if _, ok := (&ground{}).plot(p); ok {
			return true
		}
	}
	return false
}

// ground turns meters east and north of the farm's corner into degrees.
type ground struct {
	latitude, longitude     float64
	eastDegree, northDegree float64 // meters in a degree
}

// Half axes of the earth (WGS 84): the greater, m, and the eccentricity squared.
const (
	earthRadius       = 6378137.0
	earthEccentricity = 0.00669437999014
)

// mostNorth is as far from the equator as degrees of longitude are of use.
const mostNorth = 89.0

func groundOf(s *farm.Site) (*ground, bool) {
	if s == nil || !s.Latitude.Given || !s.Longitude.Given || !(math.Abs(s.Latitude.Value) <= mostNorth) || !(math.Abs(s.Longitude.Value) <= 180) {
		return nil, false
	}
	sin, cos := math.Sincos(s.Latitude.Value * math.Pi / 180)
	bend := 1 - earthEccentricity*sin*sin
	degree := math.Pi / 180 * earthRadius
	return &ground{
		latitude: s.Latitude.Value, longitude: s.Longitude.Value,
		eastDegree: degree * cos / math.Sqrt(bend), northDegree: degree * (1 - earthEccentricity) / math.Pow(bend, 1.5),
	}, true
}

// located gives the places of a plot: along its rows from its first corner, and across them.
type located func(along, across float64) (longitude, latitude float64)

func (g *ground) plot(p *derive.Plot) (located, bool) {
	m := &mapPlot{p: p}
	length, okL := meters(&p.Decl.Length)
	width, okW := meters(&p.Decl.Width)
	if !okL || !okW || !m.located() || min(length, width) <= 0 || max(length, width) > 1e5 {
		return nil, false
	}
	east, _ := meters(&p.Decl.East)
	north, _ := meters(&p.Decl.North)
	if max(math.Abs(east), math.Abs(north)) > 1e5 {
		return nil, false
	}
	sin, cos := math.Sincos(m.bearing() * math.Pi / 180)
	return func(along, across float64) (float64, float64) {
		x, y := east+along*sin+across*cos, north+along*cos-across*sin
		longitude := g.longitude + x/g.eastDegree
		if math.Abs(longitude) > 180 {
			longitude -= math.Copysign(360, longitude)
		}
		return longitude, g.latitude + y/g.northDegree
	}, true
}

// features is the list being written.
type features struct {
	w     *bufio.Writer
	wrote bool
}

func (f *features) plot(g *ground, p *derive.Plot) {
	at, ok := g.plot(p)
	if !ok {
		return
	}
	length, width := p.Decl.Length.Value.SI, p.Decl.Width.Value.SI
	name := p.Decl.Name.Value
	// The outer ring runs counterclockwise as seen from above: along the rows with the plot on the left.
	f.open("Polygon", at, [][2]float64{{0, 0}, {0, width}, {length, width}, {length, 0}, {0, 0}})
	f.close("plot", map[string]any{"plot": name, "area_m2": rounded(p.Area, 3), "plants": p.Plants}, "plot", "area_m2", "plants")
	for _, r := range p.Rows {
		if r.Length <= 0 || r.End > 1e6 {
			continue
		}
		f.open("LineString", at, [][2]float64{{r.Start, r.Center}, {r.End, r.Center}})
		f.close("row", map[string]any{"plot": name, "row": r.Name(), "length_m": rounded(r.Length, 3)}, "plot", "row", "length_m")
		for _, q := range r.Plantings {
			if !q.Placed() || q.Last > 1e6 {
				continue
			}
			// A line has a length, also that of a single plant.
			from, to := r.Start+q.First, r.Start+max(q.Last, q.First+q.Spacing/2)
			f.open("LineString", at, [][2]float64{{from, r.Center}, {to, r.Center}})
			f.close("planting", map[string]any{
				"plot": name, "row": r.Name(), "number": q.Number, "crop": q.Decl.Crop.Title(), "plants": q.Plants,
				"plant_date": nullable(q.Plant.String()), "clear_date": nullable(q.Clear.String()),
			}, "plot", "row", "number", "crop", "plants", "plant_date", "clear_date")
		}
	}
}

// open begins a feature with its geometry.
func (f *features) open(kind string, at located, places [][2]float64) {
	if f.wrote {
		f.w.WriteByte(',')
	}
	f.wrote = true
	f.w.WriteString("\n" + `{"type":"Feature","geometry":{"type":"` + kind + `","coordinates":[`)
	if kind == "Polygon" {
		f.w.WriteByte('[')
	}
	for i, p := range places {
		if i > 0 {
			f.w.WriteByte(',')
		}
		longitude, latitude := at(p[0], p[1])
		f.w.WriteString("[" + decimal(longitude, 8) + "," + decimal(latitude, 8) + "]") // a millimeter
	}
	if kind == "Polygon" {
		f.w.WriteByte(']')
	}
	f.w.WriteString("]}")
}

// close writes what a feature is, its properties in the order of their names given, and ends it.
func (f *features) close(kind string, properties map[string]any, order ...string) {
	var b bytes.Buffer
	b.WriteString(`,"properties":{"kind":"` + kind + `"`)
	for _, name := range order {
		b.WriteString(`,"` + name + `":`)
		v := properties[name]
		if text, ok := v.(string); ok {
			v = printable(text)
		}
		writeJSON(&b, v)
	}
	b.WriteString("}}")
	f.w.Write(b.Bytes())
}
