package view_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/coder/websocket"
	"github.com/coder/websocket/wsjson"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"haulm/view"
)

func TestMain(m *testing.M) {
	http.DefaultTransport.(*http.Transport).DisableKeepAlives = true // or the client's own goroutines stay
	goleak.VerifyTestMain(m)
}

const planText = `load("crops", "kale")
farm("Ferry Bank", year = 2027, units = "us")
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
first = row(bench, at = 4 * ft)
plant(first, kale, count = 10, spacing = 18 * inch, on = "2027-05-08")
`

// site is a plan that is served.
type site struct {
	t       *testing.T
	dir     string
	address string // with the token, if any
	home    string // without
	token   string
}

// serve shows a small plan until the test ends.
func serve(t *testing.T, edit bool) *site {
	t.Helper()
	s := &site{t: t, dir: t.TempDir()}
	s.put("farm.star", planText)
	c := view.Config{Root: s.dir, Entry: "farm.star"}
	if edit {
		c.Save = func(file, text string) error { return os.WriteFile(file, []byte(text), 0o644) }
	}
	ctx, stop := context.WithCancel(t.Context())
	ready, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- view.Serve(ctx, c, func(address string) { ready <- address }) }()
	select {
	case s.address = <-ready:
	case err := <-ended:
		require.NoError(t, err)
	}
	s.home, s.token, _ = strings.Cut(s.address, "?token=")
	t.Cleanup(func() {
		stop()
		require.NoError(t, <-ended)
	})
	return s
}

func (s *site) put(name, text string) {
	file := filepath.Join(s.dir, name)
	require.NoError(s.t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(s.t, os.WriteFile(file, []byte(text), 0o644))
}

// ask sends a request, with the token unless the headers say otherwise; a header's name and value follow each other.
func (s *site) ask(method, path, body string, headers ...string) (*http.Response, string) {
	s.t.Helper()
	r, err := http.NewRequestWithContext(s.t.Context(), method, s.home+strings.TrimPrefix(path, "/"), strings.NewReader(body))
	require.NoError(s.t, err)
	if s.token != "" {
		r.Header.Set("Haulm-Token", s.token)
	}
	for i := 0; i < len(headers); i += 2 {
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		} else {
			r.Header.Set(headers[i], headers[i+1])
		}
	}
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	a, err := client.Do(r)
	require.NoError(s.t, err)
	defer a.Body.Close()
	text, err := io.ReadAll(a.Body)
	require.NoError(s.t, err)
	return a, string(text)
}

func (s *site) host() string { return strings.TrimSuffix(strings.TrimPrefix(s.home, "http://"), "/") }

// dial opens a WebSocket.
func (s *site) dial(path string) *websocket.Conn {
	s.t.Helper()
	c, _, err := websocket.Dial(s.t.Context(), "ws://"+s.host()+path, &websocket.DialOptions{HTTPHeader: http.Header{"Haulm-Token": {s.token}}})
	require.NoError(s.t, err)
	c.SetReadLimit(1 << 20)
	s.t.Cleanup(func() { c.CloseNow() })
	return c
}

type news struct {
	Edition, Trouble string
	Saved            int
}

// hear reads the next news.
func (s *site) hear(c *websocket.Conn) (n news) {
	s.t.Helper()
	ctx, stop := context.WithTimeout(s.t.Context(), 20*time.Second)
	defer stop()
	require.NoError(s.t, wsjson.Read(ctx, c, &n))
	return n
}

