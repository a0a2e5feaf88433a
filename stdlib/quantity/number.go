package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Bounds of plain decimals: an amount below the last decimal counts as nothing in print, one from
// mostPlain up is written with a power of ten.
const (
	printDecimals = 6
	mostPlain     = 1e12
)

// number writes x, at least 0, to so many significant digits, but never rounds whole units away nor
// writes more decimals than most. It also gives the value that the text says.
func number(x float64, digits, most int) (text string, said float64) {
	switch {
	case x >= math.MaxFloat64/2: // rounding up might leave the range
		text = strconv.FormatFloat(x, 'g', -1, 64)
	case x >= mostPlain:
		text = strconv.FormatFloat(x, 'g', digits, 64)
	default:
		text = trimZeros(strconv.FormatFloat(x*hair, 'f', min(decimalsFor(x, digits), most), 64))
	}
	said, _ = strconv.ParseFloat(text, 64)
	return text, said
}

// baseNumber writes x, at least 0, in four digits however small it is.
func baseNumber(x float64) (text string, said float64) {
	const digits, leastPlain = 4, 1e-4
	if x > 0 && x < leastPlain {
		text = strconv.FormatFloat(x, 'g', digits, 64)
		said, _ = strconv.ParseFloat(text, 64)
		return text, said
	}
	return number(x, digits, 2*digits)
}

// decimalsFor gives the decimals that show x in so many significant digits.
func decimalsFor(x float64, digits int) int {
	if x == 0 {
		return 0
	}
	return max(digits-1-int(math.Floor(math.Log10(x))), 0)
}

func trimZeros(text string) string {
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// hair lifts halves that binary left short, so that they round up; too little to lift whole numbers
// below mostPlain.
const hair = 1 + 1e-13

// slack is the relative error that unit conversions may leave in a float64.
const slack = 1e-9

func near(a, b float64) bool { return math.Abs(a-b) <= slack*max(math.Abs(a), math.Abs(b)) }
