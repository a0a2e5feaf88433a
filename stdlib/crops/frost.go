package crops

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strconv"
	"sync"

	"haulm/stdlib/quantity"
)

var frostNames = [...]string{FrostUnknown: "unknown", Hardy: "hardy", HalfHardy: "half-hardy", Tender: "tender", VeryTender: "very tender"}

// String gives the class as growers say it: "half-hardy".
func (f Frost) String() string {
	if int(f) < len(frostNames) {
		return frostNames[f]
	}
	return frostNames[FrostUnknown]
}

// ParseFrost reads what String writes, but not "unknown".
func ParseFrost(text string) (Frost, bool) {
	i := slices.Index(frostNames[:], text)
	return Frost(max(i, 0)), i > 0
}

// Kills tells whether a light frost ends the crop.
func (f Frost) Kills() bool { return f == Tender || f == VeryTender }

//go:embed frost.csv
var frostCSV string

// outing is when a class may go out.
type outing struct {
	days   int
	grade  Grade
	source string
	note   string
}

// outingKey is a class and the way it is set: as seed or as plants.
type outingKey struct {
	class Frost
	seed  bool
}

// outings reads the embedded rule once; that it reads is tested, so failing here cannot happen.
var outings = sync.OnceValue(func() map[outingKey]outing {
	all := map[outingKey]outing{}
	for i, r := range mustRows(frostCSV) {
		class, ok := ParseFrost(r[0])
		days, err := strconv.Atoi(r[2])
		if err != nil || !ok || (r[1] != "seed" && r[1] != "plants") {
			panic(fmt.Sprintf("frost.csv: row %d: class %q, set as %q, %v", i+2, r[0], r[1], err))
		}
		all[outingKey{class, r[1] == "seed"}] = outing{days, Grade(r[3]), r[4], r[5]}
	}
	return all
})

// FrostOffset gives the days after the average last frost (negative: before it) from which the crop may
// go out, sown in the row when direct is set, else as plants. The crop's own OffsetLastFrost comes
// first, its earliest day; after it the rule of the crop's frost class. The source is "" when neither is
// known.
func (c *Crop) FrostOffset(direct bool) (days int, source string) {
	if c.OffsetLastFrost.Known() {
		return int(math.Round(c.OffsetLastFrost.Low)), c.OffsetLastFrost.Source
	}
	o := outings()[outingKey{c.Frost, direct}]
	return o.days, joined(o.source, o.note)
}

// goesOut tells the rule of the crop's frost class in a sentence.
func (c *Crop) goesOut() Entry {
	plants, seed := outings()[outingKey{c.Frost, false}], outings()[outingKey{c.Frost, true}]
	first := plants
	if !c.Transplant {
		first = seed
	}
	text := fromFrost(float64(first.days), float64(first.days))
	if c.Transplant && c.Direct && seed.days != plants.days {
		text += ", seed " + fromFrost(float64(seed.days), float64(seed.days))
	}
	return Entry{Label: "goes out", Text: text, Range: Range{Grade: first.grade, Source: first.source, Note: first.note}}
}

// fromFrost writes days after the last frost: "24 to 36 weeks before the last frost".
func fromFrost(low, high float64) string {
	switch {
	case low == 0 && high == 0:
		return "on the last frost"
	case high <= 0:
		return Window.format(-high, -low, quantity.US) + " before the last frost"
	case low >= 0:
		return Window.format(low, high, quantity.US) + " after the last frost"
	}
	return fmt.Sprintf("%s before to %s after the last frost", Window.format(-low, -low, quantity.US), Window.format(high, high, quantity.US))
}