func TestShows(t *testing.T) {
	s := serve(t, false)
	a, _ := s.ask("GET", "/", "")
	require.Equal(t, http.StatusSeeOther, a.StatusCode)
	require.Equal(t, "/index.html", a.Header.Get("Location"))

	a, page := s.ask("GET", "/index.html", "")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Contains(t, page, "Lower bench")
	require.Contains(t, page, `<section id="found"`)
	nonce := regexp.MustCompile(`'nonce-(\w+)'`).FindStringSubmatch(a.Header.Get("Content-Security-Policy"))[1]
	require.NotContains(t, page, "<style>")
	require.Equal(t, strings.Count(page, "<style"), strings.Count(page, `<style nonce="`+nonce+`">`))

	_, again := s.ask("GET", "/index.html", "")
	require.NotContains(t, again, nonce, "a nonce is good once")

	a, page = s.ask("GET", "/-/why?planting=1", "")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Contains(t, page, "Lower bench, row 1, kale")
	require.Contains(t, page, "farm.star:5")
	for _, q := range []string{"", "?planting=0", "?planting=2", "?planting=x"} {
		a, _ = s.ask("GET", "/-/why"+q, "")
		require.Equal(t, http.StatusNotFound, a.StatusCode, q)
	}
	a, page = s.ask("GET", "/plot-9.html", "")
	require.Equal(t, http.StatusNotFound, a.StatusCode)
	require.Contains(t, page, "none any more")

	for name, kind := range map[string]string{
		"data/plots.csv": "text/csv; charset=utf-8", "data/plots.json": "application/json", "-/web/live.js": "text/javascript; charset=utf-8",
		"-/web/live.css": "text/css; charset=utf-8", "book.xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
	} {
		a, text := s.ask("GET", name, "")
		require.Equal(t, http.StatusOK, a.StatusCode, name)
		require.Equal(t, kind, a.Header.Get("Content-Type"))
		require.NotEmpty(t, text)
	}
	a, text := s.ask("HEAD", "/index.html", "")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Empty(t, text)
	for _, name := range []string{"/-/edit", "/-/files", "/-/text?file=farm.star", "/-/language", "/-/web/..%2fpage.go", "/..%2f..%2fetc/passwd"} {
		a, _ := s.ask("GET", name, "")
		require.Equal(t, http.StatusNotFound, a.StatusCode, name)
	}
}

// Who is let in: this machine's names, this server's pages, reading only, and with an editor the bearer of the token.
func TestGuards(t *testing.T) {
	shows, edits := serve(t, false), serve(t, true)
	for _, c := range []struct {
		name    string
		site    *site
		method  string
		path    string
		headers []string
		want    int
	}{
		{"plain", shows, "GET", "/index.html", nil, 200},
		{"by the other name", shows, "GET", "/index.html", []string{"Host", strings.Replace(shows.host(), "127.0.0.1", "localhost", 1)}, 200},
		{"by a name that somebody leads here", shows, "GET", "/index.html", []string{"Host", "farm.example"}, 421},
		{"by that name and the right port", shows, "GET", "/index.html", []string{"Host", strings.Replace(shows.host(), "127.0.0.1", "farm.example", 1)}, 421},
		{"by another port", shows, "GET", "/index.html", []string{"Host", "127.0.0.1:1"}, 421},
		{"without a port", shows, "GET", "/index.html", []string{"Host", "127.0.0.1"}, 421},
		{"from its own page", shows, "GET", "/index.html", []string{"Origin", "http://" + shows.host()}, 200},
		{"from another page", shows, "GET", "/index.html", []string{"Origin", "http://farm.example"}, 403},
		{"from a page of another port", shows, "GET", "/index.html", []string{"Origin", "http://" + edits.host()}, 403},
		{"from a page without a place", shows, "GET", "/index.html", []string{"Origin", "null"}, 403},
		{"as a picture of another page", shows, "GET", "/index.html", []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors", "Sec-Fetch-Dest", "image"}, 403},
		{"as a frame of another page", shows, "GET", "/index.html", []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "iframe"}, 403},
		{"by a link of another page", shows, "GET", "/index.html", []string{"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"}, 200},
		{"news for another page", shows, "GET", "/-/news", []string{"Origin", "http://farm.example", "Connection", "Upgrade", "Upgrade", "websocket"}, 403},
		{"to change something", shows, "POST", "/index.html", nil, 405},
		{"to put something", shows, "PUT", "/farm.star", nil, 405},
		{"to delete something", shows, "DELETE", "/farm.star", nil, 405},
		{"to save where nothing can be", shows, "POST", "/-/text?file=farm.star", nil, 405},

		{"with the token", edits, "GET", "/index.html", nil, 200},
		{"without", edits, "GET", "/index.html", []string{"Haulm-Token", ""}, 403},
		{"with another", edits, "GET", "/index.html", []string{"Haulm-Token", strings.Repeat("A", 26)}, 403},
		{"with its beginning", edits, "GET", "/index.html", []string{"Haulm-Token", edits.token[:25]}, 403},
		{"with another in the address", edits, "GET", "/?token=AAAA", []string{"Haulm-Token", ""}, 403},
		{"news without", edits, "GET", "/-/news", []string{"Haulm-Token", ""}, 403},
		{"the language server without", edits, "GET", "/-/language", []string{"Haulm-Token", ""}, 403},
		{"the scripts without", edits, "GET", "/-/web/edit.js", []string{"Haulm-Token", ""}, 403},
		{"a text without", edits, "GET", "/-/text?file=farm.star", []string{"Haulm-Token", ""}, 403},
		{"to save without", edits, "POST", "/-/text?file=farm.star", []string{"Haulm-Token", ""}, 403},
		{"to save from another page", edits, "POST", "/-/text?file=farm.star", []string{"Origin", "http://farm.example"}, 403},
		{"to delete", edits, "DELETE", "/-/text?file=farm.star", nil, 405},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, _ := c.site.ask(c.method, c.path, "", c.headers...)
			require.Equal(t, c.want, a.StatusCode)
			policy := a.Header.Get("Content-Security-Policy")
			require.Contains(t, policy, "default-src 'none'; script-src 'self';")
			require.NotContains(t, policy, "unsafe")
			require.Equal(t, "no-store", a.Header.Get("Cache-Control"))
			require.Empty(t, a.Header.Get("Access-Control-Allow-Origin"))
		})
	}
}

