package lsp

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lang/plan"
	"haulm/lsp/wire"
)

// two plans in one workspace, each of two files; the second file of each has a finding.
func twoPlans(t *testing.T) (dir string) {
	plan := func(name string) string {
		return "load(\"./beds.star\", \"width\")\nfarm(\"" + name + "\", year = 2027, access = width)\n"
	}
	return workspace(t, map[string]string{
		"north/farm.star": plan("North"), "north/beds.star": "width = 4 * feet\n",
		"south/farm.star": plan("South"), "south/beds.star": "width = 4 * feet\n",
		"south/.hidden/farm.star": "farm(", "south/node_modules/x/farm.star": "farm(",
	})
}

func roots(e *editor) []string {
	e.server.mu.Lock()
	defer e.server.mu.Unlock()
	var keys []string
	for key, r := range e.server.roots {
		name := filepath.Base(filepath.Dir(key)) + "/" + filepath.Base(key)
		if r.loose {
			name += " (loose)"
		}
		keys = append(keys, name)
	}
	slices.Sort(keys)
	return keys
}

// settle waits until everything is worked out.
func settle(e *editor) {
	e.t.Helper()
	e.ask("workspace/diagnostic", map[string]any{"previousResultIds": []any{}}, nil)
}

func TestFolders(t *testing.T) {
	dir := twoPlans(t)
	e := greeted(t, `{}`, []string{filepath.Join(dir, "north")})
	settle(e)
	require.Equal(t, []string{"north/farm.star"}, roots(e))

	added := map[string]any{"event": map[string]any{
		"added": []any{map[string]any{"uri": uriOf(dir + "/south"), "name": "south"}}, "removed": []any{},
	}}
	e.tell("workspace/didChangeWorkspaceFolders", added)
	settle(e)
	require.Equal(t, []string{"north/farm.star", "south/farm.star"}, roots(e), "what is hidden is no plan of ours")

	e.open(uriOf(dir+"/north/beds.star"), "width = 4 * feet\n")
	require.Equal(t, []string{"unknown-name"}, codes(e.findings(uriOf(dir+"/north/beds.star"))))
	require.Equal(t, []string{"north/farm.star", "south/farm.star"}, roots(e), "a file that a plan loads belongs to it")

	e.tell("workspace/didChangeWorkspaceFolders", map[string]any{"event": map[string]any{
		"added":   []any{},
		"removed": []any{map[string]any{"uri": uriOf(dir + "/south"), "name": "south"}, map[string]any{"uri": uriOf(dir + "/north"), "name": "north"}},
	}})
	settle(e)
	require.Equal(t, []string{"north/farm.star"}, roots(e), "a file of it is open")
	e.closeDocument(uriOf(dir + "/north/beds.star"))
	settle(e)
	require.Empty(t, roots(e))
	require.NoError(t, e.leave())
}

// Without a folder, the plan is looked for where the file lies and above.
func TestNoFolder(t *testing.T) {
	dir := workspace(t, map[string]string{
		".git/HEAD": "", "farm/farm.star": `load("../shared/width.star", "width")` + "\n" + ground + "first = row(bench, at = width)\n",
		"shared/width.star": "width = 4\n", "farm/fields/new.star": "bench = 3\n", "farm.star": clean,
	})
	e := greeted(t, `{}`, nil)
	uri := uriOf(dir + "/farm/fields/new.star")
	e.open(uri, "bench = plot(3)\n")
	require.Equal(t, []string{"missing-argument", "wrong-type"}, sorted(codes(e.findings(uri))), "without no-farm: it is no plan of its own")
	settle(e)
	require.Equal(t, []string{"farm/farm.star", "fields/new.star (loose)", filepath.Base(dir) + "/farm.star"}, moved(roots(e), filepath.Base(dir)+"/farm.star"))

	// Once the plan loads it, it is one of the plan's files.
	e.open(uriOf(dir+"/farm/farm.star"), readFile(t, dir, "farm/farm.star")+`load("./fields/new.star", "bench")`+"\n")
	settle(e)
	require.NotContains(t, roots(e), "fields/new.star (loose)")
	require.Equal(t, []string{"missing-argument", "wrong-type"}, sorted(codes(e.findings(uri))))

	// A file outside the plan's folder but inside its work tree is read, and what is wrong with it is said there.
	e.open(uriOf(dir+"/shared/width.star"), "width = 4 * lb\n")
	e.published(uriOf(dir+"/farm/farm.star"), func(p publication) bool { return slices.Contains(codes(p.Diagnostics), "wrong-dimension") })
	require.NoError(t, e.leave())
}

