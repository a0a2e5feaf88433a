// Package lsp is the language server. In go the messages of an editor; out come answers and, as soon as an
// edit has been worked out, what the plan cannot do. Everything that knows about farms is in lang and
// stdlib, everything that knows what an editor may ask about a text in lsp/feature, and the types of the
// protocol in lsp/wire; here is who asks whom, and when.
//
// A message's way through the package:
//
//	stream.go     bytes to messages; what is no message is answered here
//	dispatch.go   messages to methods: notifications in their order, each request on what held when it
//	              came, in a goroutine of its own, a panic ending nothing but that request
//	methods.go    the one table of methods, from which the capabilities and README.md are made
//	evaluate.go   evaluations: which plan, when, and what becomes of the result
//	publish.go    findings to the editor
//
// and one file for each method, named after it. What they share: documents (document.go), plans and where
// they lie (roots.go, disk.go, uri.go), a request's view of both (view.go).
//
// Locks: mu guards everything that changes and is never held while a plan is evaluated, a message written or
// a file read; publishing orders what is published, and handling keeps the last message from outliving the
// connection.
package lsp

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"time"

	"github.com/sourcegraph/jsonrpc2"

	"haulm/lang/plan"
	"haulm/lsp/wire"
)

// Config is what a server is told when it starts.
type Config struct {
	Version string
	Root    string    // the folder that plans in it may read below; "" for each plan's own
	Pages   string    // the folder for pages that explain findings; "" for none
	Errors  io.Writer // for what cannot be told to the client

	// Worked is told of every evaluation of a plan, the texts of open documents in it; nil for nobody to tell. It is
	// given the path of the plan's first file and must not wait for the client.
	Worked func(entry string, s *plan.Snapshot)
}

// ErrNoShutdown says that the client went without asking the server to shut down.
var ErrNoShutdown = errors.New("the editor left without saying so")

// Serve talks with one client until it leaves or ctx ends. The error is ErrNoShutdown when the client had
// not asked to shut down before.
func Serve(ctx context.Context, rw io.ReadWriteCloser, c Config) error {
	return newServer(ctx, c).serve(rw)
}

// server is one client's.
type server struct {
	config   Config
	pages    *pages
	methods  map[string]*method
	conn     *jsonrpc2.Conn
	ctx      context.Context // ends with the connection
	leave    context.CancelFunc
	work     sync.WaitGroup // every goroutine but the connection's own
	slots    chan struct{}  // requests worked on at a time
	runs     chan struct{}  // evaluations at a time
	evaluate evaluator
	pace     pace

	handling sync.Mutex // one message
	over     bool       // guarded by handling

	publishing sync.Mutex
	published  map[string]published // by document key; guarded by publishing

	mu       sync.Mutex
	phase    phase
	client   wire.ClientCapabilities
	encoding wire.Encoding
	settings settings
	running  map[jsonrpc2.ID]*running
	docs     map[string]*document // open, by key
	roots    map[string]*root     // by the entry's key
	folders  []string             // of the workspace
	scans    int                  // of folders, under way
	clock    uint64               // changes of documents and files so far
	changes  map[string]uint64    // the last of each, by key
	settled  chan struct{}        // closed and made anew at each step of an evaluation or scan
	stale    map[string]bool      // keys of documents whose findings are to be published
	closed   map[string]string    // URIs of documents that were closed since, by key
	owed     map[string]bool      // refreshes to ask for once everything is worked out
	shown    map[string]tokens    // of open documents, by key
	tokens   int                  // names of progress and of lists of tokens, made so far
}

type evaluator func(ctx context.Context, f *files, entry string) *plan.Snapshot

// pace is how long the server waits for what.
type pace struct {
	notice   time.Duration // between an edit and its evaluation, for the requests that come with the edit
	patience time.Duration // the most that an evaluation waits for such requests
	quiet    time.Duration // without an edit, before an evaluation that an edit has stopped begins again
	slow     time.Duration // an evaluation that takes longer shows its progress
}

// phase of the server's life.
type phase uint8

const (
	fresh phase = iota // nothing but initialize is answered
	serving
	leaving // nothing but exit is
)

// Requests that a client may have under way before the server refuses more.
const maxRunning = 1000

func newServer(ctx context.Context, c Config) *server {
	if c.Errors == nil {
		c.Errors = io.Discard
	}
	s := &server{
		config:    c,
		pages:     newPages(c.Pages),
		slots:     make(chan struct{}, max(2, runtime.GOMAXPROCS(0))),
		runs:      make(chan struct{}, max(1, runtime.GOMAXPROCS(0)-1)),
		pace:      pace{notice: time.Millisecond, patience: 10 * time.Millisecond, quiet: 20 * time.Millisecond, slow: time.Second},
		encoding:  wire.UTF16,
		settings:  defaultSettings(),
		published: map[string]published{},
		running:   map[jsonrpc2.ID]*running{},
		docs:      map[string]*document{},
		roots:     map[string]*root{},
		settled:   make(chan struct{}),
		changes:   map[string]uint64{},
		stale:     map[string]bool{},
		closed:    map[string]string{},
		owed:      map[string]bool{},
		shown:     map[string]tokens{},
	}
	s.evaluate = func(ctx context.Context, f *files, entry string) *plan.Snapshot { return plan.Check(ctx, f, entry) }
	s.methods = methodTable()
	s.ctx, s.leave = context.WithCancel(ctx)
	return s
}

func (s *server) serve(rw io.ReadWriteCloser) error {
	messages := &heard{stream: newStream(rw)}
	s.mu.Lock() // a first message may come before conn is there to answer it
	s.conn = jsonrpc2.NewConn(s.ctx, messages, s, jsonrpc2.SetLogger(protocolLog{s.config.Errors}))
	s.mu.Unlock()
	<-s.conn.DisconnectNotify()
	if fault := messages.fault.Load(); fault != nil && s.ctx.Err() == nil {
		fmt.Fprintf(s.config.Errors, "haulm: %v\n", *fault)
	}
	s.leave()
	s.handling.Lock() // the message that was last read begins nothing new after this
	s.over = true
	s.handling.Unlock()
	s.work.Wait()
	_ = messages.Close() // so that what was answered last is written
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.phase != leaving {
		return ErrNoShutdown
	}
	return nil
}

// heard keeps what broke a stream, to be said before the server ends: jsonrpc2 says it some time after.
type heard struct {
	*stream
	fault atomic.Pointer[error]
}

// ReadObject reads the next message. A stream that broke has ended.
func (h *heard) ReadObject(v any) error {
	err := h.stream.ReadObject(v)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		h.fault.Store(&err)
		return io.EOF
	}
	return err
}

// protocolLog takes what jsonrpc2 has to say of a broken connection.
type protocolLog struct{ to io.Writer }

func (l protocolLog) Printf(format string, args ...any) { fmt.Fprintf(l.to, "haulm: "+format, args...) }

// spawn runs f in a goroutine that the server waits for at its end. A panic in it is a line in the
// client's log.
func (s *server) spawn(what string, f func()) {
	s.work.Go(func() { s.safely(what, f) })
}

func (s *server) safely(what string, f func()) {
	defer s.recovered(what)
	f()
}

// recovered logs a panic on its way up.
func (s *server) recovered(what string) {
	if fault := recover(); fault != nil {
		s.logFault(what, fault)
	}
}

func (s *server) logFault(what string, fault any) {
	s.log(logError, fmt.Sprintf("%s: this should not happen; please report it with the plan at hand: %v\n%s", what, fault, debug.Stack()))
}
