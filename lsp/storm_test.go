package lsp

import (
	"bytes"
	"context"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"haulm/lang/diag"
	"haulm/lang/plan"
	"haulm/lsp/wire"
)

// storm edits the files of a season at random, as somebody would who types, deletes, pastes what is broken
// and takes it back.
type storm struct {
	*editor
	random *rand.Rand
	dir    string
	files  []*stormFile
	latest map[string]told // by URI
}

type stormFile struct {
	name, uri string
	saved     string // on disk
	text      string
	undo      []string
}

// told is what the client heard last of a document, its list as it came.
type told struct {
	Version     *int32
	Diagnostics json.RawMessage
}

// Whatever is edited, the server ends with the findings of a fresh evaluation, byte for byte, and holds on
// to nothing.
func TestStorm(t *testing.T) {
	s := newStorm(t)
	var early uint64
	for i := range stormEdits {
		s.edit(s.files[s.random.IntN(len(s.files))])
		if i%100 == 99 {
			s.compare(i + 1)
		}
		if i == stormEdits/4 {
			early = heap()
		}
	}
	if late := heap(); late > 2*early+16<<20 {
		t.Errorf("the heap grew from %d to %d bytes", early, late)
	}
	require.NoError(t, s.leave())
}

func heap() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

func newStorm(t *testing.T) *storm {
	dir := workspace(t, nil)
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join("..", "examples", "season"))))
	s := &storm{dir: dir, random: rand.New(rand.NewPCG(20270424, 7)), latest: map[string]told{}}
	s.editor = greeted(t, everything, []string{dir}, func(server *server) { server.pace.quiet = time.Millisecond })
	for _, name := range []string{entryName, "place.star", "beds.star", "fields/lower_bench.star", "fields/salad_yard.star"} {
		text := readFile(t, dir, name)
		f := &stormFile{name: name, uri: uriOf(filepath.Join(dir, name)), saved: text, text: text}
		s.files = append(s.files, f)
		s.open(f.uri, text)
	}
	return s
}

// edit makes one change.
func (s *storm) edit(f *stormFile) {
	was := f.text
	start := boundaryOf(f.text, s.random.IntN(len(f.text)+1))
	end, added := start, ""
	switch dice := s.random.IntN(100); {
	case dice < 45 && len(f.undo) > 0: // back, often by several steps
		steps := 1 + s.random.IntN(min(len(f.undo), 8))
		back := f.undo[len(f.undo)-steps]
		f.undo = f.undo[:len(f.undo)-steps]
		start, end, added = difference(f.text, back)
		f.text = back
		s.change(f, was, start, end, added)
		return
	case dice < 47: // closed without saving, and opened again
		s.closeDocument(f.uri)
		f.text, f.undo = f.saved, nil
		s.open(f.uri, f.saved)
		return
	case dice < 49: // all of it pasted over
		f.undo = append(f.undo, f.text)
		f.text = f.saved
		s.replace(f.uri, f.text)
		return
	case dice < 70:
		added = stormWords[s.random.IntN(len(stormWords))]
	case dice < 85:
		end = boundaryOf(f.text, min(len(f.text), start+s.random.IntN(40)))
	default: // a piece of another file, cut anywhere
		from := s.files[s.random.IntN(len(s.files))].saved
		a, b := boundaryOf(from, s.random.IntN(len(from))), boundaryOf(from, s.random.IntN(len(from)))
		added = from[min(a, b):min(max(a, b), min(a, b)+300)]
		added = strings.ToValidUTF8(added, "")
	}
	if end < start {
		end = start
	}
	f.undo = append(f.undo, f.text)
	f.text = f.text[:start] + added + f.text[end:]
	s.change(f, was, start, end, added)
}

// stormWords are what is typed: whole words, halves of them, brackets and quotes without their others.
var stormWords = []string{
	"(", ")", "[", "]", "{", "\"", "'", "\"\"\"", "#", "\n", "\r\n", "\t", "    ", ",", "=", "*", "3", "4 * ft", "18 * inch", "é", "🌽",
	"row(", "plant(", "at = ", "def more(x):\n", "for i in range(4):\n    ", "load(\"./beds.star\", \"", "lambda", "if ", "\\", "0x", "1e9",
	"# accept: rows-too-close — on purpose\n", "farm(\"Second\", year = 2027)\n", "count = 3, count = 4", "fill = True", "\x00", "\ufeff", "m = 3\n",
}