func sorted(list []string) []string {
	slices.Sort(list)
	return list
}

// moved puts one text last.
func moved(list []string, last string) []string {
	return append(slices.DeleteFunc(list, func(s string) bool { return s == last }), last)
}

// The root named when the server starts stands above the work tree.
func TestNamedRoot(t *testing.T) {
	dir := workspace(t, map[string]string{"a/width.star": "width = 4 * ft\n", "a/b/farm.star": ground})
	text := `load("../width.star", "width")` + "\n" + ground + "first = row(bench, at = width)\n"
	uri := uriOf(dir + "/a/b/farm.star")
	for root, want := range map[string][]string{"": {"load-outside-plan"}, dir + "/a": {"unused-declaration"}} {
		e := newEditor(t, Config{Root: root})
		e.greet(`{}`)
		e.open(uri, text)
		require.Equal(t, want, codes(e.findings(uri)), root)
		require.NoError(t, e.leave())
	}
}

// An open document counts instead of the file on disk, there or not; so does a file that appears later.
func TestOverlays(t *testing.T) {
	dir := workspace(t, map[string]string{entryName: `load("./beds.star", "width")` + "\n" + ground + "first = row(bench, at = width)\n"})
	e := greeted(t, `{"workspace":{"didChangeWatchedFiles":{"dynamicRegistration":true}}}`, []string{dir})
	uri, beds := uriOf(dir+"/farm.star"), uriOf(dir+"/beds.star")
	says := func(code string) {
		t.Helper()
		e.published(uri, func(p publication) bool { return slices.Contains(codes(p.Diagnostics), code) })
		e.forget()
	}
	e.open(uri, readFile(t, dir, entryName))
	says("load-not-found")
	e.open(beds, "width = 4\n") // never saved
	says("bare-number")
	e.edit(beds, change(0, 8, 0, 9, "4 * ft"))
	says("unused-declaration")
	e.closeDocument(beds)
	says("load-not-found")

	writeFile(t, dir, "beds.star", "width = 4 * lb\n")
	watched := func(name string, kind int) {
		e.tell("workspace/didChangeWatchedFiles", map[string]any{"changes": []any{map[string]any{"uri": uriOf(dir + "/" + name), "type": kind}}})
	}
	watched("beds.star", 1)
	says("wrong-dimension")
	writeFile(t, dir, "beds.star", "width = 4\n")
	watched("beds.star", 2)
	says("bare-number")
	require.NoError(t, os.Remove(dir+"/beds.star"))
	watched("beds.star", 3)
	says("load-not-found")

	// Plans come and go, too; what is open stays.
	require.NoError(t, os.Mkdir(dir+"/other", 0o755))
	writeFile(t, dir, "other/farm.star", clean)
	watched("other/farm.star", 1)
	settle(e)
	require.Contains(t, roots(e), "other/farm.star")
	watched("other/farm.star", 3)
	watched("farm.star", 3)
	settle(e)
	require.Equal(t, []string{filepath.Base(dir) + "/farm.star"}, roots(e))

	e.until("the wish to be told of files", func() bool {
		return slices.ContainsFunc(e.asked, func(m message) bool {
			return m.Method == "client/registerCapability" && strings.Contains(string(m.Params), "**/*.star") &&
				strings.Contains(string(m.Params), "**/*.csv")
		})
	})
	require.NoError(t, e.leave())
}

// The plan's entry is deleted while nothing of it is open: that is a word in the log, not a finding.
func TestEntryVanishes(t *testing.T) {
	dir := workspace(t, map[string]string{entryName: clean})
	e := greeted(t, `{}`, []string{dir})
	settle(e)
	require.NoError(t, os.Remove(dir+"/farm.star"))
	e.tell("textDocument/didSave", documentParams(uriOf(dir+"/farm.star")))
	e.logged("farm.star: there is no such file")
	require.NoError(t, e.leave())
}

