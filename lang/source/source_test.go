package source_test

import (
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/source"
)

func at(line, col int32) source.Point { return source.Point{Line: line, Col: col} }

func TestLines(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"empty", "", []string{""}},
		{"one line", "a", []string{"a"}},
		{"line end at the end", "a\n", []string{"a", ""}},
		{"three kinds of line end", "a\nb\r\nc\rd", []string{"a", "b", "c", "d"}},
		{"empty lines of three kinds", "\n\r\n\r", []string{"", "", "", ""}},
		{"CR then CRLF", "a\r\r\nb", []string{"a", "", "b"}},
		{"wide", "é\n🌽 corn\r\n", []string{"é", "🌽 corn", ""}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := source.New("farm.star", c.text)
			got := []string{}
			for n := 1; n <= f.Lines(); n++ {
				got = append(got, f.Line(n))
			}
			require.Equal(t, c.want, got)
			require.Empty(t, f.Line(0))
			require.Empty(t, f.Line(f.Lines()+1))
		})
	}
}

func TestPlaces(t *testing.T) {
	f := source.New("farm.star", "a = 'é🌽x'\r\n\tb\rlast")
	for _, c := range []struct {
		name          string
		point         source.Point
		offset        int
		line          int
		utf16, bytes8 int
	}{
		{"start", at(1, 1), 0, 0, 0, 0},
		{"before é", at(1, 6), 5, 0, 5, 5},
		{"after é", at(1, 7), 7, 0, 6, 7},
		{"after the ear of corn", at(1, 8), 11, 0, 8, 11},
		{"end of the wide line", at(1, 10), 13, 0, 10, 13},
		{"after the tab", at(2, 2), 16, 1, 1, 1},
		{"after a lone CR", at(3, 1), 18, 2, 0, 0},
		{"end of the text", at(3, 5), 22, 2, 4, 4},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, c.offset, f.Offset(c.point))
			require.Equal(t, c.point, f.Point(c.offset))
			line, unit := f.UTF16(c.point)
			require.Equal(t, [2]int{c.line, c.utf16}, [2]int{line, unit})
			require.Equal(t, c.point, f.FromUTF16(line, unit))
			line, unit = f.UTF8(c.point)
			require.Equal(t, [2]int{c.line, c.bytes8}, [2]int{line, unit})
			require.Equal(t, c.point, f.FromUTF8(line, unit))
		})
	}
}

func TestPlacesAreClamped(t *testing.T) {
	f := source.New("farm.star", "ab\r\né🌽\nz")
	for _, c := range []struct {
		name  string
		point source.Point
		want  source.Point
	}{
		{"no place", at(0, 0), at(1, 1)},
		{"line before the first", at(-3, 9), at(1, 1)},
		{"column before the first", at(2, -1), at(2, 1)},
		{"past an ASCII line", at(1, 99), at(1, 3)},
		{"past a wide line", at(2, 99), at(2, 3)},
		{"past the last line", at(9, 1), at(3, 2)},
	} {
		t.Run(c.name, func(t *testing.T) { require.Equal(t, c.want, f.Point(f.Offset(c.point))) })
	}
	require.Equal(t, at(1, 1), f.Point(-1))
	require.Equal(t, at(3, 2), f.Point(1000))
	require.Equal(t, at(1, 3), f.Point(3), "inside CRLF")
	require.Equal(t, at(2, 1), f.Point(5), "inside é")
	require.Equal(t, at(2, 2), f.Point(9), "inside the ear of corn")

	require.Equal(t, at(2, 2), f.FromUTF16(1, 2), "inside a surrogate pair")
	require.Equal(t, at(2, 3), f.FromUTF16(1, 99))
	require.Equal(t, at(1, 3), f.FromUTF16(0, 99))
	require.Equal(t, at(1, 1), f.FromUTF16(0, -1))
	require.Equal(t, at(1, 1), f.FromUTF16(-1, 5))
	require.Equal(t, at(3, 2), f.FromUTF16(7, 0))
	require.Equal(t, at(2, 1), f.FromUTF8(1, 1), "inside é")
	require.Equal(t, at(2, 3), f.FromUTF8(1, 99))
	require.Equal(t, at(1, 1), f.FromUTF8(0, -1))
	require.Equal(t, at(1, 1), f.FromUTF8(-1, 5))
	require.Equal(t, at(3, 2), f.FromUTF8(7, 0))
	line, unit := f.UTF16(at(99, 99))
	require.Equal(t, [2]int{2, 1}, [2]int{line, unit})
	line, unit = f.UTF8(at(0, 0))
	require.Equal(t, [2]int{0, 0}, [2]int{line, unit})
}

