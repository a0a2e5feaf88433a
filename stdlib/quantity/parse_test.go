package quantity

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	tests := []struct {
		texts string // one way of writing it beside the other
		dim   Dimension
		si    float64
	}{
		{"30 in | 30in | 30 inch | 30 inches | 30 Inches | 30\" | 30″ | 30.0 IN | 2 ft 6 in | 2ft6in | 2'6\" | 2′ 6″ | 2 1/2 ft | 2½ ft | 2.5 foot",
			Length, 0.762},
		{"1 1/2 in | 1.5 in | 3/2 in | 1½ in | 1 ½ in", Length, 0.0381},
		{"1/4 in | .25 in | ¼\" | 0.25 inches", Length, 0.00635},
		{"-2 ft 6 in | −30 in | - 30 in", Length, -0.762},
		{"1 yd 1 ft 6 in | 4.5 feet", Length, 1.3716},
		{"76 cm | 0.76 m | 760 mm | 0.76 meters | 7.6e-1 metre | 0.00076 km | 76 centimeters", Length, 0.76},
		{"17,424 sq ft | 17424 ft2 | 17424 ft^2 | 17424 ft² | 17424 sqft | 17424 square feet | 17,424 SQ FT | 17424 ft ft | 0.4 ac | 0.4 acres",
			Area, 1618.74256896},
		{"250 m² | 250 m2 | 250 sq m | 250 square metres | 0.025 ha", Area, 250},
		{"2 cu ft | 2 ft3 | 2 ft^3 | 2 ft³ | 2 cubic feet | 2 cubic_ft", Volume, 0.056633693184},
		{"1 gal | 4 quarts | 8 pints | 16 cups | 3 qt 1 pt 2 cups", Volume, 0.003785411784},
		{"1 acre-inch | 1 acre inch | 1 acre in | 1 acre-in | 1 acre_inch", Volume, 102.79015312896},
		{"3 lb 4 oz | 3.25 lb | 3 1/4 pounds | 52 ounces | 3.25 lbs", Mass, 1.4741752025},
		{"2 t | 2 tonnes | 2000 kg | 2 metric tons", Mass, 2000},
		{"2 tons | 2 short tons | 4,000 lb", Mass, 1814.36948},
		{"3 weeks | 21 days | 3 wk | 2 weeks 7 days", Time, 1814400},
		{"1 h 20 min | 80 minutes | 1 hr 20 min | 1h20min | 4800 s", Time, 4800},
		{"11 gpm | 11 gal/min | 11 gallons per minute | 660 gph | 660 gal per hour", Flow, 0.00069399216040},
		{"10 lph | 10 L/h | 10 l per h | 10 liters per hour | 10 litre / hr", Flow, 1. / 360_000},
		{"0.45 gpm per 100 ft | 0.45 gpm/100 ft | 0.45 gpm / 100 feet | 27 gph per 100 ft", LineFlow, 9.3144975e-07},
		{"6 lb per 100 ft | 0.06 lb/ft | 6 lb per 100 feet", LineMass, 0.0892898366141732},
		{"150 lb per acre | 150 lb/ac | 150 pounds per acre", AreaMass, 150 * 0.45359237 / 4046.8564224},
		{"5 ft/s | 5 ft per second", Speed, 1.524},
		{"10 m/s/s | 10 m/s^2 | 10 m per s per s", Dimension{AxisLength: 1, AxisTime: -2}, 10},
		{"8 psi", Pressure, 55158.058345346888},
		{"28 °F | 28 F | 28F | 28 degF | 28 deg F | 28 degrees Fahrenheit | 28 ° f | 28 degree F", Temperature, 270.927777777777},
		{"-2 °C | -2C | −2 degC | -2 degrees Celsius", Temperature, 271.15},
		{"1890 °F days | 1050 °C days | 1,890 degf days | 1890 degrees Fahrenheit days", DegreeDays, 1050 * 86400},
		{"9 °F difference | 5 °C difference | 5 K | 9 deg F difference", Interval, 5},
		{"85 % | 85% | 85 percent | 0.85 | 850000 ppm | 85 pct", Ratio, 0.85},
		{"30 | 30. | 3e1 | 60/2", Ratio, 30},
		{"1e-3 m", Length, 0.001},
		{"5 per s | 5/s", Dimension{AxisTime: -1}, 5},
		{"12.5 m^2 kg/s^2/rad", Torque, 12.5},
	}
	for _, test := range tests {
		for _, text := range strings.Split(test.texts, " | ") {
			t.Run(text, func(t *testing.T) {
				got, err := Parse(text)
				require.NoError(t, err)
				require.Equal(t, test.dim, got.Dim)
				require.InEpsilon(t, test.si, got.SI, 1e-12)
				spaced, err := Parse("  " + text + "\t")
				require.NoError(t, err)
				require.Equal(t, got, spaced)
			})
		}
	}
	require.Zero(t, read(t, "0 in").SI)
	require.Zero(t, read(t, "0/5 in").SI)
	require.False(t, math.Signbit(read(t, "0 in").SI))
}

