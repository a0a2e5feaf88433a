//go:build e2e

package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// converters are the words that amounts are printed with, as Debian's units program spells them.
var converters = map[string]string{
	"ft": "foot", "in": "inch", "m": "meter", "cm": "centimeter", "mm": "millimeter",
	"gpm": "gallon/minute", "gph": "gallon/hour", "lph": "liter/hour", "lps": "liter/second",
	"psi": "psi", "kPa": "kilopascal", "gal": "gallon", "l": "liter", "m³": "meter^3",
	"lb": "pound", "oz": "ounce",
	"cup": "cup",
	"h":   "hour", "min": "minute", "%": "percent",
}

// base are the keys of SI numbers in JSON, in the same way, with the decimals that they are written with.
var base = map[string]struct {
	unit     string
	decimals int
}{
	"m": {"meter", 6}, "kg": {"kilogram", 6}, "m3": {"meter^3", 6}, "m3_per_s": {"meter^3/second", 10}, "pa": {"pascal", 2}, "s": {"second", 1}, "ratio": {"1", 6},
}

// Every amount that the tables of water and the shopping list print is, by the units program of Debian, the SI number beside it within
// the digits that are printed.
func TestUnitsAgree(t *testing.T) {
	binary := filepath.Join(t.TempDir(), "haulm")
	out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput()
	require.NoError(t, err, "%s", out)
	for _, example := range []string{"season", "metric"} {
		for _, table := range []string{"water", "watering", "tape", "shopping"} {
			t.Run(example+"/"+table, func(t *testing.T) {
				show := exec.Command(binary, "show", table, "--as", "json")
				show.Dir = filepath.Join("..", "..", "examples", example)
				text, err := show.Output()
				require.NoError(t, err)
				var tree any
				require.NoError(t, json.Unmarshal(text, &tree))
				checked := map[string]bool{}
				amounts(tree, func(key, text string, si float64) {
					if id := fmt.Sprint(key, text, si); !checked[id] {
						checked[id] = true
						agrees(t, key, text, si)
					}
				})
				require.NotEmpty(t, checked)
			})
		}
	}
}

// amounts visits every {"m": 0.4572, "text": "18 in"}.
func amounts(tree any, visit func(key, text string, si float64)) {
	switch v := tree.(type) {
	case []any:
		for _, e := range v {
			amounts(e, visit)
		}
	case map[string]any:
		text, printed := v["text"].(string)
		for key, e := range v {
			if si, ok := e.(float64); ok && printed {
				visit(key, text, si)
				continue
			}
			amounts(e, visit)
		}
	}
}

// agrees converts the printed text and half of its last digit with the units program.
func agrees(t *testing.T, key, text string, si float64) {
	to, ok := base[key]
	require.True(t, ok, "an amount under %q", key)
	words := strings.Fields(text)
	require.Zero(t, len(words)%2, "%q is numbers, each with its unit", text)
	var terms []string
	half := ""
	for i := 0; i < len(words); i += 2 {
		unit, ok := converters[words[i+1]]
		require.True(t, ok, "%q of %q", words[i+1], text)
		terms = append(terms, words[i]+" "+unit)
		half = strconv.FormatFloat(lastDigit(t, words[i], len(words) == 2)/2, 'g', -1, 64) + " " + unit
	}
	slack := convert(t, half, to.unit) + math.Pow10(-to.decimals)
	require.InDelta(t, si, convert(t, strings.Join(terms, " + "), to.unit), slack*(1+1e-9), "%q is not %v %s", text, si, to.unit)
}

// lastDigit gives what the last digit of a printed number stands for. A number on its own has at least three,
// of which zeros after the point are not printed.
func lastDigit(t *testing.T, number string, alone bool) float64 {
	v, err := strconv.ParseFloat(number, 64)
	require.NoError(t, err)
	_, after, _ := strings.Cut(number, ".")
	digit := math.Pow10(-len(after))
	if alone && v != 0 {
		digit = min(digit, math.Pow10(int(math.Floor(math.Log10(math.Abs(v))))-2))
	}
	return digit
}

func convert(t *testing.T, from, to string) float64 {
	units := exec.Command("units", "--terse", "--output-format", "%.15g", from, to)
	units.Env = []string{"LC_ALL=C.UTF-8", "PATH=/usr/bin:/bin"}
	out, err := units.CombinedOutput()
	require.NoError(t, err, "units %q %q: %s (Debian: apt install units)", from, to, out)
	v, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	require.NoError(t, err)
	return v
}