// The token leaves the address for a cookie that scripts cannot read and other sites cannot send.
func TestTokenBecomesCookie(t *testing.T) {
	s := serve(t, true)
	a, _ := s.ask("GET", "/?token="+s.token, "", "Haulm-Token", "")
	require.Equal(t, http.StatusSeeOther, a.StatusCode)
	require.Equal(t, "/", a.Header.Get("Location"))
	cookie := a.Cookies()[0]
	require.True(t, cookie.HttpOnly)
	require.Equal(t, http.SameSiteStrictMode, cookie.SameSite)
	a, page := s.ask("GET", "/-/edit", "", "Haulm-Token", "", "Cookie", cookie.Name+"="+cookie.Value)
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Contains(t, page, `data-entry="farm.star"`)
	require.NotContains(t, page, s.token)
	a, _ = s.ask("GET", "/-/edit", "", "Haulm-Token", "", "Cookie", "haulm-1="+cookie.Value)
	require.Equal(t, http.StatusForbidden, a.StatusCode)
	require.NotEqual(t, serve(t, true).token, s.token)
}

func TestFollowsDisk(t *testing.T) {
	s := serve(t, false)
	c := s.dial("/-/news")
	first := s.hear(c)

	s.put("farm.star", strings.Replace(planText, "Lower bench", "Upper bench", 1))
	second := s.hear(c)
	require.NotEqual(t, first.Edition, second.Edition)
	_, page := s.ask("GET", "/index.html", "")
	require.Contains(t, page, "Upper bench")

	// A file that another loads, before it is there, in a folder that is not there either.
	s.put("farm.star", `load("./fields/more.star", "more")`+"\n"+planText)
	s.hear(c)
	_, page = s.ask("GET", "/findings.html", "")
	require.Contains(t, page, "fields/more.star")
	s.put("fields/more.star", "more = plot(\"River field\", length = 90 * ft, width = 30 * ft)\n")
	require.Eventually(t, func() bool {
		_, page = s.ask("GET", "/index.html", "")
		return strings.Contains(page, "River field")
	}, 20*time.Second, 20*time.Millisecond)

	// A plan that is gone leaves its last book, and says so.
	c = s.dial("/-/news")
	s.hear(c)
	require.NoError(t, os.Remove(filepath.Join(s.dir, "farm.star")))
	require.Contains(t, s.hear(c).Trouble, "farm.star")
	_, page = s.ask("GET", "/index.html", "")
	require.Contains(t, page, "River field")
	require.Contains(t, page, "cannot be read now")
}

