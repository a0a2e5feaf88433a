package lsp

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/plan"
	"haulm/lsp/wire"
)

const everything = `{"textDocument":{"publishDiagnostics":{"relatedInformation":true,"codeDescriptionSupport":true,"tagSupport":{"valueSet":[1,2]}}}}`

// Two rows too close: what it is, where, by how much, what would help, and the other row.
const tooClose = `load("crops", "bell_pepper", "beet")
farm("Test", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 2 * ft)
plant(row(bench, at = 4 * ft), bell_pepper, fill = True, spacing = 18 * inch, on = "2027-06-01")
plant(row(bench, at = 5 * ft), bell_pepper, fill = True, spacing = 18 * inch, on = "2027-06-01")
`

func TestFindingInFull(t *testing.T) {
	for name, c := range map[string]struct {
		capabilities string
		full         bool
	}{"for a client that shows all": {everything, true}, "for one that shows little": {`{}`, false}} {
		t.Run(name, func(t *testing.T) {
			dir := workspace(t, nil)
			e := newEditor(t, Config{Pages: filepath.Join(dir, "pages")})
			e.greet(c.capabilities)
			uri := uriOf(dir + "/farm.star")
			e.open(uri, tooClose)
			var close *finding
			for _, f := range e.findings(uri) {
				if f.Code == "rows-too-close" {
					close = &f
				}
			}
			require.NotNil(t, close)
			require.Equal(t, "haulm", close.Source)
			require.Contains(t, close.Message, "\n", "what would help stands below")
			if !c.full {
				require.Nil(t, close.CodeDescription)
				require.Empty(t, close.Related)
				require.NoDirExists(t, filepath.Join(dir, "pages"))
				return
			}
			require.NotEmpty(t, close.Related)
			require.Equal(t, uri, close.Related[0].Location.URI)
			page, ok := pathOf(close.CodeDescription.Href)
			require.True(t, ok)
			text, err := os.ReadFile(page)
			require.NoError(t, err)
			require.True(t, strings.HasPrefix(string(text), "# rows-too-close\n"))
			require.NoError(t, e.leave())
		})
	}
}

// What is wrong in a file of records is shown there, and gone once the plan no longer reads it.
func TestFindingsInRecords(t *testing.T) {
	dir := workspace(t, map[string]string{"record.csv": "date,what\nsomeday,weeding\n"})
	e := newEditor(t, Config{})
	e.greet(everything)
	uri, records := uriOf(dir+"/farm.star"), uriOf(dir+"/record.csv")
	e.open(uri, "farm(\"Test\", year = 2027)\nrecord(\"record.csv\")\n")
	list := e.published(records, func(p publication) bool { return len(p.Diagnostics) > 0 }).Diagnostics
	require.Equal(t, []string{"record-unreadable"}, codes(list))
	require.EqualValues(t, 1, list[0].Range.Start.Line)
	require.Empty(t, e.findings(uri))
	e.forget()
	e.replace(uri, "farm(\"Test\", year = 2027)\n")
	require.Empty(t, e.published(records, func(p publication) bool { return true }).Diagnostics)
	require.NoError(t, e.leave())
}

func TestUnneededTextIsTagged(t *testing.T) {
	e := greeted(t, everything, nil)
	uri := "file:///nowhere/farm.star"
	for code, text := range map[string]string{
		"duplicate-argument": `farm("Test", year = 2027, year = 2028)`, "unused-declaration": ground,
		"stale-accept": clean + "# accept: rows-too-close — no longer\nx = 1\n",
	} {
		e.open(uri, text)
		list := e.findings(uri)
		require.Equal(t, []string{code}, codes(list))
		require.Equal(t, []int{1}, list[0].Tags)
		e.forget()
	}
	require.NoError(t, e.leave())
}

// Every code that is tagged is one that there is.
func TestTaggedCodesExist(t *testing.T) {
	tagged := 0
	for _, r := range plan.Rules() {
		if tagOf(r.Code) != 0 {
			tagged++
		}
	}
	require.Equal(t, 3, tagged)
}

// A finding in a file that is not open is shown while its plan is; when the last file closes, all go.
func TestClosingClears(t *testing.T) {
	dir := twoPlans(t)
	e := greeted(t, `{}`, []string{dir})
	farm, beds := uriOf(dir+"/north/farm.star"), uriOf(dir+"/north/beds.star")
	isFull := func(p publication) bool { return p.Version == nil && len(p.Diagnostics) == 1 }
	isEmpty := func(p publication) bool { return p.Version == nil && len(p.Diagnostics) == 0 }
	e.open(farm, readFile(t, dir, "north/farm.star"))
	e.published(beds, isFull)
	e.open(beds, readFile(t, dir, "north/beds.star"))
	require.Equal(t, []string{"unknown-name"}, codes(e.findings(beds)))
	e.forget()
	e.closeDocument(beds)
	e.published(beds, isEmpty) // at once; then what is still so of the file on disk
	e.published(beds, isFull)
	e.forget()
	e.closeDocument(farm)
	e.published(beds, isEmpty)
	e.note("textDocument/publishDiagnostics", func(p json.RawMessage) bool { return strings.Contains(string(p), `"`+farm+`"`) })
	settle(e)
	for _, m := range e.notes {
		require.NotContains(t, string(m.Params), "/south/", "nothing of it was ever open")
	}
	require.NoError(t, e.leave())
}

