package quantity

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestFormat(t *testing.T) {
	tests := []struct {
		say        string
		us, metric string
	}{
		{"14 in", "14 in", "35.56 cm"},
		{"30 in", "2 ft 6 in", "76.2 cm"},
		{"1/4 in", "0.25 in", "6.35 mm"},
		{"0.625 in", "0.625 in", "1.588 cm"},
		{"1/16 in", "0.0625 in", "1.588 mm"},
		{"23.96 in", "23.96 in", "60.86 cm"},
		{"23.9996 in", "2 ft", "60.96 cm"},
		{"2 ft", "2 ft", "60.96 cm"},
		{"35.96 in", "3 ft", "91.34 cm"}, // never 2 ft 12 in
		{"3 ft 0.04 in", "3 ft", "91.54 cm"},
		{"6.5 ft", "6 ft 6 in", "1.981 m"},
		{"6 ft 5.5 in", "6 ft 5.5 in", "1.969 m"},
		{"52 ft", "52 ft", "15.85 m"},
		{"99 ft 11.96 in", "100 ft", "30.48 m"},
		{"120.5 ft", "120 ft 6 in", "36.73 m"},
		{"999 ft 11.7 in", "1000 ft", "304.8 m"},
		{"5280.4 ft", "5280 ft", "1609 m"},
		{"3 mm", "0.1181 in", "3 mm"},
		{"9.9999 mm", "0.3937 in", "1 cm"},
		{"76 cm", "2 ft 5.9 in", "76 cm"},
		{"99.999 cm", "3 ft 3.4 in", "1 m"},
		{"15.8 m", "51 ft 10 in", "15.8 m"},
		{"0 ft", "0 in", "0 cm"},
		{"-30 in", "-2 ft 6 in", "-76.2 cm"},
		{"640 sq ft", "640 sq ft", "59.46 m²"},
		{"17,424 sq ft", "17424 sq ft", "1619 m²"},
		{"21779.9 sq ft", "0.5 acre", "2023 m²"},
		{"1 acre", "1 acre", "4047 m²"},
		{"1.2 acres", "1.2 acres", "4856 m²"},
		{"0.8 ha", "1.977 acres", "8000 m²"},
		{"2 ha", "4.942 acres", "2 ha"},
		{"0 ac", "0 sq ft", "0 m²"},
		{"1/2 cup", "0.5 cup", "118.3 mL"},
		{"2 cups", "2 cups", "473.2 mL"},
		{"3 pints", "1.5 qt", "1.42 L"},
		{"120 gal", "120 gal", "454.2 L"},
		{"999.99 ml", "1.057 qt", "1 L"},
		{"2.5 cubic_m", "660.4 gal", "2.5 m³"},
		{"3 lb 4 oz", "3.25 lb", "1.474 kg"},
		{"6 oz", "6 oz", "170.1 g"},
		{"15.9999 oz", "1 lb", "453.6 g"},
		{"4500 lb", "4500 lb", "2.041 t"},
		{"12 tons", "12 tons", "10.89 t"},
		{"750 kg", "1653 lb", "750 kg"},
		{"10 days", "10 days", "10 days"},
		{"1 day", "1 day", "1 day"},
		{"7 days", "1 week", "1 week"},
		{"21 days", "3 weeks", "3 weeks"},
		{"20.99999 days", "3 weeks", "3 weeks"},
		{"2.5 weeks", "17.5 days", "17.5 days"},
		{"84 days", "12 weeks", "12 weeks"},
		{"91 days", "91 days", "91 days"},
		{"80 min", "1 h 20 min", "1 h 20 min"},
		{"59 min 59.7 s", "1 h", "1 h"},
		{"23 h 59.8 min", "1 day", "1 day"},
		{"90 s", "1 min 30 s", "1 min 30 s"},
		{"12.5 s", "12.5 s", "12.5 s"},
		{"0 h", "0 days", "0 days"},
		{"11 gpm", "11 gpm", "2498 lph"},
		{"1 lps", "15.9 gpm", "1 lps"},
		{"0.5 gph", "0.5 gph", "1.89 lph"},
		{"0.45 gpm per 100 ft", "0.45 gpm per 100 ft", "3.35 lph per m"},
		{"5.6 lph per m", "0.752 gpm per 100 ft", "5.6 lph per m"},
		{"6 lb per 100 ft", "6 lb per 100 ft", "89.3 g per m"},
		{"1 oz per 100 ft", "1 oz per 100 ft", "0.93 g per m"},
		{"1.5 lb/ft", "150 lb per 100 ft", "2.23 kg per m"},
		{"150 lb/acre", "150 lb per acre", "168 kg per ha"},
		{"12 tonne/ha", "5.35 tons per acre", "12 t per ha"},
		{"48 lb/ft3", "48 lb per cu ft", "769 kg per m³"},
		{"8 psi", "8 psi", "55.2 kPa"},
		{"1 bar", "14.5 psi", "100 kPa"},
		{"0.25 in/day", "0.25 in per day", "6.35 mm per day"},
		{"0.5 in per h", "0.5 in per h", "12.7 mm per h"},
		{"5 ft/s", "5 ft per s", "1.52 m per s"},
		{"28 °F", "28 °F", "-2.2 °C"},
		{"-2 °C", "28.4 °F", "-2 °C"},
		{"31.98 °F", "32 °F", "0 °C"}, // not -0 °C
		{"-0.04 °F", "0 °F", "-17.8 °C"},
		{"1890 °F days", "1890 °F days", "1050 °C days"},
		{"18 °F difference", "18 °F difference", "10 °C difference"},
		{"-9 °F difference", "-9 °F difference", "-5 °C difference"},
		{"85 %", "85 %", "85 %"},
		{"100 %", "100 %", "100 %"},
		{"38 ppm", "38 ppm", "38 ppm"},
		{"1200 ppm", "1200 ppm", "1200 ppm"},
		{"3.2 %", "3.2 %", "3.2 %"},
		{"0", "0 %", "0 %"},
		{"2.5", "2.5", "2.5"},
		{"12.34 money", "12.34 money", "12.34 money"},
		{"50 m kg/s^2", "50 m kg/s^2", "50 m kg/s^2"},
		{"12.5 m^2 kg/s^2/rad", "12.5 m^2 kg/s^2/rad", "12.5 m^2 kg/s^2/rad"},
		{"4 per s", "4 per s", "4 per s"},
	}
	for _, test := range tests {
		t.Run(test.say, func(t *testing.T) {
			q := read(t, test.say)
			require.Equal(t, test.us, US.Format(q))
			require.Equal(t, test.metric, Metric.Format(q))
			require.Equal(t, test.us, Both.Format(q))
		})
	}
}

