package eval_test

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"

	"haulm/lang/diag"
	"haulm/lang/eval"
)

const ground = `load("crops", "beet", "tomato")
farm("Test", year = 2027)
bench = plot("Bench", length = 50 * ft, width = 40 * ft)
`

func files(pairs ...string) fs.FS {
	out := fstest.MapFS{}
	for i := 0; i < len(pairs); i += 2 {
		out[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
	}
	return out
}

func run(text string) *eval.Result {
	return eval.Run(context.Background(), files("farm.star", text), "farm.star")
}

// codes lists findings as "code line:col-line:col".
func codes(ds []diag.Diagnostic) []string {
	out := []string{}
	for _, d := range ds {
		s := d.Primary.Span
		out = append(out, fmt.Sprintf("%s %d:%d-%d:%d", d.Rule.Code, s.Start.Line, s.Start.Col, s.End.Line, s.End.Col))
	}
	return out
}

func TestArgumentsPointAtTheText(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"sound":              {`row(bench, at = 4 * ft)`, []string{}},
		"zero needs no unit": {`row(bench, at = 0)`, []string{}},
		"None is not given":  {`row(bench, at = 4 * ft, start = None)`, []string{}},
		"bare number":        {`row(bench, at = 4)`, []string{"bare-number 4:17-4:18"}},
		"dimension":          {`row(bench, at = 4 * lb)`, []string{"wrong-dimension 4:17-4:23"}},
		"sum":                {`row(bench, at = 4 * ft + 2 * lb)`, []string{"wrong-dimension 4:17-4:32"}},
		"sum with number":    {`row(bench, at = 4 * ft + 2)`, []string{"bare-number 4:17-4:27"}},
		"unused sum":         {`x = 4 * ft + 2 * lb`, []string{"wrong-dimension 4:5-4:20"}},
		"type":               {`row("bench", at = 4 * ft)`, []string{"wrong-type 4:5-4:12"}},
		"range":              {`row(bench, at = 4000 * km)`, []string{"out-of-range 4:17-4:26"}},
		"unknown":            {`row(bench, at = 4 * ft, lenght = 3 * ft)`, []string{"unknown-argument 4:25-4:31"}},
		"unnamed":            {`row(bench, 4 * ft)`, []string{"unnamed-argument 4:12-4:18"}},
		"missing":            {`row(bench)`, []string{"missing-argument 4:1-4:4"}},
		"twice":              {`row(bench, at = 4 * ft, at = 5 * ft)`, []string{"duplicate-argument 4:25-4:36"}},
		"twice by place":     {`row(bench, plot = bench, at = 4 * ft)`, []string{"duplicate-argument 4:19-4:24"}},
		"choice":             {`trellis(row(bench, at = 4 * ft), style = "net ")`, []string{"unknown-choice 4:42-4:48"}},
		"date":               {`sow(row(bench, at = 4 * ft), beet, fill = True, on = "2027-02-30")`, []string{"bad-date 4:54-4:66"}},
		"amount":             {`sow(row(bench, at = 4 * ft), beet)`, []string{"amount-not-clear 4:1-4:4"}},
		"two amounts":        {`sow(row(bench, at = 4 * ft), beet, count = 3, fill = True)`, []string{"amount-not-clear 4:54-4:58"}},
		"bed":                {`row(bench, at = 4 * ft, lines = 3)`, []string{"missing-argument 4:33-4:34"}},
		"name":               {`row(benk, at = 4 * ft)`, []string{"unknown-name 4:5-4:9"}},
		"unit's spelling":    {`row(bench, at = 4 * feet)`, []string{"unknown-name 4:21-4:25"}},
		"hidden unit":        {`m = 3`, []string{"hides-a-unit 4:1-4:2"}},
		"compared":           {`x = bench.length == 50`, []string{"compares-quantity-with-number 4:5-4:23"}},
		"compared by size":   {`x = bench.length < 50`, []string{"compares-quantity-with-number 4:5-4:22"}},
		"star arguments":     {`row(*[bench], **{"at": 4})`, []string{"bare-number 4:15-4:26"}},
		"emoji before":       {`x = "🌽é"; row(bench, at = 4)`, []string{"bare-number 4:27-4:28"}},
		"many lines":         {"row(\n    bench,\n    at = 4,\n)", []string{"bare-number 6:10-6:11"}},
		"index":              {`x = [1, 2][5]`, []string{"cannot-evaluate 4:5-4:14"}},
		"failed":             {`fail("no such bench")`, []string{"cannot-evaluate 4:1-4:22"}},
		"second farm":        {`farm("Other", year = 2027)`, []string{"second-farm 4:1-4:5"}},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, codes(run(ground+c.text+"\n").Findings))
		})
	}
}