// The pages show what an editor has not saved, as long as it is there.
func TestFollowsEditor(t *testing.T) {
	s := serve(t, true)
	heard := s.dial("/-/news")
	s.hear(heard)
	c := s.dial("/-/language")
	uri := "file://" + filepath.ToSlash(filepath.Join(s.dir, "farm.star"))
	send := func(message string, args ...any) {
		require.NoError(t, c.Write(t.Context(), websocket.MessageText, fmt.Appendf(nil, message, args...)))
	}
	send(`{"jsonrpc":"2.0","id":1,"method":"initialize","params":{"capabilities":{}}}`)
	_, answer, err := c.Read(t.Context())
	require.NoError(t, err)
	require.Contains(t, string(answer), `"capabilities"`)
	send(`{"jsonrpc":"2.0","method":"initialized","params":{}}`)
	send(`{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{"textDocument":{"uri":%q,"languageId":"starlark","version":1,"text":%q}}}`,
		uri, strings.Replace(planText, "Lower bench", "Unsaved – bench", 1))
	shows := func(words string) {
		t.Helper()
		require.Eventually(t, func() bool {
			_, page := s.ask("GET", "/index.html", "")
			return strings.Contains(page, words)
		}, 20*time.Second, 20*time.Millisecond)
	}
	shows("Unsaved – bench")
	before := s.hear(heard)

	s.put("farm.star", strings.Replace(planText, "Lower bench", "Saved elsewhere", 1))
	for n := before; n.Saved == before.Saved; n = s.hear(heard) {
		_, page := s.ask("GET", "/index.html", "")
		require.NotContains(t, page, "Saved elsewhere")
	}
	require.NoError(t, c.Close(websocket.StatusNormalClosure, ""))
	shows("Saved elsewhere")
}

func TestSaves(t *testing.T) {
	s := serve(t, true)
	s.put("fields/low.star", "x = 1\r\n")
	s.put("notes.txt", "not a plan")
	s.put("latin.star", "# caf\xe9\n")
	outside := filepath.Join(t.TempDir(), "other.star")
	require.NoError(t, os.WriteFile(outside, []byte("y = 2\n"), 0o644))
	require.NoError(t, os.Symlink(outside, filepath.Join(s.dir, "link.star")))
	require.NoError(t, os.Mkdir(filepath.Join(s.dir, "folder.star"), 0o755))

	a, text := s.ask("GET", "/-/text?file=fields/low.star", "")
	require.Equal(t, "x = 1\r\n", text)
	tag := a.Header.Get("ETag")
	a, _ = s.ask("POST", "/-/text?file=fields/low.star", "x = 2\r\n", "If-Match", tag)
	require.Equal(t, http.StatusNoContent, a.StatusCode)
	read := func() string {
		text, err := os.ReadFile(filepath.Join(s.dir, "fields/low.star"))
		require.NoError(t, err)
		return string(text)
	}
	require.Equal(t, "x = 2\r\n", read())

	s.put("fields/low.star", "x = 3\n")
	b, text := s.ask("POST", "/-/text?file=fields/low.star", "x = 4\n", "If-Match", a.Header.Get("ETag"))
	require.Equal(t, http.StatusPreconditionFailed, b.StatusCode)
	require.Contains(t, text, "nothing was written")
	require.Equal(t, "x = 3\n", read())
	a, _ = s.ask("POST", "/-/text?file=fields/low.star", "x = 4\n", "If-Match", b.Header.Get("ETag"))
	require.Equal(t, http.StatusNoContent, a.StatusCode)
	require.Equal(t, "x = 4\n", read())

	a, _ = s.ask("POST", "/-/text?file=fields/low.star", "x = 5\n")
	require.Equal(t, http.StatusPreconditionRequired, a.StatusCode)
	a, _ = s.ask("POST", "/-/text?file=fields/low.star", "\xff", "If-Match", tag)
	require.Equal(t, http.StatusUnsupportedMediaType, a.StatusCode)
	a, _ = s.ask("POST", "/-/text?file=fields/low.star", strings.Repeat("#", 9<<20), "If-Match", tag)
	require.Equal(t, http.StatusRequestEntityTooLarge, a.StatusCode)
	require.Equal(t, "x = 4\n", read())

	for file, want := range map[string]int{
		"../" + filepath.Base(s.dir) + "/farm.star": 403, "fields/../farm.star": 403, "/etc/passwd": 403, outside: 403, "": 403, ".": 403,
		"notes.txt": 403, "link.star": 403, "folder.star": 403, "latin.star": 415, "new.star": 404, "./farm.star": 403, "fields//low.star": 403,
		"farm.star%00": 403, "..%2ffarm.star": 403, `..\farm.star`: 404,
	} {
		for _, method := range []string{"GET", "POST"} {
			a, _ := s.ask(method, "/-/text?file="+file, "z = 1\n", "If-Match", tag)
			require.Equal(t, want, a.StatusCode, "%s %s", method, file)
		}
	}
	kept, err := os.ReadFile(outside)
	require.NoError(t, err)
	require.Equal(t, "y = 2\n", string(kept))

	_, list := s.ask("GET", "/-/files", "")
	require.Equal(t, `[{"path":"farm.star","plan":true,"page":"source-1.html"}]`, list)
}