func TestShort(t *testing.T) {
	tests := []struct {
		say        string
		us, metric string
	}{
		{"14 in", "14 in", "35.56 cm"},
		{"30 in", "30 in", "76.2 cm"},
		{"4 ft", "48 in", "1.219 m"},
		{"48.003 in", "48 in", "1.219 m"}, // reads back within the inches
		{"4 ft 1 in", "4 ft 1 in", "1.245 m"},
		{"76 cm", "29.92 in", "76 cm"},
		{"1.2 m", "47.24 in", "120 cm"},
		{"1.2 mm", "0.04724 in", "1.2 mm"},
		{"1.21 m", "47.64 in", "1.21 m"},
		{"0 in", "0 in", "0 cm"},
		{"-30 in", "-30 in", "-76.2 cm"},
		{"3 weeks", "3 weeks", "3 weeks"},
		{"28 °F", "28 °F", "-2.2 °C"},
	}
	for _, test := range tests {
		t.Run(test.say, func(t *testing.T) {
			q := read(t, test.say)
			require.Equal(t, test.us, US.Short(q))
			require.Equal(t, test.metric, Metric.Short(q))
		})
	}
}

func TestPrintNumbersThatAreNone(t *testing.T) {
	for _, s := range []System{US, Metric} {
		for _, d := range []Dimension{Ratio, Length, Temperature, Interval, Flow, Torque} {
			require.Equal(t, "unknown", s.Format(Of(math.NaN(), d)))
			require.Equal(t, "infinite", s.Short(Of(math.Inf(1), d)))
			require.Equal(t, "minus infinite", s.Format(Of(math.Inf(-1), d)))
		}
		require.NotContains(t, s.Format(Of(math.Copysign(0, -1), Length)), "-")
		require.NotContains(t, s.Format(Meters(-1e-12)), "-")
	}
}