func (s *storm) change(f *stormFile, was string, start, end int, added string) {
	a, b := positionOf(was, start, wire.UTF16), positionOf(was, end, wire.UTF16)
	s.editor.edit(f.uri, change(int(a.Line), int(a.Character), int(b.Line), int(b.Character), added))
}

// difference is the one replacement that makes a text another.
func difference(from, to string) (start, end int, added string) {
	for start < min(len(from), len(to)) && from[start] == to[start] {
		start++
	}
	start = boundaryOf(from, start)
	tail := 0
	for tail < min(len(from), len(to))-start && from[len(from)-1-tail] == to[len(to)-1-tail] {
		tail++
	}
	for tail > 0 && (boundaryOf(from, len(from)-tail) != len(from)-tail || boundaryOf(to, len(to)-tail) != len(to)-tail) {
		tail--
	}
	return start, len(from) - tail, to[start : len(to)-tail]
}

// boundaryOf is the last place at or before an offset where an editor could put its cursor.
func boundaryOf(text string, at int) int {
	for at > 0 && at < len(text) && (text[at]&0xC0 == 0x80 || text[at-1] == '\r' && text[at] == '\n') {
		at--
	}
	return at
}

// compare waits for the server to have told what a fresh evaluation of the same texts finds.
func (s *storm) compare(edits int) {
	s.t.Helper()
	texts := map[string]string{}
	for _, f := range s.files {
		require.Equal(s.t, f.text, s.text(f), "after %d edits, %s", edits, f.name)
		texts[f.name] = f.text
	}
	check := func(entry string) *plan.Snapshot {
		return plan.Check(context.Background(), newFiles(s.dir, texts), entry)
	}
	whole := &root{key: filepath.Join(s.dir, entryName), dir: s.dir, entry: entryName}
	fresh := check(entryName)
	parts := map[string][]part{}
	gather := func(r *root, snap *plan.Snapshot) {
		for key, list := range byFile(r, snap, r.loose) {
			parts[key] = append(parts[key], part{r, list})
		}
	}
	gather(whole, fresh)
	reached := keysOf(parts)
	for _, f := range s.files {
		if key := keyOf(f.uri); !reached[key] {
			gather(&root{key: key, dir: s.dir, entry: f.name, loose: true}, check(f.name))
		}
	}
	s.server.mu.Lock()
	t := s.server.translator()
	s.server.mu.Unlock()
	for _, f := range s.files {
		list := parts[keyOf(f.uri)]
		slices.SortFunc(list, func(a, b part) int { return strings.Compare(a.root.key, b.root.key) })
		want := t.list(list)
		s.until("what a fresh evaluation finds in "+f.name, func() bool {
			s.digest()
			got := s.latest[f.uri]
			return got.Version != nil && *got.Version == s.versions[f.uri] && bytes.Equal(got.Diagnostics, want)
		})
	}
	require.Equal(s.t, asJSON(s.t, fresh.Findings), asJSON(s.t, s.evaluated(whole.key)), "after %d edits", edits)
}

func keysOf(parts map[string][]part) map[string]bool {
	keys := map[string]bool{}
	for key := range parts {
		keys[key] = true
	}
	return keys
}

// digest reads the notifications that came since. The caller holds the editor's mu.
func (s *storm) digest() {
	for _, m := range s.notes {
		if m.Method == "textDocument/publishDiagnostics" {
			var p struct {
				URI string
				told
			}
			require.NoError(s.t, json.Unmarshal(m.Params, &p))
			s.latest[p.URI] = p.told
		}
	}
	s.notes = nil
}

// text is what the server takes a file's text to be, once it has read all that was sent.
func (s *storm) text(f *stormFile) string {
	s.ask("workspace/symbol", map[string]any{"query": "nothing is called so"}, nil) // every message before it was taken by then
	return s.server.document(f.uri).text.Text
}

// evaluated gives the findings of the server's last evaluation of a plan.
func (s *storm) evaluated(key string) []diag.Diagnostic {
	s.server.mu.Lock()
	defer s.server.mu.Unlock()
	return s.server.roots[key].plan.Findings
}

func asJSON(t testing.TB, findings []diag.Diagnostic) string {
	var b bytes.Buffer
	require.NoError(t, diag.WriteJSON(&b, findings))
	return b.String()
}
