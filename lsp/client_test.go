package lsp

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// patience is how long a test waits for what must come.
const patience = 30 * time.Second

// editor is a client that does what a test tells it, at the other end of a pipe. Every message that it
// sends or gets is held against the protocol's shapes.
type editor struct {
	t      testing.TB
	server *server
	pipe   net.Conn
	ended  chan error // what Serve gave

	unchecked bool // messages are not held against the shapes, for benchmarks

	mu       sync.Mutex
	arrived  *sync.Cond
	gone     bool
	nextID   int
	methods  map[string]string  // by id of a request that was sent
	answers  map[string]message // by id
	notes    []message          // notifications, in order
	asked    []message          // the server's requests, in order
	settings any                // answer of workspace/configuration
	mute     map[string]bool    // server requests that are not answered
	versions map[string]int32
}

// message is one message of any kind.
type message struct {
	Version string          `json:"jsonrpc"`
	ID      json.RawMessage `json:"id,omitempty"`
	Method  string          `json:"method,omitempty"`
	Params  json.RawMessage `json:"params,omitempty"`
	Result  json.RawMessage `json:"result,omitempty"`
	Error   *rpcError       `json:"error,omitempty"`
}

type rpcError struct {
	Code    int             `json:"code"`
	Message string          `json:"message"`
	Data    json.RawMessage `json:"data,omitempty"`
}

// newEditor starts a server with nobody greeting it yet.
func newEditor(t testing.TB, c Config, prepare ...func(*server)) *editor {
	here, there := net.Pipe()
	s := newServer(context.Background(), c)
	for _, f := range prepare {
		f(s)
	}
	e := &editor{
		t: t, server: s, pipe: here, ended: make(chan error, 1), methods: map[string]string{},
		answers: map[string]message{}, mute: map[string]bool{}, versions: map[string]int32{},
	}
	e.arrived = sync.NewCond(&e.mu)
	go func() { e.ended <- s.serve(there) }()
	done := make(chan struct{})
	go func() { defer close(done); e.listen() }()
	t.Cleanup(func() {
		here.Close()
		<-done
		s.leave()
		s.work.Wait()
	})
	return e
}

// greeted is an editor that has said hello with the given capabilities, as JSON, and folders.
func greeted(t testing.TB, capabilities string, folders []string, prepare ...func(*server)) *editor {
	e := newEditor(t, Config{}, prepare...)
	e.greet(capabilities, folders...)
	return e
}

func (e *editor) greet(capabilities string, folders ...string) welcome {
	e.t.Helper()
	list := []map[string]string{}
	for _, f := range folders {
		list = append(list, map[string]string{"uri": uriOf(f), "name": filepath.Base(f)})
	}
	var result welcome
	e.ask("initialize", map[string]any{
		"processId": nil, "rootUri": nil, "capabilities": json.RawMessage(capabilities), "workspaceFolders": list,
	}, &result)
	e.tell("initialized", map[string]any{})
	return result
}

// welcome is the server's answer to initialize.
type welcome struct {
	Capabilities map[string]json.RawMessage
	ServerInfo   struct{ Name, Version string }
}

// listen reads what the server sends until the pipe is closed.
func (e *editor) listen() {
	in := bufio.NewReader(e.pipe)
	for {
		m, err := readMessage(in)
		e.mu.Lock()
		if err != nil {
			e.gone = true
			e.arrived.Broadcast()
			e.mu.Unlock()
			return
		}
		var reply *message
		switch {
		case m.Method == "":
			if method := e.methods[string(m.ID)]; method != "" && m.Error == nil {
				e.conforms(method, "result", m.Result)
			}
			e.answers[string(m.ID)] = m
		case m.ID == nil:
			e.conforms(m.Method, "params", m.Params)
			e.notes = append(e.notes, m)
		default:
			e.conforms(m.Method, "params", orNull(m.Params))
			e.asked = append(e.asked, m)
			if !e.mute[m.Method] {
				reply = e.reply(m)
			}
		}
		e.arrived.Broadcast()
		e.mu.Unlock()
		if reply != nil {
			e.write(reply)
		}
	}
}

