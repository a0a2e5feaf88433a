package check_test

import (
	"context"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"haulm/lang/diag"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/stdlib/season"
)

var update = flag.Bool("update", false, "rewrite want and fixed/ in testdata/check")

const (
	cases = "../../testdata/check/*.txtar"
	entry = "farm.star"
)

// TestGolden runs every faulty plan of testdata/check. An archive holds the plan's files, the findings
// expected of it in want, and under fixed/ each file as it reads after the findings' fixes.
//
// The archive's comment says what the case is about. Lines of it that begin with a word below direct
// the test:
//
//	fix CODE: TITLE   apply the fix of that title (or beginning with it) to findings of the code, not their first
//	leave CODE        apply no fix to findings of the code
//	clean             the fixed plan has no findings at all, not only none of the codes that were fixed
//	pad PATH          the file goes on with comments to more than 8 MiB
//	today DATE        the day it is
//	stopped           the caller stops the plan before it begins
func TestGolden(t *testing.T) {
	files, err := filepath.Glob(cases)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 60, "small faulty plans in testdata/check")
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(name)
			require.NoError(t, err)
			c := readCase(t, a)
			findings := c.check(c.files)
			fixed, open := c.fix(t, findings)
			got := &txtar.Archive{Comment: a.Comment}
			for _, f := range a.Files {
				if f.Name != "want" && !strings.HasPrefix(f.Name, "fixed/") {
					got.Files = append(got.Files, f)
				}
			}
			got.Files = append(got.Files, txtar.File{Name: "want", Data: []byte(listing(findings))})
			for _, path := range sortedKeys(fixed) {
				got.Files = append(got.Files, txtar.File{Name: "fixed/" + path, Data: fixed[path].Data})
			}
			if *update {
				require.NoError(t, os.WriteFile(name, txtar.Format(got), 0o644))
			} else {
				require.Equal(t, string(txtar.Format(a)), string(txtar.Format(got)))
			}
			c.checkFixed(t, fixed, open)
		})
	}
}

// golden is one case.
type golden struct {
	files   fstest.MapFS
	fixes   map[string]string // by code, the beginning of the title to choose; "" for none
	clean   bool
	stopped bool
	today   season.Date
}

