package diag

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"haulm/lang/source"
)

var update = flag.Bool("update", false, "rewrite the golden files under testdata")

// A golden case is a text archive: plan files, findings.json with the findings in the form of stated,
// and the forms to compare: "text 60" (a width), "color 60", "json", "sarif", "github",
// "fix CODE N FILE" (the file after that fix), "safe FILE".
func TestGolden(t *testing.T) {
	paths, err := filepath.Glob("testdata/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(path)
			require.NoError(t, err)
			files := map[string]*source.File{}
			var ds []Diagnostic
			forms := 0
			for i, f := range archive.Files {
				switch {
				case f.Name == "findings.json":
					ds = Sort(readStated(t, files, f.Data))
				case strings.HasSuffix(f.Name, ".star") && !strings.Contains(f.Name, " "):
					files[f.Name] = source.New(f.Name, string(f.Data))
				default:
					forms++
					got := render(t, f.Name, ds)
					if *update {
						archive.Files[i].Data = []byte(got)
						continue
					}
					require.Equal(t, string(f.Data), got, f.Name)
				}
			}
			require.NotZero(t, forms)
			if *update {
				require.NoError(t, os.WriteFile(path, txtar.Format(archive), 0o644))
			}
		})
	}
}

// stated is how a case writes a finding; at is "FILE:LINE:COL-LINE:COL".
type stated struct {
	Code, Severity, Message, At, Label, Help string
	Summary, Explain, Source                 string
	Related                                  []struct{ At, Label string }
	Values                                   []Value
	Fixes                                    []struct {
		Title string
		Safe  bool
		Edits []struct{ At, Text string }
	}
}

func readStated(t *testing.T, files map[string]*source.File, text []byte) []Diagnostic {
	var list []stated
	require.NoError(t, json.Unmarshal(text, &list))
	var ds []Diagnostic
	for _, s := range list {
		severity := Severity(slices.Index([]string{"note", "warning", "error"}, s.Severity))
		d := Diagnostic{
			Rule: &Rule{Code: s.Code, Severity: severity, Summary: s.Summary, Explain: s.Explain,
				Source: s.Source},
			Message: s.Message,
			Primary: Label{span(t, files, s.At), s.Label},
			Help:    s.Help,
			Values:  s.Values,
		}
		for _, r := range s.Related {
			d.Related = append(d.Related, Label{span(t, files, r.At), r.Label})
		}
		for _, f := range s.Fixes {
			fix := Fix{Title: f.Title, Safe: f.Safe}
			for _, e := range f.Edits {
				fix.Edits = append(fix.Edits, Edit{span(t, files, e.At), e.Text})
			}
			d.Fixes = append(d.Fixes, fix)
		}
		ds = append(ds, d)
	}
	return ds
}

var spanForm = regexp.MustCompile(`^(.+):(\d+):(\d+)-(\d+):(\d+)$`)

func span(t *testing.T, files map[string]*source.File, at string) source.Span {
	if at == "" {
		return source.Span{}
	}
	m := spanForm.FindStringSubmatch(at)
	require.NotNil(t, m, at)
	require.Contains(t, files, m[1])
	s := source.Span{File: files[m[1]]}
	_, err := fmt.Sscan(strings.Join(m[2:], " "), &s.Start.Line, &s.Start.Col, &s.End.Line, &s.End.Col)
	require.NoError(t, err)
	return s
}

// render gives one form of the findings; ESC is written as ␛ so that the archive stays readable.
func render(t *testing.T, form string, ds []Diagnostic) string {
	var b bytes.Buffer
	words := strings.Fields(form)
	switch words[0] {
	case "text", "color":
		o := TextOptions{Color: words[0] == "color"}
		_, err := fmt.Sscan(words[1], &o.Width)
		require.NoError(t, err)
		require.NoError(t, WriteText(&b, ds, o))
	case "json":
		require.NoError(t, WriteJSON(&b, ds))
		requireValid(t, Schema, b.Bytes())
	case "sarif":
		require.NoError(t, WriteSARIF(&b, ds))
		requireValid(t, sarifParts(t), b.Bytes())
	case "github":
		require.NoError(t, WriteGitHub(&b, ds))
	case "fix":
		var n int
		_, err := fmt.Sscan(words[2], &n)
		require.NoError(t, err)
		at := slices.IndexFunc(ds, func(d Diagnostic) bool { return d.Rule.Code == words[1] })
		texts, err := Apply(ds[at].Fixes[n])
		if err != nil {
			return err.Error() + "\n"
		}
		return textOf(texts, words[3])
	case "safe":
		texts, done := ApplySafe(ds)
		for _, a := range done {
			fmt.Fprintf(&b, "# %s: %s\n", a.Finding.Rule.Code, a.Fix.Title)
		}
		b.WriteString(textOf(texts, words[1]))
	default:
		t.Fatalf("no form is called %q", form)
	}
	return strings.ReplaceAll(b.String(), "\x1b", "␛")
}

func textOf(texts map[*source.File]string, path string) string {
	for f, text := range texts {
		if f.Path == path {
			return text
		}
	}
	return "unchanged\n"
}
