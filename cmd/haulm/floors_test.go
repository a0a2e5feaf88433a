package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// floor is one package of the house: what it may import of the house ("above" is every package before it
// in the list) and of other modules.
type floor struct {
	name    string
	inside  []string
	outside []string
}

// floors lists the packages of the house from the top down.
var floors = []floor{
	{"stdlib/quantity", nil, []string{"gonum.org/v1/gonum"}},
	{"stdlib/season", []string{"stdlib/quantity"}, []string{"gonum.org/v1/gonum"}},
	{"stdlib/table", nil, nil},
	{"stdlib/crops", []string{"stdlib/quantity", "stdlib/season"}, []string{"gonum.org/v1/gonum"}},
	{"stdlib/water", []string{"stdlib/quantity", "stdlib/season", "stdlib/table"}, []string{"gonum.org/v1/gonum"}},
	{"stdlib/feeding", []string{"stdlib/quantity", "stdlib/season", "stdlib/table"}, []string{"gonum.org/v1/gonum"}},
	{"stdlib/nursery", []string{"stdlib/quantity", "stdlib/season"}, []string{"gonum.org/v1/gonum"}},
	{"stdlib/support", []string{"stdlib/quantity", "stdlib/season", "stdlib/table"}, []string{"gonum.org/v1/gonum"}},
	{"stdlib/labor", []string{"stdlib/quantity", "stdlib/season", "stdlib/table"}, []string{"gonum.org/v1/gonum"}},
	{"stdlib/star", nil, nil},

	{"lang/source", []string{"above"}, []string{"golang.org/x/text/width"}},
	{"lang/diag", []string{"above"}, nil},
	{"lang/syntax", []string{"above"}, []string{"go.starlark.net/syntax", "go.starlark.net/resolve"}},
	{"lang/format", []string{"above"}, []string{"go.starlark.net/syntax", "github.com/bazelbuild/buildtools/build"}},
	{"lang/farm", []string{"above"}, nil},
	{"lang/eval", []string{"above"}, []string{"go.starlark.net", "github.com/agnivade/levenshtein"}},
	{"lang/derive", []string{"above"}, []string{"github.com/agnivade/levenshtein"}},
	{"lang/solve", []string{"above"}, nil},
	{"lang/check", []string{"above"}, nil},
	{"lang/diff", []string{"above"}, nil},
	{"lang/report", []string{"above"}, []string{"github.com/xuri/excelize/v2", "github.com/arran4/golang-ical"}},
	{"lang/plan", []string{"above"}, nil},
	{"lang/next", []string{"above"}, nil},
	{"lang/book", []string{"above"}, nil},

	{"lsp/wire", []string{"above"}, []string{"github.com/tliron/glsp/protocol_3_16"}},
	{"lsp/revision", nil, nil},
	{"lsp/disk", nil, nil},
	{"lsp/feature", []string{"above"}, nil},
	{"lsp", []string{"above"}, []string{"github.com/tliron/glsp/protocol_3_16", "github.com/sourcegraph/jsonrpc2"}},
	{"view", []string{"above"}, []string{"github.com/coder/websocket", "github.com/fsnotify/fsnotify"}},
	{"cmd/haulm", []string{"above"}, []string{
		"github.com/spf13/cobra", "github.com/spf13/pflag", "golang.org/x/term",
	}},
}

// surroundings are the packages of Go itself that reach the system: no business of stdlib and lang,
// which get an fs.FS.
var surroundings = []string{
	"os", "os/exec", "os/signal", "os/user", "io/ioutil", "path/filepath", "net", "net/http", "syscall",
	"plugin", "unsafe", "math/rand", "math/rand/v2", "crypto/rand", "log", "flag",
}

// TestFloors holds every import of every package to the table.
func TestFloors(t *testing.T) {
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports", "./...")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	require.NoError(t, err)
	list := json.NewDecoder(bytes.NewReader(out))
	seen := 0
	for {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := list.Decode(&p); err == io.EOF {
			break
		} else {
			require.NoError(t, err)
		}
		seen++
		name := strings.TrimPrefix(p.ImportPath, "haulm/")
		at := floorOf(name)
		require.GreaterOrEqual(t, at, 0, "%s has no floor: add it to the table", name)
		for _, imported := range p.Imports {
			require.True(t, mayImport(at, imported), "%s must not import %s", name, imported)
		}
	}
	require.GreaterOrEqual(t, seen, 10)
}

func floorOf(name string) int {
	return slices.IndexFunc(floors, func(f floor) bool { return f.name == name })
}

func mayImport(at int, imported string) bool {
	f := floors[at]
	if own, ok := strings.CutPrefix(imported, "haulm/"); ok {
		for _, above := range floors[:at] {
			if above.name == own && (slices.Contains(f.inside, own) || slices.Contains(f.inside, "above")) {
				return true
			}
		}
		return false
	}
	if first, _, _ := strings.Cut(imported, "/"); !strings.Contains(first, ".") { // Go's own
		return strings.HasPrefix(f.name, "lsp") || f.name == "view" || f.name == "cmd/haulm" || !slices.Contains(surroundings, imported)
	}
	return slices.ContainsFunc(f.outside, func(module string) bool {
		return imported == module || strings.HasPrefix(imported, module+"/")
	})
}

// The table itself: what it must forbid, it forbids.
func TestFloorsForbid(t *testing.T) {
	for from, imported := range map[string]string{
		"stdlib/quantity": "haulm/stdlib/season", "stdlib/crops": "haulm/lang/source", "lang/source": "haulm/lang/diag",
		"lang/derive": "go.starlark.net/starlark", "lang/check": "go.starlark.net/syntax", "lang/report": "haulm/lang/plan",
		"lang/plan": "haulm/lsp", "lang/syntax": "go.starlark.net/starlark", "lang/eval": "os", "lsp": "haulm/cmd/haulm",
		"stdlib/star": "github.com/spf13/cobra", "lsp/feature": "haulm/lsp", "lang/format": "github.com/bazelbuild/buildtools/warn",
	} {
		require.False(t, mayImport(floorOf(from), imported), "%s imports %s", from, imported)
	}
	require.True(t, mayImport(floorOf("lang/eval"), "go.starlark.net/starlark"))
	require.True(t, mayImport(floorOf("lang/check"), "haulm/lang/derive"))
	require.True(t, mayImport(floorOf("lang/diag"), "io"))
}