// Two who save at once: one is told of the other.
func TestSavesOneAfterTheOther(t *testing.T) {
	s := serve(t, true)
	a, _ := s.ask("GET", "/-/text?file=farm.star", "")
	tag := a.Header.Get("ETag")
	results := make(chan int, 8)
	for n := range cap(results) {
		r, err := http.NewRequestWithContext(t.Context(), "POST", s.home+"-/text?file=farm.star", strings.NewReader(fmt.Sprintf("%s# %d\n", planText, n)))
		require.NoError(t, err)
		r.Header.Set("Haulm-Token", s.token)
		r.Header.Set("If-Match", tag)
		go func() {
			a, err := http.DefaultClient.Do(r)
			if err != nil {
				results <- 0
				return
			}
			a.Body.Close()
			results <- a.StatusCode
		}()
	}
	count := map[int]int{}
	for range cap(results) {
		count[<-results]++
	}
	require.Equal(t, map[int]int{http.StatusNoContent: 1, http.StatusPreconditionFailed: 7}, count)
}

func TestCannotServe(t *testing.T) {
	dir := t.TempDir()
	never := func(string) { t.Error("it is not ready") }
	require.ErrorContains(t, view.Serve(t.Context(), view.Config{Root: dir, Entry: "farm.star"}, never), "farm.star")
	require.NoError(t, os.Mkdir(filepath.Join(dir, "farm.star"), 0o755))
	require.ErrorContains(t, view.Serve(t.Context(), view.Config{Root: dir, Entry: "farm.star"}, never), "folder")

	require.NoError(t, os.WriteFile(filepath.Join(dir, "plan.star"), []byte(planText), 0o644))
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	port := l.Addr().(*net.TCPAddr).Port
	err = view.Serve(t.Context(), view.Config{Root: dir, Entry: "plan.star", Port: port}, never)
	require.ErrorContains(t, err, fmt.Sprintf("cannot listen on port %d", port))
	require.ErrorContains(t, err, "without --port a free one is taken")
}

// Nothing of a plan gets out of its text, whatever its names.
func TestHostilePlan(t *testing.T) {
	s := serve(t, true)
	text, err := os.ReadFile("../lang/book/testdata/hostile.star")
	require.NoError(t, err)
	c := s.dial("/-/news")
	s.hear(c)
	s.put("farm.star", string(text))
	s.hear(c)
	for _, path := range []string{"/index.html", "/plot-1.html", "/findings.html", "/-/why?planting=1", "/-/edit"} {
		a, page := s.ask("GET", path, "")
		require.Equal(t, http.StatusOK, a.StatusCode, path)
		require.NotContains(t, page, "<script>", path)
		require.False(t, bytes.Contains([]byte(page), []byte("\u202e")), path)
	}
}