// An editor takes its marks off a text that it closes: opened again, at once and unchanged, it must be told anew.
func TestReopeningPublishes(t *testing.T) {
	dir := twoPlans(t)
	e := greeted(t, `{}`, []string{dir})
	beds := uriOf(dir + "/north/beds.star")
	for range 20 {
		e.open(beds, readFile(t, dir, "north/beds.star"))
		require.Equal(t, []string{"unknown-name"}, codes(e.findings(beds)))
		e.forget()
		e.closeDocument(beds)
	}
	require.NoError(t, e.leave())
}

// What a plan prints goes to the log, once for as long as it prints the same.
func TestPrint(t *testing.T) {
	e := greeted(t, `{}`, nil)
	uri := "file:///nowhere/farm.star"
	e.open(uri, clean+"print('rows', 3)\n")
	e.findings(uri)
	e.logged("rows 3")
	e.forget()
	e.replace(uri, clean+"print('rows', 3) # the same\n")
	e.findings(uri)
	e.replace(uri, clean+"print('rows', 4)\n")
	e.logged("rows 4")
	for _, m := range e.notes {
		require.NotContains(t, string(m.Params), "rows 3")
	}
	require.NoError(t, e.leave())
}

const pulling = `{"textDocument":{"diagnostic":{"relatedDocumentSupport":true}},"workspace":{"diagnostics":{"refreshSupport":true}}}`

type pulled struct {
	Kind, ResultID   string
	Items            []finding
	RelatedDocuments map[string]pulled
}

func TestPull(t *testing.T) {
	dir := twoPlans(t)
	e := greeted(t, pulling, []string{dir})
	farm, beds := uriOf(dir+"/north/farm.star"), uriOf(dir+"/north/beds.star")
	e.open(farm, readFile(t, dir, "north/farm.star"))
	var own pulled
	e.ask("textDocument/diagnostic", documentParams(farm), &own)
	require.Equal(t, "full", own.Kind)
	require.Empty(t, codes(own.Items))
	require.Equal(t, []string{"unknown-name"}, codes(own.RelatedDocuments[beds].Items))

	var again pulled
	params := documentParams(farm)
	params["previousResultId"] = own.ResultID
	e.ask("textDocument/diagnostic", params, &again)
	require.Equal(t, pulled{Kind: "unchanged", ResultID: own.ResultID, RelatedDocuments: again.RelatedDocuments}, again)

	e.edit(farm, change(0, 0, 0, 0, "x = 3 * feet\n"))
	e.ask("textDocument/diagnostic", params, &again)
	require.Equal(t, []string{"unknown-name"}, codes(again.Items), "of the text now, not of the one before")
	require.NotEqual(t, own.ResultID, again.ResultID)

	e.until("a wish to be asked again", func() bool {
		for _, m := range e.asked {
			if m.Method == refreshDiagnostics {
				return true
			}
		}
		return false
	})
	for _, m := range e.notes {
		require.NotEqual(t, "textDocument/publishDiagnostics", m.Method, "a client that asks is not told as well")
	}
	require.NoError(t, e.leave())
}

// A document that nobody opened, or that has closed meanwhile, has no findings: an error would pop up in the editor.
func TestPullOfWhatIsNotOpen(t *testing.T) {
	dir := twoPlans(t)
	e := greeted(t, pulling, []string{dir})
	beds := uriOf(dir + "/north/beds.star")
	e.open(beds, readFile(t, dir, "north/beds.star"))
	e.closeDocument(beds)
	for _, uri := range []string{beds, "file:///not/open.star", "git:/beds.star?HEAD", ":"} {
		var own, again pulled
		e.ask("textDocument/diagnostic", documentParams(uri), &own)
		require.Equal(t, pulled{Kind: "full", ResultID: own.ResultID, Items: []finding{}}, own, uri)
		params := documentParams(uri)
		params["previousResultId"] = own.ResultID
		e.ask("textDocument/diagnostic", params, &again)
		require.Equal(t, "unchanged", again.Kind)
	}
	require.NoError(t, e.leave())
}

