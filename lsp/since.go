package lsp

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"haulm/lang/diff"
	"haulm/lang/plan"
	"haulm/lsp/feature"
	"haulm/lsp/revision"
)

// committed is a plan as the last commit has it, kept until there is another commit.
type committed struct {
	id   string
	plan *plan.Snapshot // nil when the commit has no such plan
}

// compare says in the background what changed in a plan since last year and since the last commit of its repository.
// No request waits for it: until it is done, lenses and hovers do without.
func (s *server) compare(r *root) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if r.plan == nil || s.ctx.Err() != nil {
		return
	}
	if r.comparing {
		return // it looks for a newer evaluation before it ends
	}
	r.comparing = true
	s.spawn("comparison", func() { s.compareNow(r) })
}

func (s *server) compareNow(r *root) {
	var done *feature.Plan
	for {
		s.mu.Lock()
		p := r.plan
		if p == done || r.gone || s.ctx.Err() != nil {
			r.comparing = false
			s.mu.Unlock()
			return
		}
		loose := r.loose
		s.mu.Unlock()
		done = p
		if p.LookBack() {
			s.toldMore()
		}
		if !loose && s.sinceCommit(r, p) {
			s.toldMore()
		}
	}
}

// toldMore has the client ask again for the lenses, which now say more.
func (s *server) toldMore() {
	s.mu.Lock()
	s.owe(refreshLenses)
	s.mu.Unlock()
	s.safely("refresh", s.refresh)
}

// sinceCommit tells a plan what changed since the last commit; false where there is none to compare it with.
func (s *server) sinceCommit(r *root, p *feature.Plan) bool {
	if _, err := os.Lstat(filepath.Join(r.dir, ".git")); r.dir == "" || err != nil {
		return false
	}
	base := s.lastCommit(r.dir, r.entry, r.base)
	r.base = base
	if base.plan == nil {
		return false
	}
	p.SetSince(diff.Compare(diff.Side{Facts: base.plan.Facts, Findings: base.plan.Findings}, diff.Side{Facts: p.Facts, Findings: p.Findings}))
	return true
}

// lastCommit gives a plan as the last commit has it, worked out anew only when there is another commit.
func (s *server) lastCommit(dir, entry string, known committed) committed {
	c, err := revision.Open(s.ctx, dir, "HEAD")
	if err != nil {
		return committed{}
	}
	if c.ID == known.id {
		return known
	}
	found := committed{id: c.ID}
	entry = path.Join(c.Here, entry)
	if _, err := fs.Stat(c, entry); errors.Is(err, fs.ErrNotExist) {
		return found
	}
	if snap := plan.Check(s.ctx, c, entry); snap.Trouble == nil && s.ctx.Err() == nil {
		found.plan = snap
	}
	return found
}
