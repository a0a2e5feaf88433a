package report

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

type color [3]float64 // linear red, green and blue

func parseColor(t *testing.T, hex string) color {
	var c color
	for i := range c {
		n, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		require.NoError(t, err)
		v := float64(n) / 255
		if v <= 0.04045 { // IEC 61966-2-1
			c[i] = v / 12.92
		} else {
			c[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return c
}

type matrix [3][3]float64

func (m matrix) times(c color) color {
	var out color
	for i := range out {
		for j := range c {
			out[i] += m[i][j] * c[j]
		}
	}
	return out
}

// What eyes without one kind of cone see, after Viénot, Brettel and Mollon, Color Research and
// Application 24 (1999) 243-252; the coefficients are from memory.
var (
	toCones   = matrix{{17.8824, 43.5161, 4.11935}, {3.45565, 27.1554, 3.86714}, {0.0299566, 0.184309, 1.46709}}
	fromCones = matrix{{0.0809444479, -0.130504409, 0.116721066}, {-0.0102485335, 0.0540193266, -0.113614708}, {-0.000365296938, -0.00412161469, 0.693511405}}
)

func protan(c color) color {
	v := toCones.times(c)
	v[0] = 2.02344*v[1] - 2.52581*v[2]
	return fromCones.times(v)
}

func deutan(c color) color {
	v := toCones.times(c)
	v[1] = 0.494207*v[0] + 1.24827*v[2]
	return fromCones.times(v)
}

// lab gives CIE L*a*b* for daylight.
func lab(c color) color {
	xyz := matrix{{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}}.times(c)
	var f color
	for i, white := range []float64{0.9505, 1, 1.089} {
		v := max(0, xyz[i]) / white
		if v > 0.008856 {
			f[i] = math.Cbrt(v)
		} else {
			f[i] = 7.787*v + 16.0/116
		}
	}
	return color{116*f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])}
}

func distance(a, b color) float64 {
	a, b = lab(a), lab(b)
	return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
}

func TestColorsCanBeToldApart(t *testing.T) {
	same := func(c color) color { return c }
	for i, a := range familyColors {
		for _, b := range familyColors[:i] {
			for eye, see := range map[string]func(color) color{"all cones": same, "no red cones": protan, "no green cones": deutan} {
				d := distance(see(parseColor(t, a)), see(parseColor(t, b)))
				require.Greater(t, d, 20.0, "%s and %s, %s", a, b, eye)
			}
		}
		// WCAG 2.1 asks 3:1 of graphics against what is next to them.
		for _, ground := range []string{bedColor, paperColor} {
			bright := func(hex string) float64 {
				c := parseColor(t, hex)
				return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
			}
			require.Greater(t, (bright(ground)+0.05)/(bright(a)+0.05), 3.0, "%s on %s", a, ground)
		}
	}
}

// As many families as there are pairs of colour and pattern look different.
func TestLooksDiffer(t *testing.T) {
	seen := map[[2]int]bool{}
	for i := range len(familyColors) * len(bandPatterns) {
		look := [2]int{i % len(familyColors), i % len(bandPatterns)}
		require.False(t, seen[look])
		seen[look] = true
	}
}

func TestCropCodes(t *testing.T) {
	taken := map[string]bool{}
	for _, c := range []struct{ name, want string }{
		{"bell pepper", "BP"}, {"beet", "Be"}, {"bean", "Ba"}, {"blue potato", "Bl"}, {"big purple", "Bi"}, {"", "X1"}, {"-", "X2"},
		{"ab", "Ab"}, {"aB", "A1"}, {"å", "Å1"}, {"three word name", "TWN"},
	} {
		require.Equal(t, c.want, cropCode(c.name, taken), c.name)
	}
}

func TestRoundLengths(t *testing.T) {
	for _, c := range []struct {
		most, want float64
		parts      int
	}{{1, 1, 2}, {1.9, 1, 2}, {2, 2, 4}, {4.99, 2, 4}, {5, 5, 5}, {99, 50, 5}, {100, 100, 2}, {0.03, 0.02, 4}} {
		n, parts := roundLength(c.most)
		require.InDelta(t, c.want, n, 1e-12)
		require.Equal(t, c.parts, parts)
	}
}
