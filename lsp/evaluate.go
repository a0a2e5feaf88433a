package lsp

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"haulm/lang/diag"
	"haulm/lang/plan"
	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

// changed has every plan that depends on a document worked out anew. The caller holds mu.
func (s *server) changed(key string) {
	s.touched(key)
	s.adopt()
	s.wake()
}

func (s *server) touched(key string) {
	s.clock++
	s.changes[key] = s.clock
	for _, r := range s.roots {
		if r.touches(key) {
			s.dirty(r)
		}
	}
}

// dirty has a plan worked out anew, and stops the evaluation that is under way. The caller holds mu.
func (s *server) dirty(r *root) {
	r.wanted++
	r.edited = time.Now()
	if r.stop != nil {
		r.stop()
	}
	if !r.busy {
		r.busy = true
		s.spawn("evaluation", func() { s.workOut(r) })
	}
}

// workOut works a plan out until nothing has changed since. The first evaluation begins at once; when an
// edit stops it, the next waits for a pause in the typing.
func (s *server) workOut(r *root) {
	for stopped := false; ; {
		if stopped {
			s.rest(r)
		}
		t := s.begin(r)
		if t == nil {
			return
		}
		snap := s.run(r, t)
		if stopped = !s.end(r, t, snap); !stopped {
			s.safely("publish", s.publish)
			s.safely("log", func() { s.logPlan(r, snap) })
			s.safely("worked", func() { s.tell(r, snap) })
			s.safely("refresh", s.refresh)
			s.safely("tables", func() { s.warm(r) })
			s.safely("comparison", func() { s.compare(r) })
		}
	}
}

// tell shows an evaluation to whoever started the server.
func (s *server) tell(r *root, snap *plan.Snapshot) {
	if s.config.Worked != nil && snap != nil {
		s.config.Worked(r.key, snap)
	}
}

// warm builds what the next question looks things up in, now that the findings are out.
func (s *server) warm(r *root) {
	s.mu.Lock()
	p := r.plan
	s.mu.Unlock()
	if p != nil {
		p.Warm()
	}
}

// rest waits until a plan has not been edited for a moment.
func (s *server) rest(r *root) {
	for {
		s.mu.Lock()
		left := time.Until(r.edited.Add(s.pace.quiet))
		s.mu.Unlock()
		if left <= 0 {
			return
		}
		select {
		case <-time.After(left):
		case <-s.ctx.Done():
			return
		}
	}
}

// turn is one evaluation of a plan.
type turn struct {
	number uint64
	ctx    context.Context
	files  *files
	loose  bool
	clock  uint64 // changes of documents before it
}

// begin takes what an evaluation starts from; nil says that there is nothing to do.
func (s *server) begin(r *root) *turn {
	s.mu.Lock()
	defer s.mu.Unlock()
	if r.gone || r.isDone() || s.ctx.Err() != nil {
		r.busy = false
		return nil
	}
	texts := map[string]string{}
	for key, d := range s.docs {
		if path, ok := r.path(key); ok {
			texts[path] = d.text.Text
		}
	}
	ctx, stop := context.WithCancel(s.ctx)
	r.stop = stop
	return &turn{r.wanted, ctx, newFiles(r.dir, texts), r.loose, s.clock}
}

// run evaluates a plan when its turn comes, and shows progress when that takes long. It gives nil when it
// was stopped before, or when the evaluation panicked.
func (s *server) run(r *root, t *turn) (snap *plan.Snapshot) {
	defer func() {
		if fault := recover(); fault != nil {
			s.logFault("evaluation", fault)
			snap = nil
		}
	}()
	select {
	case s.runs <- struct{}{}:
		defer func() { <-s.runs }()
	case <-t.ctx.Done():
		return nil
	}
	if !s.requestsFirst(t.ctx) {
		return nil
	}
	defer s.showProgress(t.ctx, "Working out "+r.name())()
	return s.evaluate(t.ctx, t.files, r.entry)
}

