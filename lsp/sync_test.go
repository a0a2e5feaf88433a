package lsp

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	protocol "github.com/tliron/glsp/protocol_3_16"
	"pgregory.net/rapid"

	"haulm/lsp/wire"
)

func span(startLine, startChar, endLine, endChar uint32) protocol.Range {
	return protocol.Range{Start: protocol.Position{Line: startLine, Character: startChar}, End: protocol.Position{Line: endLine, Character: endChar}}
}

// The same finding in both encodings, after text that the two count differently, with all line ends.
func TestEncodings(t *testing.T) {
	text := "farm('é🌽', year = 2027)\r\np = plot('🌽é', length = 5, width = 4 * ft)\r" +
		"print('🌽'); q = row(p, at = 3)\n"
	for _, c := range []struct {
		name, capabilities, chosen string
		first, second              protocol.Range
	}{
		{"nothing offered", `{}`, "utf-16", span(1, 25, 1, 26), span(2, 29, 2, 30)},
		{"UTF-8 offered", `{"general":{"positionEncodings":["utf-16","utf-8"]}}`, "utf-8", span(1, 28, 1, 29), span(2, 31, 2, 32)},
		{"UTF-32 offered", `{"general":{"positionEncodings":["utf-32","utf-16"]}}`, "utf-16", span(1, 25, 1, 26), span(2, 29, 2, 30)},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := newEditor(t, Config{})
			require.Equal(t, `"`+c.chosen+`"`, string(e.greet(c.capabilities).Capabilities["positionEncoding"]))
			uri := "file:///nowhere/farm.star"
			e.open(uri, text)
			list := e.findings(uri)
			require.Equal(t, []string{"bare-number", "bare-number"}, codes(list))
			require.Equal(t, []protocol.Range{c.first, c.second}, []protocol.Range{list[0].Range, list[1].Range})
			// An edit by the same count mends the right place.
			r := c.first
			e.edit(uri, change(int(r.Start.Line), int(r.Start.Character), int(r.End.Line), int(r.End.Character), "5 * ft"))
			require.Equal(t, []string{"bare-number"}, codes(e.findings(uri)))
			require.NoError(t, e.leave())
		})
	}
}

func TestEdits(t *testing.T) {
	for _, c := range []struct {
		name    string
		text    string
		changes []map[string]any
		want    string
	}{
		{"insert", "ab", []map[string]any{change(0, 1, 0, 1, "x")}, "axb"},
		{"delete over line ends", "a\r\nb\rc\nd", []map[string]any{change(0, 1, 3, 0, "")}, "ad"},
		{"whole", "ab", []map[string]any{{"text": "new"}}, "new"},
		{"one after the other", "ab", []map[string]any{change(0, 0, 0, 0, "1\n"), change(1, 0, 1, 1, "2"), {"text": "c"}, change(0, 1, 0, 1, "d")}, "cd"},
		{"past the line's end", "ab\ncd", []map[string]any{change(0, 99, 0, 99, "x")}, "abx\ncd"},
		{"past the text's end", "ab\ncd", []map[string]any{change(9, 9, 99, 0, "x")}, "ab\ncdx"},
		{"end before start", "abcd", []map[string]any{change(0, 3, 0, 1, "x")}, "abcxd"},
		{"inside a pair of surrogates", "🌽", []map[string]any{change(0, 1, 0, 1, "x")}, "x🌽"},
		{"the most that a number holds", "ab", []map[string]any{change(4294967295, 4294967295, 4294967295, 4294967295, "x")}, "abx"},
		{"none", "ab", []map[string]any{}, "ab"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := greeted(t, `{}`, nil)
			uri := "file:///nowhere/farm.star"
			e.open(uri, c.text)
			e.edit(uri, c.changes...)
			e.findings(uri)
			require.Equal(t, c.want, e.server.document(uri).text.Text)
			require.NoError(t, e.leave())
		})
	}
}

func TestVersions(t *testing.T) {
	e := greeted(t, `{}`, nil)
	uri := "file:///nowhere/farm.star"
	e.open(uri, ground)
	e.versions[uri] = 40 // a gap is allowed
	e.replace(uri, bare)
	require.Equal(t, []string{"bare-number"}, codes(e.findings(uri)))
	e.versions[uri] = 6 // going back is not, but the text has changed all the same
	e.replace(uri, ground+"first = row(bench, at = 4, at = 5 * ft)\n")
	e.logged("version 7 of farm.star came after version 41; it was taken all the same")
	require.Equal(t, []string{"bare-number", "duplicate-argument"}, codes(e.findings(uri)))

	e.tell("textDocument/didChange", map[string]any{
		"textDocument": map[string]any{"uri": "file:///other.star", "version": 1}, "contentChanges": []any{map[string]any{"text": ""}},
	})
	e.logged("textDocument/didChange: file:///other.star is not open")
	e.closeDocument("file:///other.star")
	e.logged("textDocument/didClose: file:///other.star is not open")
	e.raw(`{"jsonrpc":"2.0","method":"textDocument/didChange","params":{"textDocument":{"uri":"` + uri + `","version":8},"contentChanges":[{}]}}`)
	e.logged("textDocument/didChange: a change has no text")
	e.forget()
	e.open(uri, clean) // opened twice: the last text counts
	require.Empty(t, e.findings(uri))
	require.NoError(t, e.leave())
}

