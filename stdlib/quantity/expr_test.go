package quantity

import (
	"fmt"
	"go/ast"
	goparser "go/parser"
	gotoken "go/token"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestExpr(t *testing.T) {
	tests := []struct {
		say        string
		us, metric string
	}{
		{"14 in", "14 * inch", "35.56 * cm"},
		{"12 in", "12 * inch", "30.48 * cm"},
		{"24 in", "2 * ft", "60.96 * cm"},
		{"30 in", "30 * inch", "76.2 * cm"},
		{"36 in", "3 * ft", "91.44 * cm"},
		{"4 ft 6 in", "4.5 * ft", "1.3716 * m"},
		{"6.5 ft", "6.5 * ft", "1.9812 * m"},
		{"77 in", "77 * inch", "1.9558 * m"},
		{"77.5 in", "77.5 * inch", "1.9685 * m"},
		{"52 ft", "52 * ft", "15.8496 * m"},
		{"1234.56 ft", "1234.56 * ft", "376.294 * m"},
		{"1/4 in", "0.25 * inch", "6.35 * mm"},
		{"3 mm", "0.11811 * inch", "3 * mm"},
		{"15 mm", "0.590551 * inch", "1.5 * cm"},
		{"76 cm", "29.9213 * inch", "76 * cm"},
		{"120 cm", "47.2441 * inch", "120 * cm"},
		{"2 m", "6.56168 * ft", "2 * m"},
		{"15.8 m", "51.8373 * ft", "15.8 * m"},
		{"-14 in", "-14 * inch", "-35.56 * cm"},
		{"0 in", "0 * inch", "0 * cm"},
		{"640 sq ft", "640 * sqft", "59.4579 * sqm"},
		{"1 acre", "1 * acre", "4046.86 * sqm"},
		{"3.25 lb", "3.25 * lb", "1.47418 * kg"},
		{"3 lb 5 oz", "53 * oz", "1.50252 * kg"},
		{"11 gpm", "11 * gpm", "2498.37 * lph"},
		{"0.45 gpm per 100 ft", "0.45 * gpm / (100 * ft)", "3.35322 * lph / m"},
		{"6 lb per 100 ft", "6 * lb / (100 * ft)", "89.2898 * g / m"},
		{"150 lb/acre", "150 * lb / acre", "168.128 * kg / ha"},
		{"0.25 in per day", "0.25 * inch / days", "6.35 * mm / days"},
		{"32 psi", "32 * psi", "220.632 * kpa"},
		{"10 days", "10 * days", "10 * days"},
		{"14 days", "2 * weeks", "2 * weeks"},
		{"7 days", "1 * weeks", "1 * weeks"},
		{"80 min", "80 * minutes", "80 * minutes"},
		{"90 min", "1.5 * hours", "1.5 * hours"},
		{"28 °F", "degf(28)", "degc(-2.22222)"},
		{"-2 °C", "degf(28.4)", "degc(-2)"},
		{"0 °C", "degf(32)", "degc(0)"},
		{"1890 °F days", "1890 * degf_days", "1050 * degc_days"},
		{"10 °F difference", "degf(10) - degf(0)", "degc(5.55556) - degc(0)"},
		{"85 %", "85 * percent", "85 * percent"},
		{"38 ppm", "38 * ppm", "38 * ppm"},
		{"2.5", "2.5", "2.5"},
		{"5 per s", "5 / seconds", "5 / seconds"},
		{"12.5 m^2 kg/s^2", "12.5 * m * m * kg / seconds / seconds", "12.5 * m * m * kg / seconds / seconds"},
		{"1e-8 m^4", "1e-08 * m * m * m * m", "1e-08 * m * m * m * m"},
		{"12 money", "", ""},
		{"5 m^2 kg/s^2/rad", "", ""},
		{"5 K/m", "", ""},
	}
	for _, test := range tests {
		t.Run(test.say, func(t *testing.T) {
			q := read(t, test.say)
			require.Equal(t, test.us, US.Expr(q))
			require.Equal(t, test.metric, Metric.Expr(q))
		})
	}
	require.Equal(t, `float("nan") * m`, Metric.Expr(Meters(math.NaN())))
	require.Equal(t, `float("+inf") * m`, US.Expr(Meters(math.Inf(1))))
	require.Equal(t, `float("-inf") * m`, US.Expr(Meters(math.Inf(-1))))
	require.Equal(t, `degf(float("nan"))`, US.Expr(Of(math.NaN(), Temperature)))
	require.Equal(t, "0 * inch", US.Expr(Meters(0.3-3*0.1)))
}

// Plan text, reckoned as a plan would, is worth the quantity to six digits.
func TestExprLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anyQuantity(t, "q")
		for _, s := range []System{US, Metric} {
			text := s.Expr(q)
			if q.Dim[AxisMoney] != 0 || q.Dim[AxisAngle] != 0 {
				require.Empty(t, text)
				continue
			}
			expr, err := goparser.ParseExpr(text)
			require.NoError(t, err, text)
			got, err := reckon(expr)
			require.NoError(t, err, text)
			require.Equal(t, q.Dim, got.Dim, text)
			least := 1e-300
			if fs := s.formsOf(q.Dim); len(fs) > 0 {
				for i := range fs {
					least = max(least, fs[i].si()*1e-9)
				}
			} else if q.Dim == Temperature || q.Dim == Interval {
				least = 0.5e-5 * (math.Abs(q.SI) + 500) // six digits of a reading, whose zero is elsewhere
			}
			require.InDelta(t, q.SI, got.SI, max(0.51e-5*math.Abs(q.SI), least), text)
		}
	})
}

// reckon works out plan text, whose arithmetic Go's parser reads too.
func reckon(e ast.Expr) (Quantity, error) {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return reckon(e.X)
	case *ast.BasicLit:
		n, err := strconv.ParseFloat(e.Value, 64)
		return Of(n, Ratio), err
	case *ast.Ident:
		if u, ok := UnitNamed(e.Name); ok {
			return u.Of(1), nil
		}
	case *ast.UnaryExpr:
		q, err := reckon(e.X)
		return q.Scale(-1), err
	case *ast.CallExpr:
		q, err := reckon(e.Args[0])
		if err != nil {
			return q, err
		}
		switch e.Fun.(*ast.Ident).Name {
		case "degf":
			return Fahrenheit(q.SI), nil
		case "degc":
			return Celsius(q.SI), nil
		}
	case *ast.BinaryExpr:
		a, err := reckon(e.X)
		if err != nil {
			return a, err
		}
		b, err := reckon(e.Y)
		if err != nil {
			return b, err
		}
		switch e.Op {
		case gotoken.MUL:
			return a.Mul(b)
		case gotoken.QUO:
			return a.Div(b)
		case gotoken.SUB:
			return a.Sub(b)
		}
	}
	return Quantity{}, fmt.Errorf("no plan text: %v", e)
}

// A length of whole inches or centimeters comes back as such, not as a fraction of a longer unit.
func TestExprKeepsWholeNumbers(t *testing.T) {
	for n := 1; n <= 2000; n++ {
		inches, _, ok := strings.Cut(US.Expr(read(t, fmt.Sprint(n, " in"))), " * ")
		require.True(t, ok)
		require.NotRegexp(t, `\.\d{3}`, inches, n)
		cm, _, ok := strings.Cut(Metric.Expr(read(t, fmt.Sprint(n, " cm"))), " * ")
		require.True(t, ok)
		require.NotRegexp(t, `\.\d{3}`, cm, n)
	}
}