func TestSpan(t *testing.T) {
	f, g := source.New("a.star", "x = 1\ny = 'é'\n"), source.New("b.star", "z")
	s := source.Span{File: f, Start: at(1, 5), End: at(2, 2)}
	require.Equal(t, "1\ny", s.Text())
	require.Equal(t, "a.star:1:5", s.String())
	require.Equal(t, s, f.Span(4, 7))
	require.Equal(t, "'é'", f.Span(10, 14).Text())
	require.Empty(t, f.Span(9, 3).Text())
	require.Empty(t, source.Span{File: f, Start: at(2, 1), End: at(1, 1)}.Text())

	require.False(t, s.Contains(at(1, 4)))
	require.True(t, s.Contains(at(1, 5)))
	require.True(t, s.Contains(at(2, 1)))
	require.False(t, s.Contains(at(2, 2)))
	require.False(t, f.Span(4, 4).Contains(at(1, 5)))

	var none source.Span
	require.False(t, none.IsValid())
	require.Empty(t, none.Text())
	require.Empty(t, none.String())
	require.False(t, none.Contains(at(1, 1)))
	inOrder := []source.Span{none, f.Span(0, 1), f.Span(0, 2), f.Span(1, 1), f.Span(6, 7), g.Span(0, 1)}
	for i, a := range inOrder {
		for j, b := range inOrder {
			want := 0
			if i < j {
				want = -1
			} else if i > j {
				want = 1
			}
			require.Equal(t, want, a.Compare(b), "%v with %v", a, b)
		}
	}
}

func TestReadersShareAFile(t *testing.T) {
	f := source.New("a.star", strings.Repeat("row('é')\n", 1000))
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			if f.Lines() != 1001 {
				t.Error("lines lost")
			}
		})
	}
	wait.Wait()
}

// Every place at the beginning of a character survives the way through each of the countings.
func checkRoundTrips(t require.TestingT, text string) {
	f := source.New("farm.star", text)
	lineEnds := 0
	for o := 0; o <= len(text); {
		p := f.Point(o)
		if o > 0 && o < len(text) && text[o-1] == '\r' && text[o] == '\n' {
			require.Equal(t, o-1, f.Offset(p), "inside CRLF at %d of %q", o, text)
		} else {
			require.Equal(t, o, f.Offset(p), "offset %d of %q", o, text)
			require.Equal(t, p, f.FromUTF16(f.UTF16(p)))
			require.Equal(t, p, f.FromUTF8(f.UTF8(p)))
			lineEnds = int(p.Line) - 1
		}
		if o == len(text) {
			break
		}
		_, size := utf8.DecodeRuneInString(text[o:])
		o += size
	}
	require.Equal(t, f.Lines()-1, lineEnds)
	plain := strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	require.Equal(t, strings.Count(plain, "\n")+1, f.Lines())
	var joined []string
	for n := 1; n <= f.Lines(); n++ {
		joined = append(joined, f.Line(n))
	}
	require.Equal(t, plain, strings.Join(joined, "\n"))
}

func TestRoundTrips(t *testing.T) {
	pieces := rapid.SampledFrom([]string{"a", " ", "\t", "\n", "\r\n", "\r", "é", "🌽", "plot", "\xff", "\xf0\x9f", "\u2028"})
	rapid.Check(t, func(t *rapid.T) {
		checkRoundTrips(t, strings.Join(rapid.SliceOf(pieces).Draw(t, "text"), ""))
	})
}

// An editor may send any place; the place understood lies in the text and comes back as itself.
func TestAnyPlaceIsUnderstood(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := source.New("a.star", rapid.StringOf(rapid.SampledFrom([]rune("aé🌽\r\n\t"))).Draw(t, "text"))
		line, unit := rapid.IntRange(-2, 12).Draw(t, "line"), rapid.IntRange(-2, 30).Draw(t, "unit")
		for _, p := range []source.Point{f.FromUTF16(line, unit), f.FromUTF8(line, unit)} {
			require.Equal(t, p, f.Point(f.Offset(p)))
		}
	})
}

func FuzzPlaces(f *testing.F) {
	for _, seed := range []string{"", "a\nb", "é🌽\r\n\tx\r", "\xff\r\n\xf0\x9f\x8c", "\ufeffa = 1\n"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) { checkRoundTrips(t, text) })
}
