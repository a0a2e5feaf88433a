package crops

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func say(g Grade, low, high float64, source string) statement {
	return statement{Stated: Stated{Low: low, High: high, Grade: g, Source: source}}
}

func aside(s statement) statement { s.aside = true; return s }

func TestSettle(t *testing.T) {
	chart, guide, book := say(GradeC, 15, 15, "chart"), say(GradeC, 18, 24, "guide"), say(GradeMemory, 12, 18, "book")
	for name, k := range map[string]struct {
		said   []statement
		joins  bool
		low    float64
		high   float64
		grade  Grade
		source string
		others int
	}{
		"one":                           {[]statement{guide}, false, 18, 24, GradeC, "guide", 0},
		"best grade":                    {[]statement{book, guide}, false, 18, 24, GradeC, "guide", 1},
		"equals are put together":       {[]statement{chart, guide}, false, 15, 24, GradeC, "chart; guide", 2},
		"one covers its equals":         {[]statement{chart, say(GradeC, 12, 24, "wide")}, false, 12, 24, GradeC, "wide", 1},
		"narrow spacing joins":          {[]statement{chart, guide, book}, true, 12, 24, GradeMemory, "guide; book", 3},
		"wide spacing does not":         {[]statement{say(GradeB, 10, 21, "b"), book}, true, 10, 21, GradeB, "b", 1},
		"bed layout is told, not taken": {[]statement{aside(say(GradeB, 9, 9, "beds")), guide}, false, 18, 24, GradeC, "guide", 1},
		"told only":                     {[]statement{aside(guide)}, true, 0, 0, "", "", 1},
	} {
		r := settle(k.said, k.joins)
		require.Equal(t, []any{k.low, k.high, k.grade, k.source, k.others}, []any{r.Low, r.High, r.Grade, r.Source, len(r.Others)}, name)
	}
}

// TestSettleLaws: the range holds everything that the best grade says, never starts from an aside, and
// nothing that was said is lost.
func TestSettleLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		said := rapid.SliceOf(rapid.Custom(func(t *rapid.T) statement {
			low := float64(rapid.IntRange(1, 40).Draw(t, "low"))
			s := say(rapid.SampledFrom(gradeOrder).Draw(t, "grade"), low, low+float64(rapid.IntRange(0, 40).Draw(t, "more")), "s")
			s.aside = rapid.Bool().Draw(t, "aside")
			return s
		})).Draw(t, "said")
		r := settle(said, rapid.Bool().Draw(t, "joins"))
		best := -1
		for i, s := range said {
			if !s.aside && (best < 0 || byGrade(s.Grade, said[best].Grade) < 0) {
				best = i
			}
		}
		require.Equal(t, best >= 0, r.Known())
		low, high := false, false
		for _, s := range said {
			if !s.aside && s.Grade == said[best].Grade {
				require.True(t, r.Low <= s.Low && s.High <= r.High)
			}
			low, high = low || !s.aside && s.Low == r.Low, high || !s.aside && s.High == r.High
		}
		require.True(t, !r.Known() || low && high)
		require.Contains(t, []int{len(said), len(said) - 1}, len(r.Others))
	})
}