// requestsFirst lets the requests that come with an edit, which somebody waits for with their eyes on the
// cursor, have the processor before an evaluation takes it; false when the evaluation was stopped meanwhile.
func (s *server) requestsFirst(ctx context.Context) bool {
	for waited := time.Duration(0); waited == 0 || waited < s.pace.patience && len(s.slots) > 0; waited += s.pace.notice {
		select {
		case <-time.After(s.pace.notice):
		case <-ctx.Done():
			return false
		}
	}
	return true
}

// name of a plan for people: its folder when it starts from a farm.star, else its file.
func (r *root) name() string {
	if filepath.Base(r.key) == entryName {
		return filepath.Base(filepath.Dir(r.key))
	}
	return filepath.Base(r.key)
}

// end makes what an evaluation gave the plan's own, unless the plan has been edited since.
func (s *server) end(r *root, t *turn, snap *plan.Snapshot) bool {
	var findings map[string][]diag.Diagnostic
	if snap != nil {
		findings = byFile(r, snap, t.loose)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	r.stop()
	r.stop = nil
	if r.gone || r.wanted != t.number || s.ctx.Err() != nil {
		return false
	}
	asked := t.files.took()
	for path := range asked { // a document that this evaluation was the first to read may have changed meanwhile
		if s.changes[r.at(path)] > t.clock {
			r.wanted++
			return false
		}
	}
	r.done = t.number
	if snap != nil {
		s.republish(r)
		r.plan, r.asked, r.findings = feature.NewPlan(snap, t.files), asked, findings
		s.republish(r)
	}
	s.adopt()
	s.wake()
	return true
}

// byFile sorts a plan's findings by the file that they are in; every file of the plan has an entry. A
// finding without a place in a file of the plan, or in one that it reads, goes to the plan's first file, and what only a whole plan can
// lack is not said of a file looked at by itself.
func byFile(r *root, snap *plan.Snapshot, loose bool) map[string][]diag.Diagnostic {
	m := map[string][]diag.Diagnostic{}
	for _, f := range snap.Files {
		m[r.at(f.Path)] = nil
	}
	for _, d := range snap.Findings {
		if loose && d.Code() == "no-farm" {
			continue
		}
		key := r.key
		if s := d.Primary.Span; s.IsValid() {
			if at := r.at(s.File.Path); has(m, at) || isRecord(s.File.Path) {
				key = at
			}
		}
		m[key] = append(m[key], d)
	}
	return m
}

// isRecord tells files of records, which a plan reads and does not run, from modules of the standard library.
func isRecord(path string) bool { return strings.HasSuffix(path, ".csv") }

func has[V any](m map[string]V, key string) bool {
	_, ok := m[key]
	return ok
}

// logPlan tells the client what a plan printed, when that differs from what it printed the last time, and
// what trouble there was.
func (s *server) logPlan(r *root, snap *plan.Snapshot) {
	if snap == nil {
		return
	}
	lines := []string{}
	for _, l := range snap.Log {
		lines = append(lines, fmt.Sprintf("%s: %s", l.Span, l.Text))
	}
	s.mu.Lock()
	same := slices.Equal(lines, r.printed)
	r.printed = lines
	s.mu.Unlock()
	if snap.Trouble != nil {
		s.log(logWarning, snap.Trouble.Error())
	}
	for _, line := range lines {
		if !same {
			s.log(logPlain, line)
		}
	}
}

// wake lets those who wait look again. The caller holds mu.
func (s *server) wake() {
	close(s.settled)
	s.settled = make(chan struct{})
}

// worked waits until every plan that a document may belong to is worked out with the document as it is, or
// for d nil every plan there is. It fails when the document changes meanwhile.
func (s *server) worked(ctx context.Context, d *document) error {
	for {
		s.mu.Lock()
		current, done, wake := d == nil || s.docs[d.key] == d, s.isWorked(d), s.settled
		s.mu.Unlock()
		switch {
		case !current:
			return fail(wire.CodeContentModified, "the document has changed since")
		case done:
			return nil
		}
		select {
		case <-wake:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

func (s *server) isWorked(d *document) bool {
	if s.scans > 0 {
		return false
	}
	for _, r := range s.roots {
		if r.isDone() {
			continue
		}
		if d == nil {
			return false
		}
		if _, readable := r.path(d.key); readable {
			return false
		}
	}
	return true
}