func TestFieldsKeepTheirText(t *testing.T) {
	r := run(ground + `
def bed(at, n = 12):
    r = row(bench, at = at)
    return sow(r, beet, count = n, spacing = 3 * inch)

for i in range(2):
    bed((4 + 4 * i) * ft)
`)
	require.Empty(t, r.Findings)
	require.Len(t, r.Farm.Plantings, 2)
	p := r.Farm.Plantings[1]
	require.Equal(t, 12, p.Count.Value)
	require.Equal(t, "n", p.Count.Span.Text())
	require.Equal(t, "3 * inch", p.Spacing.Span.Text())
	require.InDelta(t, 8*0.3048, p.Row.At.Value.SI, 1e-12)
	require.Len(t, p.Chain, 1)
	require.Equal(t, "bed((4 + 4 * i) * ft)", p.Chain[0].Text())
	require.False(t, p.Start.Given)
	require.Equal(t, p.Call, p.Start.Span)
}

func TestGoesOnAfterAFailure(t *testing.T) {
	r := run(ground + `
n = 2
def bed(at):
    return row(bench, at = at)

bed(4 * ft)
n = n + 1
broken = [][1]
n = n + 1
bed(8 * ft)
row(broken, at = 3 * ft)
return 3
late = bed(n * 4 * ft)
print(n, late)
`)
	require.ElementsMatch(t, []string{"cannot-evaluate 11:10-11:15", "cannot-evaluate 15:1-15:9"}, codes(r.Findings))
	require.Len(t, r.Farm.Rows, 3)
	require.InDelta(t, 16*0.3048, r.Farm.Rows[2].At.Value.SI, 1e-12)
	require.Len(t, r.Log, 1)
	require.Equal(t, `4 row ""`, r.Log[0].Text)
	require.Equal(t, "print(n, late)", r.Log[0].Span.Text())
}

func TestLoads(t *testing.T) {
	deep := []string{}
	for i := range 60 {
		deep = append(deep, fmt.Sprintf("d%d.star", i), fmt.Sprintf("load(\"./d%d.star\", x = \"y\")\ny = 1\n", i+1))
	}
	deep = append(deep, "d60.star", "y = 1\n", "farm.star", "load(\"./d0.star\", \"y\")\nfarm(\"Test\", year = 2027)\n")
	for name, c := range map[string]struct {
		files fs.FS
		want  []string
	}{
		"relative": {files("farm.star", `load("./a/b.star", "x")
farm("Test", year = x)
`, "a/b.star", "load(\"../c.star\", year = \"x\")\nx = year\n", "c.star", "x = 2027\n"), []string{}},
		"missing file": {files("farm.star", "load(\"./a.star\", \"x\")\nfarm(\"T\", year = x)\n"), []string{"load-not-found 1:6-1:16"}},
		"missing name": {files("farm.star", "load(\"crops\", \"tomatoe\")\nfarm(\"T\", year = 2027)\n"), []string{"unknown-name 1:16-1:23"}},
		"no module":    {files("farm.star", "load(\"crop\", \"tomato\")\nfarm(\"T\", year = 2027)\n"), []string{"load-not-found 1:6-1:12"}},
		"outside":      {files("farm.star", "load(\"../../etc/passwd\", \"x\")\nfarm(\"T\", year = 2027)\n"), []string{"load-outside-plan 1:6-1:24"}},
		"cycle":        {files("farm.star", "load(\"./a.star\", \"x\")\nfarm(\"T\", year = 2027)\n", "a.star", "load(\"./farm.star\", \"y\")\nx = 1\n"), []string{"load-cycle 1:6-1:19"}},
		"a folder":     {files("farm.star", "load(\"./a.star\", \"x\")\nfarm(\"T\", year = 2027)\n", "a.star/b", ""), []string{"load-not-found 1:6-1:16"}},
		"too deep":     {files(deep...), []string{"load-too-deep 1:6-1:18"}},
		"standard":     {files("farm.star", "load(\"dates\", \"every\")\nfarm(\"T\", year = every(\"2027-03-01\", 2 * weeks, 2)[1].year)\n"), []string{}},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, codes(eval.Run(context.Background(), c.files, "farm.star").Findings))
		})
	}
}

