package book_test

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"haulm/lang/derive"
	"haulm/lang/plan"
	"haulm/lang/source"
)

// hostile is a plan whose every name is one that would break out, the longest as the plan's words allow and, since
// those are refused when they are longer, as the facts could have them.
func hostile(t *testing.T) []*plan.Snapshot {
	text, err := os.ReadFile("testdata/hostile.star")
	require.NoError(t, err)
	all := []*plan.Snapshot{planOf(t, string(text))}
	for _, name := range []string{
		"<script>window.ran = 1</script>{{.}}\"><img src=x onerror=window.ran=1>' onload='window.ran=1]]>&amp;<!--</style><b>" +
			"\u202etfel ot thgir\u2066\u200f\u2028\x00\x1b[31m\xff\ufffea\r\nBEGIN:VEVENT",
		"=cmd|' /C calc'!A0" + strings.Repeat("x", 10000), strings.Repeat("wide words ", 1000),
	} {
		s := planOf(t, string(text))
		f := s.Farm
		f.Name.Value = name
		for _, p := range f.Plots {
			p.Name.Value = name
		}
		for _, r := range f.Rows {
			r.Name.Value = name
		}
		for _, p := range f.Plantings {
			p.Crop.Name, p.Crop.Variety, p.Crop.Family = name, name, name
		}
		for _, z := range f.Zones {
			z.Name.Value = name
		}
		for _, w := range f.Sources {
			w.Name.Value = name
		}
		for _, file := range s.Files {
			*file = *source.New(name, file.Text+"\n# "+name)
		}
		s.Facts = derive.Derive(f)
		all = append(all, s)
	}
	return all
}

// known are the elements and attributes that pages are made of.
var (
	knownElements = strings.Fields(`html head meta title style body a header p nav ul ol li main h1 h2 h3 footer dl div dt dd table caption thead
		tbody tfoot tr th td section article pre span i b br em strong label input svg defs pattern g rect circle path text tspan`)
	knownAttributes = strings.Fields(`lang charset name content class href id tabindex role scope aria-label aria-labelledby aria-current
		aria-hidden type xmlns viewBox width height x y d r cx cy rx fill stroke stroke-width fill-opacity font-size font-family transform patternUnits
		data-m data-plot data-row data-file data-line data-planting`)
	plainAddress = regexp.MustCompile(`^(?:[a-z0-9./_-]+)?(?:#[A-Za-z0-9-]+)?$`)
)

// requireTame holds that a page is made of what pages are made of, and of nothing that a name brought along.
func requireTame(t *testing.T, name, page string) {
	require.True(t, utf8.ValidString(page), name)
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		switch n.Type {
		case html.ElementNode:
			require.True(t, slices.Contains(knownElements, n.Data), "%s: <%s>", name, n.Data)
			for _, a := range n.Attr {
				require.True(t, slices.Contains(knownAttributes, a.Key), "%s: <%s %s>", name, n.Data, a.Key)
				if a.Key == "href" {
					require.Regexp(t, plainAddress, a.Val, name)
				}
			}
		case html.CommentNode:
			require.Fail(t, "a comment", "%s: %s", name, n.Data)
		case html.TextNode:
			if n.Parent.Data != "style" {
				require.Less(t, utf8.RuneCountInString(n.Data), 1000, name)
			}
			for _, r := range n.Data {
				require.False(t, r != '\n' && r < 0x20 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 || r == 0x200f || r == 0x2028, "%s: %U in %.200q", name, r, n.Data)
			}
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(doc)
}

// No name of a plan gets out of its place, whatever it is made of.
func TestHostileNames(t *testing.T) {
	for _, s := range hostile(t) {
		total := 0
		for name, text := range written(t, s) {
			switch {
			case strings.HasSuffix(name, ".html"):
				total += len(text)
				requireTame(t, name, text)
			case strings.HasSuffix(name, ".csv"):
				rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
				require.NoError(t, err, name)
				for _, row := range rows {
					require.Len(t, row, len(rows[0]))
					for _, cell := range row {
						number := regexp.MustCompile(`^-?[0-9.]+$`).MatchString(cell)
						require.True(t, number || cell == "" || !strings.ContainsRune("=+-@\t\r\x00", rune(cell[0])), "%s: %.40q", name, cell)
					}
				}
			case strings.HasSuffix(name, ".ics"):
				for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
					require.LessOrEqual(t, len(line), 75, "a line is folded")
					require.Regexp(t, `^(?:BEGIN|END|VERSION|PRODID|CALSCALE|X-WR-CALNAME|UID|DTSTAMP|DTSTART|DTEND|SUMMARY|LOCATION|DESCRIPTION|TRANSP)[:;]|^[ ]`, line)
				}
				require.Equal(t, len(s.Facts.Calendar()), strings.Count(text, "\r\nBEGIN:VEVENT\r\n"))
			case strings.HasSuffix(name, "json"):
				require.True(t, json.Valid([]byte(text)), name)
			}
		}
		require.Less(t, total, 3_000_000)
	}
	for _, name := range []string{"first", "metric", "season"} {
		for file, text := range written(t, example(t, name)) {
			if strings.HasSuffix(file, ".html") {
				requireTame(t, file, text)
			}
		}
	}
}
