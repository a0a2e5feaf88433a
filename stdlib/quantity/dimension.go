package quantity

import (
	"slices"
	"strconv"
	"strings"
)

// Axes of the dimension vector.
const (
	AxisLength = iota
	AxisMass
	AxisTime
	AxisInterval // a difference of temperatures, K
	AxisLevel    // a reading on a temperature scale, K above absolute zero
	AxisAngle    // keeps torque apart from energy, radian
	AxisMoney    // units of the farm's own currency
	axisCount
)

// axisText is the SI base unit of each axis as printed and read where no named dimension fits.
var axisText = [axisCount]string{"m", "kg", "s", "K", "deg", "rad", "money"}

// maxExponent bounds each exponent well inside int8, so that products never wrap round.
const maxExponent = 100

// Dimension is the exponent of each axis; the zero value is a plain ratio.
type Dimension [axisCount]int8

// Dimensions with names of their own.
var (
	Ratio       = Dimension{}
	Length      = Dimension{AxisLength: 1}
	Area        = Dimension{AxisLength: 2}
	Volume      = Dimension{AxisLength: 3}
	Mass        = Dimension{AxisMass: 1}
	Time        = Dimension{AxisTime: 1}
	Temperature = Dimension{AxisLevel: 1}
	Interval    = Dimension{AxisInterval: 1}
	Money       = Dimension{AxisMoney: 1}
	Flow        = Dimension{AxisLength: 3, AxisTime: -1}
	LineFlow    = Dimension{AxisLength: 2, AxisTime: -1} // flow for each length of tape
	Pressure    = Dimension{AxisMass: 1, AxisLength: -1, AxisTime: -2}
	Speed       = Dimension{AxisLength: 1, AxisTime: -1}
	LineMass    = Dimension{AxisMass: 1, AxisLength: -1} // mass for each length of row
	AreaMass    = Dimension{AxisMass: 1, AxisLength: -2}
	Density     = Dimension{AxisMass: 1, AxisLength: -3}
	PerMass     = Dimension{AxisMass: -1} // a number for each mass
	Force       = Dimension{AxisMass: 1, AxisLength: 1, AxisTime: -2}
	Energy      = Dimension{AxisMass: 1, AxisLength: 2, AxisTime: -2}
	LineTime    = Dimension{AxisTime: 1, AxisLength: -1}  // work for each length of row
	AreaTime    = Dimension{AxisTime: 1, AxisLength: -2}  // work for each area
	MassRate    = Dimension{AxisMass: 1, AxisTime: -1}    // picked in a time
	DegreeDays  = Dimension{AxisInterval: 1, AxisTime: 1} // warmth summed over days
	Torque      = Dimension{AxisMass: 1, AxisLength: 2, AxisTime: -2, AxisAngle: -1}
)

type namedDimension struct {
	dim           Dimension
	article, name string
}

// dimensionNames holds the noun of each named dimension with its article.
var dimensionNames = []namedDimension{
	{Ratio, "a", "plain ratio"},
	{Length, "a", "length"},
	{Area, "an", "area"},
	{Volume, "a", "volume"},
	{Mass, "a", "mass"},
	{Time, "a", "time"},
	{Temperature, "a", "temperature"},
	{Interval, "a", "temperature difference"},
	{Money, "", "money"},
	{Flow, "a", "flow"},
	{LineFlow, "a", "flow for each length"},
	{Pressure, "a", "pressure"},
	{Speed, "a", "speed"},
	{LineMass, "a", "mass for each length"},
	{AreaMass, "a", "mass for each area"},
	{Density, "a", "density"},
	{PerMass, "a", "number for each mass"},
	{Force, "a", "force"},
	{Energy, "an", "energy"},
	{Torque, "a", "torque"},
	{LineTime, "a", "time for each length"},
	{AreaTime, "a", "time for each area"},
	{MassRate, "a", "mass in a time"},
	{DegreeDays, "", "degree days"},
}

// Noun gives the dimension as a sentence names it: "a length", "an area", "a flow for each length",
// "money". One without a name of its own gives its SI base units, such as "m^2 kg/s".
func (d Dimension) Noun() string {
	for _, n := range dimensionNames {
		if n.dim == d {
			return strings.TrimSpace(n.article + " " + n.name)
		}
	}
	return d.BaseUnits()
}

// Named tells whether the dimension is that of something measured, such as a length or a flow.
func (d Dimension) Named() bool {
	return slices.ContainsFunc(dimensionNames, func(n namedDimension) bool { return n.dim == d })
}

// Name gives the dimension without its article: "length", "flow for each length", else SI base units.
func (d Dimension) Name() string {
	for _, n := range dimensionNames {
		if n.dim == d {
			return n.name
		}
	}
	return d.BaseUnits()
}

// BaseUnits writes the dimension in SI base units: "m^2 kg/s^2/rad", "1/s", "1" for a plain ratio.
func (d Dimension) BaseUnits() string {
	var over []string
	var under strings.Builder
	for i, e := range d {
		switch {
		case e > 0:
			over = append(over, power(axisText[i], int(e)))
		case e < 0:
			under.WriteString("/" + power(axisText[i], -int(e)))
		}
	}
	if len(over) == 0 {
		return "1" + under.String()
	}
	return strings.Join(over, " ") + under.String()
}

func power(text string, e int) string {
	if e == 1 {
		return text
	}
	return text + "^" + strconv.Itoa(e)
}

// plus gives the dimension of a product (sign 1) or a quotient (sign -1); ok is false where an exponent
// would be past all sense.
func (d Dimension) plus(e Dimension, sign int) (sum Dimension, ok bool) {
	for i := range d {
		n := int(d[i]) + sign*int(e[i])
		if n < -maxExponent || n > maxExponent {
			return Dimension{}, false
		}
		sum[i] = int8(n)
	}
	return sum, true
}
