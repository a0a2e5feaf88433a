package diag

import (
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/source"
)

func at(f *source.File, line, col, endLine, endCol int32) source.Span {
	return source.Span{File: f, Start: source.Point{Line: line, Col: col}, End: source.Point{Line: endLine, Col: endCol}}
}

func TestSortOrder(t *testing.T) {
	a, b := source.New("a.star", "x\ny\n"), source.New("b.star", "x\n")
	rule := func(code string, s Severity) *Rule { return &Rule{Code: code, Severity: s} }
	want := []Diagnostic{
		{Rule: rule("z", Note), Message: "no place"},
		{Rule: rule("z", Error), Message: "m", Primary: Label{Span: at(a, 1, 1, 1, 1)}},
		{Rule: rule("z", Error), Message: "m", Primary: Label{Span: at(a, 1, 1, 1, 2)}},
		{Rule: rule("b", Warning), Message: "m", Primary: Label{Span: at(a, 1, 1, 1, 2)}},
		{Rule: rule("a", Note), Message: "m", Primary: Label{Span: at(a, 1, 1, 1, 2)}},
		{Rule: rule("b", Note), Message: "l", Primary: Label{Span: at(a, 1, 1, 1, 2)}},
		{Rule: rule("b", Note), Message: "m", Primary: Label{Span: at(a, 1, 1, 1, 2)}},
		{Rule: rule("b", Note), Message: "m", Primary: Label{Span: at(a, 1, 1, 1, 2)}, Fixes: []Fix{{Title: "f", Safe: true}}},
		{Rule: rule("b", Note), Message: "m", Primary: Label{Span: at(a, 1, 1, 1, 2)}, Fixes: []Fix{{Title: "f"}}},
		{Rule: rule("b", Note), Message: "m", Primary: Label{Span: at(a, 1, 1, 1, 2)}, Help: "h"},
		{Rule: rule("a", Error), Message: "m", Primary: Label{Span: at(a, 2, 1, 2, 2)}},
		{Rule: rule("a", Error), Message: "m", Primary: Label{Span: at(b, 1, 1, 1, 2)}},
	}
	for seed := range uint64(20) {
		got := append(slices.Clone(want), want[3], want[7]) // duplicates go
		rand.New(rand.NewPCG(seed, 1)).Shuffle(len(got), func(i, j int) { got[i], got[j] = got[j], got[i] })
		got = Sort(got)
		require.Len(t, got, len(want))
		for i := range want {
			require.Same(t, want[i].Rule, got[i].Rule, "place %d after shuffle %d", i, seed)
		}
	}
}

func TestDuplicatesOfAnotherReadingOfTheFileAreDropped(t *testing.T) {
	rule := &Rule{Code: "a"}
	var ds []Diagnostic
	for range 2 {
		f := source.New("gear.star", "x\n")
		ds = append(ds, Diagnostic{Rule: rule, Message: "m", Primary: Label{Span: at(f, 1, 1, 1, 2)}})
	}
	require.Len(t, Sort(ds), 1)
}

// What Apply gives is what replacing from the back by hand gives, and overlaps are refused.
func TestApplyAgreesWithReplacingFromTheBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.SampledFrom([]rune("ab🌽é ")), 0, 40, -1).Draw(t, "text")
		f := source.New("farm.star", text)
		runes := []rune(text)
		var fix Fix
		var plain []Edit
		last := 0
		for last < len(runes) && rapid.Bool().Draw(t, "more") {
			from := rapid.IntRange(last, len(runes)-1).Draw(t, "from")
			to := rapid.IntRange(from+1, len(runes)).Draw(t, "to")
			e := Edit{at(f, 1, int32(from)+1, 1, int32(to)+1), rapid.StringN(0, 3, -1).Draw(t, "new")}
			plain = append(plain, e)
			last = to
		}
		fix.Edits = rapid.Permutation(plain).Draw(t, "order")
		want := slices.Clone(runes)
		for _, e := range slices.Backward(plain) {
			want = slices.Replace(want, int(e.Span.Start.Col)-1, int(e.Span.End.Col)-1, []rune(e.Text)...)
		}
		got, err := Apply(fix)
		if err != nil {
			t.Fatal(err)
		}
		if len(plain) == 0 {
			if len(got) != 0 {
				t.Fatal("a fix without edits changed something")
			}
			return
		}
		if got[f] != string(want) {
			t.Fatalf("got %q, want %q", got[f], string(want))
		}
		e := plain[rapid.IntRange(0, len(plain)-1).Draw(t, "clash")]
		e.Text += "!"
		_, err = Apply(Fix{Edits: append(fix.Edits, e)})
		if _, ok := err.(*OverlapError); !ok {
			t.Fatalf("an overlap gave %v", err)
		}
	})
}