func TestOtherLanguages(t *testing.T) {
	e := greeted(t, `{}`, nil)
	e.tell("textDocument/didOpen", map[string]any{"textDocument": map[string]any{
		"uri": "file:///README.md", "languageId": "markdown", "version": 1, "text": "farm(",
	}})
	e.logged("file:///README.md is no plan: it is left alone")
	e.open("untitled:Untitled-1", bare)
	list := e.findings("untitled:Untitled-1")
	require.Equal(t, []string{"bare-number"}, codes(list))
	e.closeDocument("untitled:Untitled-1")
	e.published("untitled:Untitled-1", func(p publication) bool { return p.Version == nil && len(p.Diagnostics) == 0 })
	require.NoError(t, e.leave())
}

// A file larger than any plan may be is one finding, whichever way it comes.
func TestLargeDocument(t *testing.T) {
	e := greeted(t, `{}`, nil)
	uri := "file:///nowhere/farm.star"
	line := "# " + strings.Repeat("é", 49) + "\n"
	e.open(uri, strings.Repeat(line, 10<<20/len(line)))
	require.Equal(t, []string{"file-too-large"}, codes(e.findings(uri)))
	e.edit(uri, change(0, 0, 1<<30, 0, clean))
	require.Empty(t, e.findings(uri))
	require.NoError(t, e.leave())
}

// Whatever is edited, in whichever encoding, server and client end with the same text.
func TestEditsAgree(t *testing.T) {
	pieces := rapid.SampledFrom([]string{"a", " ", "\n", "\r\n", "\r", "é", "🌽", "row(", "\t"})
	text := rapid.Custom(func(t *rapid.T) string { return strings.Join(rapid.SliceOfN(pieces, 0, 12).Draw(t, "text"), "") })
	rapid.Check(t, func(t *rapid.T) {
		enc := rapid.SampledFrom([]wire.Encoding{wire.UTF8, wire.UTF16}).Draw(t, "encoding")
		now := text.Draw(t, "start")
		d := newDocument("file:///farm.star", 1, now)
		for range rapid.IntRange(1, 5).Draw(t, "edits") {
			start := boundary(t, now)
			end := boundary(t, now)
			if end < start {
				start, end = end, start
			}
			added := text.Draw(t, "added")
			r := protocol.Range{Start: positionOf(now, start, enc), End: positionOf(now, end, enc)}
			next, err := d.edited(d.version+1, []wire.Change{{Range: &r, Text: &added}}, enc)
			require.NoError(t, err)
			now = now[:start] + added + now[end:]
			require.Equal(t, now, next.text.Text)
			d = next
		}
	})
}

// boundary draws a byte offset between two characters that an editor could put its cursor at.
func boundary(t *rapid.T, text string) int {
	at := rapid.IntRange(0, len(text)).Draw(t, "at")
	for at > 0 && at < len(text) && (!utf8.RuneStart(text[at]) || text[at-1] == '\r' && text[at] == '\n') {
		at--
	}
	return at
}

// positionOf counts by itself, in no way that the server does.
func positionOf(text string, offset int, enc wire.Encoding) protocol.Position {
	before := strings.ReplaceAll(strings.ReplaceAll(text[:offset], "\r\n", "\n"), "\r", "\n")
	lines := strings.Split(before, "\n")
	last := lines[len(lines)-1]
	unit := len(last)
	if enc == wire.UTF16 {
		unit = len(utf16.Encode([]rune(last)))
	}
	return protocol.Position{Line: uint32(len(lines) - 1), Character: uint32(unit)}
}

func TestSaveReadsOtherFilesAgain(t *testing.T) {
	dir := workspace(t, map[string]string{
		entryName: `load("./beds.star", "width")` + "\n" + ground + "first = row(bench, at = width)\n", "beds.star": "width = 4\n",
	})
	e := greeted(t, `{}`, []string{dir})
	uri := uriOf(dir + "/farm.star")
	text := readFile(t, dir, entryName)
	e.open(uri, text)
	require.Equal(t, []string{"bare-number"}, codes(e.findings(uri)))
	e.forget()
	writeFile(t, dir, "beds.star", "width = 4 * ft\n")
	e.tell("textDocument/didSave", documentParams(uriOf(dir+"/beds.star")))
	e.note("textDocument/publishDiagnostics", func(p json.RawMessage) bool { return !strings.Contains(string(p), "bare-number") })
	require.NoError(t, e.leave())
}

func readFile(t testing.TB, dir, name string) string {
	t.Helper()
	text, err := os.ReadFile(dir + "/" + name)
	require.NoError(t, err)
	return string(text)
}

func writeFile(t testing.TB, dir, name, text string) {
	t.Helper()
	require.NoError(t, os.WriteFile(dir+"/"+name, []byte(text), 0o644))
}
