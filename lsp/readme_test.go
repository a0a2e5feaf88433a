package lsp

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write README.md anew")

// The tables of README.md are those of the program.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile("README.md")
	require.NoError(t, err)
	want := between(t, string(text), "settings", settingsTable())
	want = between(t, want, "methods", methodsTable())
	if *update {
		require.NoError(t, os.WriteFile("README.md", []byte(want), 0o644))
		return
	}
	require.Equal(t, want, string(text), "README.md is stale: go test ./lsp -update")
}

// between puts a table between its two marks.
func between(t *testing.T, text, mark, table string) string {
	begin, end := "<!-- "+mark+" -->\n", "<!-- /"+mark+" -->\n"
	before, rest, ok := strings.Cut(text, begin)
	require.True(t, ok, begin)
	_, after, ok := strings.Cut(rest, end)
	require.True(t, ok, end)
	return before + begin + table + end + after
}

func settingsTable() string {
	var b strings.Builder
	b.WriteString("\n| setting | shows |\n| --- | --- |\n")
	for _, k := range hintKinds() {
		fmt.Fprintf(&b, "| `inlayHints.%s` | %s |\n", k.name, k.about)
	}
	return b.String() + "\n"
}

func methodsTable() string {
	var b strings.Builder
	b.WriteString("\n| method | | what it is good for |\n| --- | --- | --- |\n")
	for _, m := range methodList() {
		kind := "request"
		if m.ask == nil {
			kind = "notification"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", m.name, kind, m.about)
	}
	return b.String() + "\n"
}