func readCase(t *testing.T, a *txtar.Archive) *golden {
	c := &golden{files: fstest.MapFS{}, fixes: map[string]string{}, today: season.None}
	for _, f := range a.Files {
		if f.Name != "want" && !strings.HasPrefix(f.Name, "fixed/") {
			c.files[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	require.Contains(t, c.files, entry)
	for line := range strings.Lines(string(a.Comment)) {
		word, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		switch word {
		case "fix":
			code, title, ok := strings.Cut(rest, ": ")
			require.True(t, ok && title != "", "a fix line names a code and a title: %s", line)
			c.fixes[code] = title
		case "leave":
			c.fixes[rest] = ""
		case "today":
			day, err := season.Parse(rest)
			require.NoError(t, err)
			c.today = day
		case "clean":
			c.clean = true
		case "pad":
			require.Contains(t, c.files, rest)
			line := strings.Repeat("# and so on\n", 1<<20)
			c.files[rest].Data = append(slices.Clone(c.files[rest].Data), line...)
		case "stopped":
			c.stopped = true
		}
	}
	return c
}

func (c *golden) check(files fstest.MapFS) []diag.Diagnostic {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	if c.stopped {
		cancel()
	}
	return plan.CheckOn(ctx, files, entry, c.today).Findings
}

// fix applies one fix of each finding, except where it meets another's, and gives the files that
// changed and, for each code that was mended, how many of its findings were left as they are.
func (c *golden) fix(t *testing.T, findings []diag.Diagnostic) (fstest.MapFS, map[string]int) {
	var all diag.Fix
	open, mended := map[string]int{}, map[string]bool{}
	used := map[string]bool{}
	texts := map[*source.File]string{}
	for i := range findings {
		d := &findings[i]
		open[d.Code()]++
		title, named := c.fixes[d.Code()]
		at := slices.IndexFunc(d.Fixes, func(f diag.Fix) bool { return strings.HasPrefix(f.Title, title) })
		if named && title == "" {
			used[d.Code()] = true
			continue
		}
		if at < 0 {
			continue
		}
		used[d.Code()] = true
		try := diag.Fix{Edits: append(slices.Clone(all.Edits), d.Fixes[at].Edits...)}
		after, err := diag.Apply(try)
		if err != nil {
			continue
		}
		all, texts = try, after
		open[d.Code()]--
		mended[d.Code()] = true
	}
	maps.DeleteFunc(open, func(code string, _ int) bool { return !mended[code] })
	for code, title := range c.fixes {
		require.True(t, used[code], "no finding %s has a fix %q", code, title)
	}
	fixed := fstest.MapFS{}
	for f, text := range texts {
		fixed[f.Path] = &fstest.MapFile{Data: []byte(text)}
	}
	return fixed, open
}

// checkFixed holds that the findings that were mended are gone: of each code no more are left in the fixed
// plan than were left as they are.
func (c *golden) checkFixed(t *testing.T, fixed fstest.MapFS, open map[string]int) {
	files := fstest.MapFS{}
	for name, f := range c.files {
		files[name] = f
	}
	for name, f := range fixed {
		files[name] = f
	}
	left := c.check(files)
	if c.clean {
		require.Empty(t, listing(left), "findings after the fixes")
	}
	for i := range left {
		n, mended := open[left[i].Code()]
		require.True(t, !mended || n > 0, "still found after its fix: %s", listing(left[i:i+1]))
		if mended {
			open[left[i].Code()]--
		}
	}
}

// listing writes findings, one to a line, and under each in the order of reading: its own label (^),
// the related places, help and the titles of the fixes.
func listing(findings []diag.Diagnostic) string {
	var b strings.Builder
	for i := range findings {
		d := &findings[i]
		fmt.Fprintf(&b, "%s %s %s %s\n", d.Code(), d.Rule.Severity, place(d.Primary.Span), d.Message)
		if d.Primary.Text != "" {
			fmt.Fprintf(&b, "    ^ %s\n", d.Primary.Text)
		}
		for _, r := range d.Related {
			fmt.Fprintf(&b, "    %s %s\n", place(r.Span), r.Text)
		}
		if d.Help != "" {
			fmt.Fprintf(&b, "    help: %s\n", d.Help)
		}
		for _, f := range d.Fixes {
			safe := ""
			if f.Safe {
				safe = " (safe)"
			}
			fmt.Fprintf(&b, "    fix: %s%s\n", f.Title, safe)
		}
	}
	return b.String()
}

// place writes a span as line:column-line:column, with the file's name unless it is the entry's.
func place(s source.Span) string {
	if !s.IsValid() {
		return "-"
	}
	text := fmt.Sprintf("%d:%d-%d:%d", s.Start.Line, s.Start.Col, s.End.Line, s.End.Col)
	if s.File.Path != entry {
		return s.File.Path + ":" + text
	}
	return text
}

func sortedKeys(files fstest.MapFS) []string {
	var names []string
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// TestEveryCodeHasACase holds that each code a finding can have is found by a case of testdata/check.
func TestEveryCodeHasACase(t *testing.T) {
	files, err := filepath.Glob(cases)
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, name := range files {
		a, err := txtar.ParseFile(name)
		require.NoError(t, err)
		for _, f := range a.Files {
			if f.Name != "want" {
				continue
			}
			for line := range strings.Lines(string(f.Data)) {
				if code, _, ok := strings.Cut(line, " "); ok && code != "" {
					seen[code] = true
				}
			}
		}
	}
	for _, r := range plan.Rules() {
		require.True(t, seen[r.Code] || r.Code == unshown, "no case in testdata/check finds %s", r.Code)
	}
}
