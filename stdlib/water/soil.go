package water

import (
	_ "embed"
	"sync"

	"haulm/stdlib/table"
)

// Class sorts the textures by how water spreads in them (common practice).
type Class uint8

// Classes of texture: coarse from sand to sandy loam, fine from clay loam to clay, medium between.
const (
	Coarse Class = iota
	Medium
	Fine
)

// String gives "coarse", "medium" or "fine".
func (c Class) String() string { return [...]string{"coarse", "medium", "fine"}[c] }

// Soil is what a texture of the USDA triangle tells of the water in it. Shares are m3 of water in m3 of soil.
type Soil struct {
	Texture       string
	Class         Class
	FieldCapacity Range // held against gravity
	WiltingPoint  Range // held against roots
	Available     Range // between the two, as printed
	Ready         Range // REW, what the top 0.10 m loses readily, mm
	Source        string
	Memory        bool // Source was recalled, not read

	Conductivity       float64 // saturated, m/s
	ConductivitySource string
	WetDiameter        Range // of the ground that an emitter wets, m
	WetSource          string
}

var (
	//go:embed soils.csv
	soilsCSV string
	//go:embed classes.csv
	classesCSV string
)

// SoilOf gives the soil of a texture: sand, loamy sand, sandy loam, loam, silt loam, silt, sandy clay loam,
// clay loam, silty clay loam, sandy clay, silty clay, clay.
func SoilOf(texture string) (Soil, bool) {
	s, ok := soils()[texture]
	return s, ok
}

var soils = sync.OnceValue(func() map[string]Soil {
	const foot, hour = 0.3048, 3600.
	out := map[string]Soil{}
	for _, r := range table.Read("soils.csv", soilsCSV) {
		s := Soil{
			Texture: r.Text("texture"), FieldCapacity: pair(r, "field_capacity"), WiltingPoint: pair(r, "wilting_point"),
			Available: pair(r, "available"), Ready: pair(r, "ready_mm"), Source: r.Text("source"), Memory: r.Text("how") == "memory",
			Conductivity: r.Number("conductivity_cm_h", 0) / 100 / hour, ConductivitySource: r.Text("conductivity_source"),
		}
		for i, c := range table.Read("classes.csv", classesCSV) {
			if c.Text("class") == r.Text("class") {
				wet := pair(c, "wet_ft")
				s.Class, s.WetDiameter, s.WetSource = Class(i), Range{wet.Low * foot, wet.High * foot}, c.Text("source")
			}
		}
		out[s.Texture] = s
	}
	return out
})