func (e *editor) conforms(method, what string, value json.RawMessage) {
	e.t.Helper()
	if !e.unchecked {
		conforms(e.t, method, what, value)
	}
}

func orNull(m json.RawMessage) json.RawMessage {
	if m == nil {
		return json.RawMessage("null")
	}
	return m
}

// reply answers a request of the server. The caller holds mu.
func (e *editor) reply(m message) *message {
	result := json.RawMessage("null")
	if m.Method == "workspace/configuration" {
		result = encode([]any{e.settings})
	}
	e.conforms(m.Method, "result", result)
	return &message{Version: "2.0", ID: m.ID, Result: result}
}

func readMessage(in *bufio.Reader) (m message, err error) {
	length := 0
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return m, err
		}
		line = strings.TrimRight(line, "\r\n")
		if line == "" {
			break
		}
		if value, ok := strings.CutPrefix(line, "Content-Length: "); ok {
			if length, err = strconv.Atoi(value); err != nil {
				return m, err
			}
		}
	}
	body := make([]byte, length)
	if _, err := io.ReadFull(in, body); err != nil {
		return m, err
	}
	return m, json.Unmarshal(body, &m)
}

func (e *editor) write(m *message) { e.raw(string(encode(m))) }

// raw sends a body as it stands.
func (e *editor) raw(body string) {
	_, _ = fmt.Fprintf(e.pipe, "Content-Length: %d\r\n\r\n%s", len(body), body) // a server that is gone shows elsewhere
}

// tell sends a notification.
func (e *editor) tell(method string, params any) {
	e.t.Helper()
	text := encode(params)
	e.conforms(method, "params", text)
	e.write(&message{Version: "2.0", Method: method, Params: text})
}

// send sends a request and gives its id.
func (e *editor) send(method string, params any) string {
	e.t.Helper()
	text := encode(params)
	e.conforms(method, "params", text)
	e.mu.Lock()
	e.nextID++
	id := strconv.Itoa(e.nextID)
	e.methods[id] = method
	e.mu.Unlock()
	if string(text) == "null" {
		text = nil
	}
	e.write(&message{Version: "2.0", ID: json.RawMessage(id), Method: method, Params: text})
	return id
}

// answer waits for the answer of a request.
func (e *editor) answer(id string) message {
	e.t.Helper()
	var m message
	e.until("an answer to request "+id, func() bool {
		var ok bool
		m, ok = e.answers[id]
		return ok
	})
	return m
}

// ask sends a request that must succeed, and reads its result.
func (e *editor) ask(method string, params, into any) {
	e.t.Helper()
	m := e.answer(e.send(method, params))
	require.Nil(e.t, m.Error, "%s: %v", method, m.Error)
	if into != nil {
		require.NoError(e.t, json.Unmarshal(m.Result, into))
	}
}

// refused sends a request that must fail.
func (e *editor) refused(method string, params any) *rpcError {
	e.t.Helper()
	m := e.answer(e.send(method, params))
	require.NotNil(e.t, m.Error, "%s succeeded: %s", method, m.Result)
	return m.Error
}

// until waits until something holds of what has arrived.
func (e *editor) until(what string, holds func() bool) {
	e.t.Helper()
	late := time.AfterFunc(patience, func() {
		e.mu.Lock()
		defer e.mu.Unlock()
		e.gone = true
		e.arrived.Broadcast()
	})
	defer late.Stop()
	e.mu.Lock()
	defer e.mu.Unlock()
	for !holds() {
		if e.gone {
			e.t.Fatalf("%s never came", what)
		}
		e.arrived.Wait()
	}
}