func TestParseErrors(t *testing.T) {
	tests := []struct{ text, want string }{
		{"", `there is nothing to read: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{" \t", `there is nothing to read: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{"inches", `"inches" does not begin with a number: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{"-", `"-" does not begin with a number: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{". in", `". in" does not begin with a number: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{"--3 in", `"--3 in" does not begin with a number: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{"3 fot", `"fot" is not a unit; did you mean "ft"?`},
		{"3 Galons", `"Galons" is not a unit; did you mean "gallons"?`},
		{"3 wekks", `"wekks" is not a unit; did you mean "weeks"?`},
		{"3 sq foots", `"sq foots" is not a unit; did you mean "sq foot"?`},
		{"3 sq", `"sq" is not a unit; did you mean "sqm"?`},
		{"3 furlongs", `"furlongs" is not a unit: write one such as "in", "ft", "lb" or "gpm"`},
		{"3 lb per", `"3 lb per" ends where a unit belongs, such as "in" or "ft"`},
		{"3 lb per 100", `"3 lb per 100" ends where a unit belongs, such as "in" or "ft"`},
		{"3 lb per 100 fet", `"fet" is not a unit; did you mean "ft"?`},
		{"2 ft 6", `"2 ft 6" ends where a unit belongs, such as "in" or "ft"`},
		{"2 kg 3 ft", `"3 ft" in "2 kg 3 ft" is a length, not a mass`},
		{"6 in 2 ft", `"2 ft" in "6 in 2 ft": write the larger unit first, as in "2 ft 6 in"`},
		{"3 ft + 2 in", `"+ 2 in" in "3 ft + 2 in" was not understood: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{"1,5 m", `",5 m" in "1,5 m" was not understood: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{"1.2.3 m", `".3 m" in "1.2.3 m" was not understood: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{"2 ft - 6 in", `"- 6 in" in "2 ft - 6 in" was not understood: write a number and a unit, such as "30 in" or "2 ft 6 in"`},
		{"28 °F per day", `"per" follows a temperature; only a difference has a rate, such as "10 K per day"`},
		{"28 °", `"°" is not a unit: write one such as "in", "ft", "lb" or "gpm"`},
		{"5 m^0", `"^0" in "5 m^0" is not a power of a unit`},
		{"5 m^", `"^" in "5 m^" is not a power of a unit`},
		{"5 m^101", `"^101" in "5 m^101" is not a power of a unit`},
		{"5 m^60 m^60", `"5 m^60 m^60" multiplies more units than anything measured has`},
		{"5 ha^60", `"5 ha^60" multiplies more units than anything measured has`},
		{"1e999 m", `"1e999 m" is too large, or divides by nothing`},
		{"1 m per 0 s", `"1 m per 0 s" is too large, or divides by nothing`},
		{"0 m per 0 s", `"0 m per 0 s" is too large, or divides by nothing`},
	}
	for _, test := range tests {
		t.Run(test.text, func(t *testing.T) {
			got, err := Parse(test.text)
			require.EqualError(t, err, test.want)
			require.Zero(t, got)
		})
	}
}

func TestParseLongText(t *testing.T) {
	_, err := Parse("3 " + strings.Repeat("ft", 500_000))
	require.ErrorContains(t, err, "is not a unit: write one such as")
	_, err = Parse("3" + strings.Repeat(" ft", 500_000))
	require.ErrorContains(t, err, "multiplies more units than anything measured has")
}

// Whatever the text, reading it ends, in an error with a sentence or in a finite quantity that prints and
// reads back.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"", "30 in", "2 ft 6 in", "2'6\"", "1 1/2 ft", "½ cup", "-2 °C", "9 °F difference", "0.45 gpm per 100 ft", "10 L/h",
		"17,424 sq ft", "12.5 m^2 kg/s^2/rad", "5 per s", "85 %", "38 ppm", "1e300 km", "1e-300 mm", "1/0 in", "5 m^100", "5 ha^51",
		"1e999 m", "3 fot", "1,5 m", "2ft2 3in", "acre in", "5 acre in in", "3 K K", "\xff\xfe", "１ in", "3 in\x00", "5 deg", "5 ° per °",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := Parse(text)
		if err != nil {
			require.NotEmpty(t, err.Error())
			require.Zero(t, q)
			return
		}
		require.False(t, math.IsNaN(q.SI) || math.IsInf(q.SI, 0), text)
		if size := math.Abs(q.SI); size > hugeSI/10 {
			return
		}
		for _, s := range []System{US, Metric} {
			printed := s.Format(q)
			back, err := Parse(printed)
			require.NoError(t, err, printed)
			require.Equal(t, q.Dim, back.Dim, printed)
			require.Equal(t, printed, s.Format(back), text)
		}
	})
}