// What subtraction and conversion leave over never shows.
func TestNoBinaryNoise(t *testing.T) {
	inch, _ := UnitNamed("inch")
	require.Equal(t, "0 in", US.Format(Meters(0.3-3*0.1)))
	require.Equal(t, "0.3 in", US.Format(inch.Of(0.1+0.2)))
	require.Equal(t, "29.9 in", US.Short(inch.Of(30-0.1)))
	sum := Meters(0)
	for range 30 {
		sum.SI += inch.SI
	}
	require.Equal(t, "30 in", US.Short(sum))
	require.Equal(t, "2 ft 6 in", US.Format(sum))
}

var (
	ascendingFeet = regexp.MustCompile(`ft (\d+(?:\.\d+)?) in`)
	numbersIn     = regexp.MustCompile(`\d+(?:\.\d+)?`)
)

// The laws of print: what is printed can be read; it is the quantity to half the last digit that the
// form has, four digits or a tenth of an inch, a minute or a second; printing what was read gives the
// same text; and the text has no minus before nothing, no carry left over, no more than six decimals.
func TestPrintLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anyQuantity(t, "q")
		for _, s := range []System{US, Metric} {
			for _, show := range []func(Quantity) string{s.Format, s.Short} {
				text := show(q)
				back, err := Parse(text)
				require.NoError(t, err, text)
				require.Equal(t, q.Dim, back.Dim, text)
				require.InDelta(t, q.SI, back.SI, tolerance(s, q, text), "%v is printed %s", q.SI, text)
				require.Equal(t, text, show(back), "%v", q.SI)

				if m := ascendingFeet.FindStringSubmatch(text); m != nil {
					require.Less(t, read(t, m[1]).SI, 12.0, text)
				}
				if strings.HasPrefix(text, "-") {
					require.Regexp(t, "[1-9]", text)
				}
				if len(s.formsOf(q.Dim)) > 0 {
					for _, n := range numbersIn.FindAllString(text, -1) {
						_, decimals, _ := strings.Cut(n, ".")
						require.LessOrEqual(t, len(decimals), 6, text)
					}
				}
			}
		}
	})
}

// tolerance is half of the last digit that print may round to: of three significant digits, or what
// the smaller unit of a compound is counted in, or the sixth decimal.
func tolerance(s System, q Quantity, text string) float64 {
	const digit3 = 0.5e-2
	switch {
	case q.Dim == Temperature || q.Dim == Interval:
		return 0.05*s.degree() + 0.5e-7*math.Abs(q.SI)
	case strings.Contains(text, " ft") && q.Dim == Length && math.Abs(q.SI) < 1000*0.3048:
		step := 0.1
		if math.Abs(q.SI) >= 99.99*0.3048 {
			step = 1
		}
		return step / 2 * 0.0254 * (1 + 1e-9)
	case q.Dim == Time && math.Abs(q.SI) >= 59.95 && math.Abs(q.SI) < 86400:
		step := 1.0
		if math.Abs(q.SI) >= 3599 {
			step = 60
		}
		return step / 2 * (1 + 1e-9)
	}
	least := 1.0
	if fs := s.formsOf(q.Dim); len(fs) > 0 {
		least = fs[0].si()
	}
	return max(digit3*math.Abs(q.SI), 0.5e-6*least) * (1 + 1e-9)
}

// Larger amounts never print as smaller ones.
func TestPrintKeepsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyQuantity(t, "a")
		b := Of(a.SI*(1+rapid.Float64Range(0, 0.1).Draw(t, "more")), a.Dim)
		if a.SI > b.SI {
			a, b = b, a
		}
		for _, s := range []System{US, Metric} {
			low, high := read(t, s.Format(a)), read(t, s.Format(b))
			require.LessOrEqual(t, low.SI, high.SI+math.Abs(high.SI)*1e-12, "%s and %s", s.Format(a), s.Format(b))
		}
	})
}

func TestSpread(t *testing.T) {
	gal, acre := must(UnitNamed("gal")).SI, must(UnitNamed("acre")).SI
	require.Equal(t, "50 gal per acre", US.Spread(50*gal/acre))
	require.Equal(t, "468 m³ per ha", Metric.Spread(0.0468))
	require.Equal(t, "1 qt per acre", US.Spread(0.25*gal/acre))
}

func must(u Unit, ok bool) Unit {
	if !ok {
		panic("no such unit")
	}
	return u
}