// note waits for a notification that fits.
func (e *editor) note(method string, fits func(json.RawMessage) bool) json.RawMessage {
	e.t.Helper()
	var found json.RawMessage
	e.until(method, func() bool {
		i := slices.IndexFunc(e.notes, func(m message) bool { return m.Method == method && fits(m.Params) })
		if i >= 0 {
			found = e.notes[i].Params
		}
		return i >= 0
	})
	return found
}

// logged waits for a line in the log that contains a text.
func (e *editor) logged(text string) {
	e.t.Helper()
	e.note("window/logMessage", func(p json.RawMessage) bool {
		var line struct{ Message string }
		return json.Unmarshal(p, &line) == nil && strings.Contains(line.Message, text)
	})
}

// open opens a document at version 1.
func (e *editor) open(uri, text string) {
	e.t.Helper()
	e.versions[uri] = 1
	e.tell("textDocument/didOpen", map[string]any{"textDocument": map[string]any{
		"uri": uri, "languageId": "haulm", "version": 1, "text": text,
	}})
}

// replace gives a document a whole new text.
func (e *editor) replace(uri, text string) {
	e.t.Helper()
	e.edit(uri, map[string]any{"text": text})
}

// edit changes a document.
func (e *editor) edit(uri string, changes ...map[string]any) {
	e.t.Helper()
	e.versions[uri]++
	e.tell("textDocument/didChange", map[string]any{
		"textDocument":   map[string]any{"uri": uri, "version": e.versions[uri]},
		"contentChanges": changes,
	})
}

func (e *editor) closeDocument(uri string) {
	e.t.Helper()
	e.tell("textDocument/didClose", documentParams(uri))
}

func documentParams(uri string) map[string]any {
	return map[string]any{"textDocument": map[string]any{"uri": uri}}
}

// change replaces a stretch of the text.
func change(startLine, startChar, endLine, endChar int, text string) map[string]any {
	at := func(line, char int) map[string]int { return map[string]int{"line": line, "character": char} }
	return map[string]any{
		"range": map[string]any{"start": at(startLine, startChar), "end": at(endLine, endChar)}, "text": text,
	}
}

// publication is a decoded textDocument/publishDiagnostics.
type publication struct {
	URI         string
	Version     *int32
	Diagnostics []finding
}

type finding struct {
	Range           protocol.Range
	Severity        int
	Code            string
	CodeDescription *struct{ Href string }
	Source, Message string
	Tags            []int
	Related         []struct {
		Location protocol.Location
		Message  string
	} `json:"relatedInformation"`
}

// codes of the findings.
func codes(list []finding) []string {
	out := []string{}
	for _, f := range list {
		out = append(out, f.Code)
	}
	return out
}

// findings waits until the present version of a document is published.
func (e *editor) findings(uri string) []finding {
	e.t.Helper()
	return e.published(uri, func(p publication) bool { return p.Version != nil && *p.Version == e.versions[uri] }).Diagnostics
}

// published waits for a publication of a document that fits.
func (e *editor) published(uri string, fits func(publication) bool) publication {
	e.t.Helper()
	var p publication
	e.note("textDocument/publishDiagnostics", func(raw json.RawMessage) bool {
		p = publication{}
		return json.Unmarshal(raw, &p) == nil && p.URI == uri && fits(p)
	})
	return p
}

// forget drops the notifications so far.
func (e *editor) forget() {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.notes = nil
}

// leave says goodbye and gives what the server ended with.
func (e *editor) leave() error {
	e.t.Helper()
	e.ask("shutdown", nil, nil)
	e.tell("exit", nil)
	return e.end()
}

func (e *editor) end() error {
	e.t.Helper()
	select {
	case err := <-e.ended:
		return err
	case <-time.After(patience):
		e.t.Fatal("the server does not end")
		return nil
	}
}

// workspace writes files into a folder of their own.
func workspace(t testing.TB, files map[string]string) string {
	t.Helper()
	dir, err := filepath.EvalSymlinks(t.TempDir())
	require.NoError(t, err)
	for name, text := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
	return dir
}