func TestTally(t *testing.T) {
	for _, c := range []struct {
		want string
		have []Severity
	}{
		{"no findings", nil},
		{"1 error", []Severity{Error}},
		{"2 errors, 1 warning, 3 notes", []Severity{Note, Error, Note, Warning, Error, Note}},
		{"2 warnings", []Severity{Warning, Warning}},
	} {
		var ds []Diagnostic
		for _, s := range c.have {
			ds = append(ds, Diagnostic{Rule: &Rule{Severity: s}})
		}
		require.Equal(t, c.want, Tally(ds))
	}
}

func FuzzText(f *testing.F) {
	f.Add("row(bench, at = 4 * ft)\n", int32(1), int32(5), int32(1), int32(9), 60)
	f.Add("\t🌽\r\n\x1b", int32(1), int32(2), int32(3), int32(1), 1)
	f.Add("", int32(9), int32(9), int32(1), int32(1), 0)
	f.Fuzz(func(t *testing.T, text string, line, col, endLine, endCol int32, width int) {
		if line < 1 || width > 1000 || line > 1000 || endLine > 1000 {
			return
		}
		s := at(source.New("farm.star", text), line, col, endLine, endCol)
		d := Diagnostic{Rule: &Rule{Code: "a"}, Message: text, Primary: Label{s, text}, Help: text,
			Fixes: []Fix{{Title: text, Safe: true, Edits: []Edit{{s, text}}}}}
		var w bytesOnly
		require.NoError(t, WriteText(&w, []Diagnostic{d}, TextOptions{Width: width}))
		require.NoError(t, WriteJSON(io.Discard, []Diagnostic{d}))
		require.NoError(t, WriteSARIF(io.Discard, []Diagnostic{d}))
		require.NoError(t, WriteGitHub(io.Discard, []Diagnostic{d}))
		ApplySafe([]Diagnostic{d})
	})
}

// bytesOnly checks that nothing written can steer a terminal.
type bytesOnly struct{}

func (*bytesOnly) Write(p []byte) (int, error) {
	for _, b := range p {
		if b < 0x20 && b != '\n' || b == 0x7f {
			return 0, fmt.Errorf("control character %#x", b)
		}
	}
	return len(p), nil
}

// Each finding on a long line shows its own part of it.
func TestLongLine(t *testing.T) {
	const n = 3000
	var line strings.Builder
	var ds []Diagnostic
	for i := range n {
		fmt.Fprintf(&line, "row(bench, at = %d), ", 10_000+i)
	}
	f := source.New("farm.star", line.String())
	size := int32(len("row(bench, at = 10000), "))
	for i := range int32(n) {
		start := i*size + int32(len("row(bench, at = ")) + 1
		ds = append(ds, Diagnostic{Rule: &Rule{Code: "a"}, Message: "m", Primary: Label{Span: at(f, 1, start, 1, start+5)}})
	}
	var page strings.Builder
	require.NoError(t, WriteText(&page, ds, TextOptions{}))
	lines := strings.Split(page.String(), "\n")
	for i := range n {
		shown, under := []rune(lines[i*5+2]), []rune(lines[i*5+3])
		from := slices.Index(under, '━')
		require.Equal(t, fmt.Sprint(10_000+i), string(shown[from:from+5]))
	}
}
