// Package view shows a plan's field book in a browser on the same machine and keeps it up with the plan: on every
// save, or, with an editor beside it, on every letter. In go the place of a plan and a way to write its files;
// out come pages, served on loopback until the context ends.
//
//	guard.go   who may ask: names of this machine, pages of this server, bearers of the token
//	live.go    the book as it is now, and news of it to every page that is open
//	watch.go   files that change on disk
//	page.go    the book's pages with findings beside them, and the reckoning of a planting
//	edit.go    the editor's page and the texts it opens and saves
//	talk.go    the editor's language server, over a WebSocket
//	web/       what the browser runs, made by web/build.js from web/src into web/dist
//
// It judges nothing and lays nothing out: the book does. Nothing is written to disk but a text that the editor asks
// to save, and that only over the very text it was made from.
package view

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"strconv"
	"sync"
	"time"
)

// Config says what to show and how.
type Config struct {
	Root    string // the folder that the plan may read below, absolute
	Entry   string // the plan's first file, slash-separated, inside Root
	Port    int    // 0 for any that is free
	Version string // of the program, for the language server
	Errors  io.Writer

	// Save puts a text in the place of a file, whole or not at all. With it there is an editor; nil is for a page
	// that only shows.
	Save func(file, text string) error
}

// Serve shows a plan until ctx ends. ready is told the address to open. A plan that cannot be read at all is an error
// at the start; later its last book stays.
func Serve(ctx context.Context, c Config, ready func(address string)) error {
	if c.Errors == nil {
		c.Errors = io.Discard
	}
	ctx, leave := context.WithCancel(ctx)
	defer leave()
	shown := newLive(ctx, c.Root, c.Entry)
	if err := shown.book.Trouble; err != nil {
		return err
	}
	l, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(c.Port)))
	if err != nil {
		return fmt.Errorf("cannot listen on port %d: %w; without --port a free one is taken", c.Port, errors.Unwrap(err))
	}
	s := newServer(ctx, c, l.Addr().(*net.TCPAddr).Port, shown)
	w, err := newWatch(shown)
	if err != nil {
		l.Close()
		return fmt.Errorf("cannot watch %s for changes: %w", c.Root, err)
	}
	var work sync.WaitGroup
	defer work.Wait()
	defer leave() // before the wait
	work.Go(func() { w.run(ctx) })

	h := &http.Server{
		Handler:           s.handler(),
		ReadHeaderTimeout: 10 * time.Second,
		IdleTimeout:       2 * time.Minute,
		BaseContext:       func(net.Listener) context.Context { return ctx },
		ErrorLog:          log.New(c.Errors, "haulm: ", 0),
	}
	work.Go(func() {
		<-ctx.Done()
		ending, stop := context.WithTimeout(context.Background(), 2*time.Second)
		defer stop()
		if h.Shutdown(ending) != nil {
			h.Close()
		}
	})
	ready(s.address())
	err = h.Serve(l)
	leave()
	s.talks.Wait()
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return fmt.Errorf("the page cannot be served any longer: %w", err)
}

// server is one plan's.
type server struct {
	Config
	ctx   context.Context
	port  int
	token string // "" where none is needed
	live  *live
	talks sync.WaitGroup // WebSockets, which the HTTP server does not wait for

	saving sync.Mutex // one text after the other
}

func newServer(ctx context.Context, c Config, port int, l *live) *server {
	s := &server{Config: c, ctx: ctx, port: port, live: l}
	if c.Save != nil {
		s.token = rand.Text()
	}
	return s
}

// editing tells whether there is an editor.
func (s *server) editing() bool { return s.Save != nil }

// address is what a person opens.
func (s *server) address() string {
	a := fmt.Sprintf("http://127.0.0.1:%d/", s.port)
	if s.token != "" {
		a += "?token=" + s.token
	}
	return a
}

// handler serves everything. What is the program's own lies below /-/, all else are files of the book.
func (s *server) handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.front)
	mux.HandleFunc("GET /favicon.ico", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	mux.HandleFunc("GET /{page...}", s.page)
	mux.HandleFunc("GET /-/why", s.why)
	mux.HandleFunc("GET /-/news", s.news)
	mux.HandleFunc("GET /-/web/{file}", s.web)
	if s.editing() {
		mux.HandleFunc("GET /-/edit", s.edit)
		mux.HandleFunc("GET /-/files", s.files)
		mux.HandleFunc("GET /-/text", s.text)
		mux.HandleFunc("POST /-/text", s.save)
		mux.HandleFunc("GET /-/language", s.language)
	}
	return s.guard(mux)
}

// front leads to what one came for.
func (s *server) front(w http.ResponseWriter, r *http.Request) {
	to := "/index.html"
	if s.editing() {
		to = "/-/edit"
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}
