package view

import (
	"context"
	"crypto/rand"
	"maps"
	"net/http"
	"path"
	"strconv"
	"sync"

	"github.com/coder/websocket"
	"github.com/coder/websocket/wsjson"

	"haulm/lang/book"
	"haulm/lang/plan"
)

// live is the book as it is now. Its plan is read from disk, or shown by an editor as long as one is there.
type live struct {
	ctx   context.Context
	root  string
	entry string
	run   string // tells this server's editions from those of another at the same address

	reading sync.Mutex // one reading after the other, so that the last to end is the newest
	mu      sync.Mutex
	book    *book.Book
	edition int             // of the book
	saved   int             // changes on disk so far
	paths   map[string]bool // that the plan asked for, there or not
	editors int
	next    chan struct{} // closed and made anew at each change
}

// news is what an open page is told.
type news struct {
	Edition string `json:"edition"`
	Saved   int    `json:"saved"`
	Trouble string `json:"trouble"` // why the plan cannot be read; the book is the last that could be
}

func newLive(ctx context.Context, root, entry string) *live {
	l := &live{ctx: ctx, root: root, entry: entry, run: rand.Text()[:8], next: make(chan struct{})}
	l.read()
	return l
}

// read works the plan out from disk.
func (l *live) read() {
	l.reading.Lock()
	defer l.reading.Unlock()
	d := newDisk(l.root)
	snap := plan.Check(l.ctx, d, l.entry)
	l.mu.Lock()
	defer l.mu.Unlock()
	l.saved++
	switch {
	case l.editors > 0:
		maps.Copy(l.paths, d.took()) // the unsaved texts may ask for others
	case l.ctx.Err() == nil || l.book == nil:
		l.paths = d.took()
		l.put(snap)
	}
	l.tell()
}

// show takes what an editor's server worked out, unsaved texts and all.
func (l *live) show(snap *plan.Snapshot) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.editors > 0 {
		l.put(snap)
		l.tell()
	}
}

// put makes a plan the one shown, unless it could not be read at all while one before it could. The caller holds mu.
func (l *live) put(snap *plan.Snapshot) {
	for _, f := range snap.Files {
		l.paths[f.Path] = true
	}
	next := book.New(snap)
	if snap.Trouble != nil && l.book != nil {
		l.book = trouble(l.book, snap.Trouble)
	} else {
		l.book = next
	}
	l.edition++
}

// trouble keeps a book that cannot be renewed.
func trouble(b *book.Book, err error) *book.Book {
	snap := *b.Snapshot
	snap.Trouble = err
	return book.New(&snap)
}

// tell wakes those who wait for news. The caller holds mu.
func (l *live) tell() {
	close(l.next)
	l.next = make(chan struct{})
}

// now gives the book, what there is to say of it, and what is closed when that changes.
func (l *live) now() (*book.Book, news, <-chan struct{}) {
	l.mu.Lock()
	defer l.mu.Unlock()
	n := news{Edition: l.run + "-" + strconv.Itoa(l.edition), Saved: l.saved}
	if t := l.book.Trouble; t != nil {
		n.Trouble = t.Error()
	}
	return l.book, n, l.next
}

// watched gives the files that the plan is made of or asked for, and those in which it may yet find something.
func (l *live) watched() map[string]bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return maps.Clone(l.paths)
}

// edited notes an editor that comes, and gives what is called when it goes: the last to go leaves the plan as it is
// on disk.
func (l *live) edited() (gone func()) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.editors++
	return func() {
		l.mu.Lock()
		l.editors--
		last := l.editors == 0
		l.mu.Unlock()
		if last && l.ctx.Err() == nil {
			l.read()
		}
	}
}

// news tells a page of every edition from now on.
func (s *server) news(w http.ResponseWriter, r *http.Request) {
	c, err := websocket.Accept(w, r, nil) // which has answered, when it fails
	if err != nil {
		return
	}
	s.talks.Add(1)
	defer s.talks.Done()
	defer c.CloseNow()
	ctx := c.CloseRead(s.ctx)
	for {
		_, n, next := s.live.now()
		if wsjson.Write(ctx, c, n) != nil {
			return
		}
		select {
		case <-next:
		case <-ctx.Done():
			return
		}
	}
}

// isPlan tells whether a path is one of the texts that a plan is written in.
func isPlan(name string) bool { return path.Ext(name) == ".star" }