// A link that leads out of the root is refused by the file system that the command hands in.
func TestLinksOutAreRefused(t *testing.T) {
	dir := t.TempDir()
	secret := filepath.Join(dir, "secret.star")
	require.NoError(t, os.WriteFile(secret, []byte("x = 1\n"), 0o600))
	inside := filepath.Join(dir, "plan")
	require.NoError(t, os.Mkdir(inside, 0o700))
	require.NoError(t, os.Symlink(secret, filepath.Join(inside, "link.star")))
	require.NoError(t, os.WriteFile(filepath.Join(inside, "farm.star"),
		[]byte("load(\"./link.star\", \"x\")\nfarm(\"T\", year = 2027)\n"), 0o600))
	root, err := os.OpenRoot(inside)
	require.NoError(t, err)
	defer root.Close()
	r := eval.Run(context.Background(), root.FS(), "farm.star")
	require.Equal(t, []string{"load-outside-plan 1:6-1:19"}, codes(r.Findings))
}

// pipes is a plan's folder in which a file is a pipe that would never open.
type pipes struct{ fstest.MapFS }

func (p pipes) Open(name string) (fs.File, error) {
	if f := p.MapFS[name]; f != nil && f.Mode&fs.ModeNamedPipe != 0 {
		panic("this would wait for ever")
	}
	return p.MapFS.Open(name)
}

func TestPipesAreNotOpened(t *testing.T) {
	r := eval.Run(context.Background(), pipes{fstest.MapFS{
		"farm.star": {Data: []byte("load(\"./pipe.star\", \"x\")\nfarm(\"T\", year = 2027)\n")},
		"pipe.star": {Mode: fs.ModeNamedPipe},
	}}, "farm.star")
	require.Equal(t, []string{"load-not-found 1:6-1:19"}, codes(r.Findings))
}

// A file goes on after so many failures, and then says that it does not.
func TestGivesUp(t *testing.T) {
	r := run(ground + strings.Repeat("[][1]\n", 150) + "row(bench, at = 4 * ft)\n")
	require.Len(t, r.Findings, 101)
	last := r.Findings[100]
	require.Equal(t, "cannot-evaluate 104:1-104:6", codes(r.Findings)[100])
	require.Equal(t, "100 statements before this one failed, so the rest of the file was left out", last.Message)
	require.Empty(t, r.Farm.Rows)
}

// Calls are told apart by their place also on a line of many.
func TestManyCallsOnALine(t *testing.T) {
	const calls = 2000
	r := run(ground + "x = [" + strings.Repeat("row(bench, at = 1), ", calls) + "]\n")
	require.Len(t, r.Findings, calls)
	for i, d := range r.Findings {
		require.Equal(t, int32(len("x = [row(bench, at = ")+i*len("row(bench, at = 1), ")+1), d.Primary.Span.Start.Col)
	}
}

// Thousands of unknown names beside thousands of known ones come to an end, and a name is not told at any
// length.
func TestManyUnknownNames(t *testing.T) {
	var text strings.Builder
	for i := range 20_000 {
		fmt.Fprintf(&text, "known%d = 1\nprint(strange%d)\n", i, i)
	}
	r := run(ground + text.String() + strings.Repeat("z", 100_000) + "\n")
	require.Len(t, r.Findings, 20_001)
	for _, d := range r.Findings {
		require.Equal(t, "unknown-name", d.Rule.Code)
		require.Less(t, len(d.Message), 2000)
	}
}

func TestLongTextsAreRefused(t *testing.T) {
	r := run(ground + "plot(\"a\" * 501, length = 1 * ft, width = 1 * ft)\nplot(\"a\" * 500, length = 1e300 * ft, width = 1 * ft)\n")
	require.Equal(t, []string{"out-of-range 4:6-4:15", "out-of-range 5:26-5:36"}, codes(r.Findings))
	require.Less(t, len(r.Findings[1].Message), 100)
}