func TestPullWorkspace(t *testing.T) {
	dir := twoPlans(t)
	e := greeted(t, pulling, []string{dir})
	type items struct {
		Items []struct {
			URI     string
			Version *int32
			pulled
		}
	}
	var first, second items
	e.ask("workspace/diagnostic", map[string]any{"previousResultIds": []any{}}, &first)
	require.Len(t, first.Items, 4)
	var previous []any
	for _, item := range first.Items {
		require.Equal(t, "full", item.Kind)
		require.Nil(t, item.Version)
		if strings.HasSuffix(item.URI, "beds.star") {
			require.Equal(t, []string{"unknown-name"}, codes(item.Items))
		}
		previous = append(previous, map[string]any{"uri": item.URI, "value": item.ResultID})
	}
	previous = append(previous, map[string]any{"uri": "file:///gone.star", "value": "0"})
	e.open(uriOf(dir+"/south/beds.star"), "width = 4 * ft\n")
	e.ask("workspace/diagnostic", map[string]any{"previousResultIds": previous}, &second)
	kinds := map[string]string{}
	for _, item := range second.Items {
		name := strings.TrimPrefix(item.URI, uriOf(dir)+"/")
		kinds[name] = item.Kind
		require.Equal(t, name == "south/beds.star", item.Version != nil)
		require.Empty(t, item.Items)
	}
	require.Equal(t, map[string]string{
		"north/farm.star": "unchanged", "north/beds.star": "unchanged", "south/farm.star": "unchanged", "south/beds.star": "full",
		"file:///gone.star": "full",
	}, kinds)
	require.NoError(t, e.leave())
}

// held is an evaluator that waits for the test's word.
func held(release chan struct{}) func(*server) {
	return func(s *server) {
		s.evaluate = func(ctx context.Context, f *files, entry string) *plan.Snapshot {
			select {
			case <-release:
			case <-ctx.Done():
			}
			return plan.Check(ctx, f, entry)
		}
	}
}

// Who waits for findings of a text that changes meanwhile is told to ask again, and an edit stops what is
// being worked out.
func TestEditWhilePulling(t *testing.T) {
	release := make(chan struct{}, 10)
	e := greeted(t, `{}`, nil, held(release))
	uri := "file:///nowhere/farm.star"
	e.open(uri, bare)
	id := e.send("textDocument/diagnostic", documentParams(uri))
	waiting := e.send("workspace/diagnostic", map[string]any{"previousResultIds": []any{}})
	e.replace(uri, clean)
	m := e.answer(id)
	require.Equal(t, wire.CodeServerCancelled, m.Error.Code)
	require.JSONEq(t, `{"retriggerRequest": true}`, string(m.Error.Data))
	cancelled := e.send("textDocument/diagnostic", documentParams(uri))
	e.tell("$/cancelRequest", map[string]any{"id": json.RawMessage(cancelled)})
	require.Equal(t, wire.CodeRequestCancelled, e.answer(cancelled).Error.Code)
	release <- struct{}{}
	require.Empty(t, e.findings(uri))
	require.Nil(t, e.answer(waiting).Error)
	for _, m := range e.notes {
		require.NotContains(t, string(m.Params), "bare-number", "the first text was never published")
		require.NotContains(t, string(m.Params), "out-of-time")
	}
	require.NoError(t, e.leave())
}

// A panic inside an evaluation leaves the server and the last result as they were.
func TestEvaluationPanics(t *testing.T) {
	bad := false
	e := greeted(t, `{}`, nil, func(s *server) {
		s.evaluate = func(ctx context.Context, f *files, entry string) *plan.Snapshot {
			if bad {
				panic("hail")
			}
			return plan.Check(ctx, f, entry)
		}
	})
	uri := "file:///nowhere/farm.star"
	e.open(uri, bare)
	e.findings(uri)
	settle(e)
	bad = true
	e.replace(uri, clean)
	e.logged("evaluation: this should not happen; please report it with the plan at hand: hail")
	settle(e)
	bad = false
	e.replace(uri, clean+"# fine\n")
	require.Empty(t, e.findings(uri))
	require.NoError(t, e.leave())
}

func TestProgress(t *testing.T) {
	release := make(chan struct{}, 10)
	e := greeted(t, `{"window":{"workDoneProgress":true}}`, nil, held(release), func(s *server) { s.pace.slow = 1 })
	uri := "file:///fields/nowhere/farm.star"
	e.open(uri, clean)
	e.note("$/progress", func(p json.RawMessage) bool { return strings.Contains(string(p), `"title":"Working out nowhere"`) })
	release <- struct{}{}
	e.note("$/progress", func(p json.RawMessage) bool { return strings.Contains(string(p), `"kind":"end"`) })
	require.NoError(t, e.leave())
}
