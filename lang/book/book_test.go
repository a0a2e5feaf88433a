package book_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lang/book"
	"haulm/lang/plan"
)

const examples = "../../examples"

func example(t testing.TB, name string) *plan.Snapshot {
	s := plan.Check(context.Background(), os.DirFS(filepath.Join(examples, name)), "farm.star")
	require.NoError(t, s.Trouble)
	return s
}

func planOf(t testing.TB, text string) *plan.Snapshot {
	s := plan.Check(context.Background(), fstest.MapFS{"farm.star": {Data: []byte(text)}}, "farm.star")
	require.NoError(t, s.Trouble)
	return s
}

// written gives the pages of a book by their names.
func written(t testing.TB, s *plan.Snapshot) map[string]string {
	all := map[string]string{}
	b := book.New(s)
	for _, p := range b.Files() {
		var out bytes.Buffer
		require.NoError(t, b.Write(p, &out))
		require.Empty(t, all[p.Name], "%s is written twice", p.Name)
		all[p.Name] = out.String()
	}
	return all
}

// Whatever leads somewhere arrives: at a page of the book, at an id on it; nothing leads out.
func TestLinksArrive(t *testing.T) {
	href := regexp.MustCompile(`(?:href|src)="([^"]*)"`)
	for _, name := range []string{"first", "metric", "season"} {
		pages := written(t, example(t, name))
		for from, page := range pages {
			if !strings.HasSuffix(from, ".html") {
				continue
			}
			for _, m := range href.FindAllStringSubmatch(page, -1) {
				file, id, _ := strings.Cut(m[1], "#")
				if file == "" {
					file = from
				}
				require.NotEmpty(t, pages[file], "%s of %s leads to %s", from, name, m[1])
				require.True(t, id == "" || strings.Contains(pages[file], `id="`+id+`"`), "%s of %s leads to %s", from, name, m[1])
			}
			outside := regexp.MustCompile(`(?i)(?:href|src|srcset|action)="?(?:[a-z]+:|//)|url\(['"]?[^#'"]|@import|<script`).FindString(page)
			require.Empty(t, outside, "%s of %s", from, name)
			ids := map[string]bool{}
			for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(page, -1) {
				require.False(t, ids[m[1]], "%s of %s has %q twice", from, name, m[1])
				ids[m[1]] = true
			}
		}
	}
}

func TestBookRepeatsItself(t *testing.T) {
	first, second := written(t, example(t, "season")), written(t, example(t, "season"))
	require.Len(t, second, len(first))
	total := 0
	for name := range first {
		require.True(t, first[name] == second[name], name)
		total += len(first[name])
	}
	require.Less(t, total, 3<<20, "a season is to fit on the smallest stick")
}

// A plan without anything, or with nothing right, has a book all the same.
func TestBookOfLittle(t *testing.T) {
	for _, text := range []string{"", "farm(\"Bare\", year = 2027)\n", "plot(\n", "p = plot(\"P\", length = 3 * ft, width = 2)\nrow(p, at = 1 * ft)\n"} {
		pages := written(t, planOf(t, text))
		require.Contains(t, pages["index.html"], "<h1>")
		require.Contains(t, pages["findings.html"], "<h1>")
	}
}