func TestLimits(t *testing.T) {
	for name, c := range map[string]struct{ text, code string }{
		"long text":           {`x = "a" * 1000000000`, "out-of-memory"},
		"long text by name":   {"ft = \"a\"\nx = ft * 1000000000", "out-of-memory"},
		"doubling text":       {"x = \"aaaaaaaa\"\nfor i in range(60):\n    x = x + x", "out-of-memory"},
		"doubling in place":   {"x = \"aaaaaaaa\"\nfor i in range(60):\n    x += x", "out-of-memory"},
		"doubling list":       {"x = [1]\nfor i in range(60):\n    x += x", "out-of-memory"},
		"long list":           {"x = list(range(1000000000))", "out-of-memory"},
		"joined":              {"x = (\"a\" * 10000000).join([\"\"] * 1000000)", "out-of-memory"},
		"replaced":            {"x = (\"a\" * 1000000).replace(\"a\", \"b\" * 1000000)", "out-of-memory"},
		"replaced by getattr": {"x = getattr(\"a\" * 1000000, \"replace\")(\"a\", \"b\" * 1000000)", "out-of-memory"},
		"formatted":           {"x = \"%s\" * 1000000 % tuple([\"a\" * 1000000] * 1000000)", "out-of-memory"},
		"printed":             {"x = [1]\nfor i in range(60):\n    x = [x, x]\nprint(x)", "out-of-memory"},
		"compared":            {"x = [0] * 1000\ny = [0] * 1000\nfor i in range(5):\n    x = [x] * 1000\n    y = [y] * 1000\nz = x == y", "out-of-memory"},
		"big number":          {"x = 7\nfor i in range(60):\n    x = x * x", "cannot-evaluate"},
		"many rows":           {"x = [rows(bench, count = 100000, first = 0, apart = 1 * ft) for i in range(1000)]", "out-of-memory"},
		"endless loop":        {"for i in range(1000000000):\n    for j in range(1000000000):\n        pass", "out-of-steps"},
		"found again":         {"x = \"a\" * 10000000\nfor i in range(10000000):\n    x.find(\"b\")", "out-of-steps"},
		"shifted":             {"x = list(range(5000000))\nfor i in range(1000000):\n    x.insert(0, 1)", "out-of-steps"},
		"shifted by getattr":  {"x = list(range(5000000))\nf = getattr(x, \"pop\")\nfor i in range(1000000):\n    f(0)", "out-of-steps"},
		"largest again":       {"x = list(range(5000000))\nfor i in range(1000000):\n    max(x)", "out-of-steps"},
		"largest of a range":  {"x = max(range(1000000000000))", "out-of-steps"},
		"texts compared":      {"x = \"a\" * 10000000\ny = \"a\" * 9999999 + \"a\"\nfor i in range(10000000):\n    x == y", "out-of-memory"},
		"sliced again":        {"x = list(range(5000000))\nfor i in range(1000000):\n    x[1:]", "out-of-memory"},
		"split":               {"x = \"a \" * 10000000\nfor i in range(1000000):\n    x.split(\" \")", "out-of-memory"},
		"list in itself":      {"x = []\nx.append(x)\nprint(x)", "cannot-evaluate"},
		"itself compared":     {"x = {}\nx[1] = [x]\ny = x == x", "cannot-evaluate"},
		"recursion":           {"def f():\n    return f()\nf()", "cannot-evaluate"},
	} {
		t.Run(name, func(t *testing.T) {
			r := run(ground + c.text + "\n")
			var found []string
			for _, d := range r.Findings {
				found = append(found, d.Rule.Code)
			}
			require.Contains(t, found, c.code)
			require.NotContains(t, found, "no-farm")
		})
	}
}

func TestContextEndsTheRun(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 0)
	defer cancel()
	time.Sleep(time.Millisecond)
	r := eval.Run(ctx, files("farm.star", ground+"for i in range(1000000):\n    x = i\n"), "farm.star")
	require.Equal(t, []string{"out-of-time"}, []string{r.Findings[len(r.Findings)-1].Rule.Code})
}

func TestEntryTrouble(t *testing.T) {
	for name, entry := range map[string]string{"missing": "other.star", "folder": "a"} {
		t.Run(name, func(t *testing.T) {
			r := eval.Run(context.Background(), files("a/b.star", ""), entry)
			require.Error(t, r.Trouble)
			require.NotContains(t, r.Trouble.Error(), "\n")
		})
	}
}

func FuzzRun(f *testing.F) {
	for _, seed := range []string{
		ground, ground + "row(bench, at = 4 * ft)\n", "x = [1, 2][3]\n", "for i in range(3): plot(i)\n",
		ground + "sow(row(bench, at = 1 * m, lines = 2, line_spacing = 1 * ft), beet, fill = True, on = \"2027-05-01\")\n",
		"def f(x): return f\nf(f)(3 * ft + 2)\n", "x = degf(3) - degc(2) + 3 * ft // inch\n",
		"load(\"crops\", c = \"tomato\")\nc.variety(\"x\", spacing = (1 * ft, 2)).name\n",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		r := eval.Run(ctx, files("farm.star", text), "farm.star")
		require.NoError(t, r.Trouble)
		for _, d := range r.Findings {
			require.NotNil(t, d.Rule)
			require.NotEmpty(t, strings.TrimSpace(d.Message))
			require.True(t, d.Primary.Span.IsValid(), "%s: %s", d.Rule.Code, d.Message)
		}
	})
}