func TestURIs(t *testing.T) {
	for uri, key := range map[string]string{
		"file:///a/b.star": "/a/b.star", "file:///a%20b/%C3%A9.star": "/a b/é.star", "file:///a/../b.star": "/b.star",
		"untitled:Untitled-1": "untitled:Untitled-1", ":": ":", "file:": "file:", "http://x/y": "http://x/y",
	} {
		require.Equal(t, key, keyOf(uri))
	}
	require.Equal(t, "file:///a%20b/%C3%A9.star", uriOf("/a b/é.star"))
	require.Equal(t, "untitled:Untitled-1", uriOf("untitled:Untitled-1"))
	for _, key := range []string{"/a/b.star", "/ä/%20 #?.star"} {
		require.Equal(t, key, keyOf(uriOf(key)))
	}
}

// A file that an evaluation is the first to read changes after it was read: nothing told the plan that it
// depends on it, and still the plan is worked out again.
func TestFileReadForTheFirstTime(t *testing.T) {
	read, release := make(chan struct{}, 10), make(chan struct{}, 10)
	dir := workspace(t, map[string]string{entryName: clean, "beds.star": "width = 4\n"})
	e := greeted(t, `{}`, []string{dir}, func(s *server) {
		s.evaluate = func(ctx context.Context, f *files, entry string) *plan.Snapshot {
			snap := plan.Check(ctx, f, entry)
			if f.took()["beds.star"] && entry == entryName {
				read <- struct{}{}
				<-release
			}
			return snap
		}
	})
	farm, beds := uriOf(dir+"/farm.star"), uriOf(dir+"/beds.star")
	e.open(farm, clean)
	e.open(beds, "width = 4\n")
	settle(e)
	e.replace(farm, "load(\"./beds.star\", \"width\")\nfarm(\"Test\", year = 2027, access = width)\n")
	<-read
	e.replace(beds, "width = 30 * inch\n")
	for e.server.document(beds).version != 2 {
		runtime.Gosched()
	}
	release <- struct{}{}
	release <- struct{}{}
	require.Empty(t, e.findings(farm))
	require.NoError(t, e.leave())
}

// A file that two plans load is seen in the one whose folder it lies in, and has the findings of both.
func TestFileOfTwoPlans(t *testing.T) {
	dir := workspace(t, map[string]string{
		".git/HEAD": "", "north/farm.star": "load(\"./beds.star\", \"width\")\nfarm(\"North\", year = 2027, access = width)\n",
		"north/beds.star": "width = 30\n", "south/farm.star": "load(\"../north/beds.star\", \"width\")\nfarm(\"South\", year = 2027, access = width)\n",
		"west/farm.star": "load(\"../north/beds.star\", \"width\")\nfarm(\"West\", year = 2027)\n",
	})
	e := greeted(t, `{}`, []string{dir})
	settle(e)
	beds := uriOf(dir + "/north/beds.star")
	e.open(beds, "width = 3 * feet\n")
	require.Equal(t, []string{"unknown-name"}, codes(e.findings(beds)), "three plans find it, and it is said once")
	e.server.mu.Lock()
	require.Equal(t, filepath.Join(dir, "north", entryName), e.server.rootFor(keyOf(beds)).key)
	e.server.mu.Unlock()
	require.NoError(t, e.leave())
}

// The workspace as clients older than its folders name it.
func TestFoldersOf(t *testing.T) {
	uri, path := "file:///a%20b", "/c/../d"
	require.Equal(t, []string{"/a b"}, foldersOf(&wire.InitializeParams{RootURI: &uri, RootPath: &path}))
	require.Equal(t, []string{"/d"}, foldersOf(&wire.InitializeParams{RootPath: &path}))
	require.Empty(t, foldersOf(&wire.InitializeParams{}))
	both := []protocol.WorkspaceFolder{{URI: "file:///x"}, {URI: "file:///y"}, {URI: "file:///x/"}, {URI: "virtual:/z"}}
	require.Equal(t, []string{"/x", "/y"}, foldersOf(&wire.InitializeParams{RootURI: &uri, WorkspaceFolders: both}))
	require.Empty(t, planEntries("/no/such/folder"))
}
