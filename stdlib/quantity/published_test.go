package quantity

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each row of the published conversions holds to half the last digit its source prints: the amounts in
// "a x b", multiplied, are so many of the unit. The row names its source, how the value was obtained and
// how far it can be trusted.
func TestPublishedConversions(t *testing.T) {
	file, err := os.Open("../../testdata/published/units.csv")
	require.NoError(t, err)
	defer func() { require.NoError(t, file.Close()) }()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"conversion", "value", "unit", "source", "how", "grade"}, rows[0])
	held := 0
	for _, row := range rows[1:] {
		conversion, value, unit, source := row[0], row[1], row[2], row[3]
		t.Run(conversion+" in "+unit, func(t *testing.T) {
			require.NotEmpty(t, source)
			require.Contains(t, []string{"seen", "computed", "memory"}, row[4])
			got := Of(1, Ratio)
			for _, text := range strings.Split(conversion, " x ") {
				factor, err := Parse(text)
				require.NoError(t, err)
				got, err = got.Mul(factor)
				require.NoError(t, err)
			}
			one, err := Parse("1 " + unit)
			require.NoError(t, err)
			require.Equal(t, one.Dim, got.Dim)
			want, err := Parse(value)
			require.NoError(t, err)
			require.InDelta(t, want.SI, got.SI/one.SI, halfLastDigit(value)*(1+1e-9))
			held++
		})
	}
	t.Logf("%d of %d published conversions hold", held, len(rows)-1)
}

// halfLastDigit gives half of what the last digit of a printed number counts.
func halfLastDigit(text string) float64 {
	mantissa, power, scientific := strings.Cut(text, "e")
	_, decimals, _ := strings.Cut(mantissa, ".")
	exponent := 0
	if scientific {
		exponent, _ = strconv.Atoi(power)
	}
	return 0.5 * math.Pow10(exponent-len(decimals))
}
