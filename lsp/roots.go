package lsp

import (
	"cmp"
	"context"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"haulm/lang/diag"
	"haulm/lsp/disk"
	"haulm/lsp/feature"
)

// root is a plan that the server keeps worked out: the first file of it, and what came of it last. Its
// fields are guarded by the server's mu.
type root struct {
	key   string // of its entry
	dir   string // that its paths start from; "" for a text that is no file
	entry string
	loose bool // no plan reaches its entry: it is looked at by itself while it is open
	kept  bool // it lies in a folder of the workspace

	wanted, done uint64 // evaluations asked for and finished
	busy         bool   // a goroutine is on it
	stop         context.CancelFunc
	edited       time.Time // when it was asked for last
	gone         bool

	comparing bool      // with last year and the last commit
	base      committed // the plan as the last commit has it; touched only while comparing

	plan     *feature.Plan // nil before the first evaluation has ended
	asked    map[string]bool
	findings map[string][]diag.Diagnostic // by key; one entry for each file that it reaches
	printed  []string
}

// path is a document's path inside the plan; false when it lies outside.
func (r *root) path(key string) (string, bool) {
	if r.dir == "" || !filepath.IsAbs(key) {
		return r.entry, key == r.key
	}
	rel, err := filepath.Rel(r.dir, key)
	return filepath.ToSlash(rel), err == nil && disk.Holds(r.dir, key)
}

// at is the key of one of the plan's files.
func (r *root) at(path string) string {
	if r.dir == "" {
		return r.key
	}
	return filepath.Join(r.dir, filepath.FromSlash(path))
}

// reaches tells whether a document is one of the plan's files.
func (r *root) reaches(key string) bool {
	_, ok := r.findings[key]
	return ok || key == r.key
}

// touches tells whether the plan changes with a document, which need not exist yet.
func (r *root) touches(key string) bool {
	path, ok := r.path(key)
	return ok && (key == r.key || r.asked[path])
}

func (r *root) isDone() bool { return r.done == r.wanted }

// addRoot makes the plan of an entry known and has it worked out. The caller holds mu.
func (s *server) addRoot(key string, loose bool) *root {
	if r := s.roots[key]; r != nil {
		if r.loose && !loose {
			r.loose = false
			s.dirty(r)
		}
		return r
	}
	r := &root{key: key, entry: "untitled.star", loose: loose}
	if filepath.IsAbs(key) {
		r.dir = s.dirFor(key)
		r.entry, _ = r.path(key)
	}
	s.roots[key] = r
	s.dirty(r)
	return r
}

// dirFor is the folder that the plan of an entry may read below: for a file below the farm.star of another plan
// that plan's, which the file may be going to belong to. The caller holds mu.
func (s *server) dirFor(key string) string {
	dir, nearest := rootOf(key, s.config.Root), ""
	if filepath.Base(key) == entryName {
		return dir
	}
	for _, r := range s.roots {
		if above := filepath.Dir(r.key); !r.loose && r.dir != "" && disk.Holds(above, key) && len(above) > len(nearest) {
			dir, nearest = r.dir, above
		}
	}
	return dir
}

// dropRoot forgets a plan. The caller holds mu.
func (s *server) dropRoot(r *root) {
	s.republish(r)
	delete(s.roots, r.key)
	r.gone = true
	if r.stop != nil {
		r.stop()
	}
	s.wake()
}

// entriesFor lists the plans on disk that a file may belong to by where it lies: the entries in its own folder
// and those above it, as far as a plan there may read it.
func (s *server) entriesFor(key string) []string {
	if !filepath.IsAbs(key) {
		return nil
	}
	if filepath.Base(key) == entryName {
		return []string{key}
	}
	var list []string
	for dir, top := filepath.Dir(key), rootOf(key, s.config.Root); disk.Holds(top, dir); dir = filepath.Dir(dir) {
		entry := filepath.Join(dir, entryName)
		if info, err := os.Stat(entry); err == nil && info.Mode().IsRegular() {
			list = append(list, entry)
		}
		if dir == filepath.Dir(dir) {
			break
		}
	}
	return list
}

// adopt looks at the open documents that no plan reaches by themselves, and no longer at those that one
// reaches now. It waits until every plan there is has been worked out. The caller holds mu.
func (s *server) adopt() {
	if s.scans > 0 {
		return
	}
	reached := map[string]bool{}
	for _, r := range s.roots {
		if r.loose {
			continue
		}
		if r.done == 0 {
			return
		}
		for key := range r.findings {
			reached[key] = true
		}
	}
	for _, key := range slices.Sorted(maps.Keys(s.docs)) {
		r := s.roots[key]
		switch {
		case reached[key] && r != nil && r.loose:
			s.dropRoot(r)
		case !reached[key] && r == nil:
			s.addRoot(key, true)
		}
	}
}

// dropIdle forgets the plans that nothing open belongs to and that lie in no folder of the workspace.
// The caller holds mu.
func (s *server) dropIdle() {
	for _, key := range slices.Sorted(maps.Keys(s.roots)) {
		if r := s.roots[key]; !r.kept && !s.isUsed(r) {
			s.dropRoot(r)
		}
	}
}

func (s *server) isUsed(r *root) bool {
	for key := range s.docs {
		if key == r.key || !r.loose && (r.touches(key) || r.dir != "" && disk.Holds(filepath.Dir(r.key), key)) {
			return true
		}
	}
	return false
}

// isActive tells whether one of the plan's files is open. The caller holds mu.
func (s *server) isActive(r *root) bool {
	for key := range s.docs {
		if r.reaches(key) {
			return true
		}
	}
	return false
}

// rootFor picks the plan that a document is seen in: one that reaches it, rather the plan of a farm.star
// than the document's own, rather one in a folder above it, the nearest; nil for none yet. The caller holds mu.
func (s *server) rootFor(key string) *root {
	var found []*root
	for _, r := range s.roots {
		if r.plan != nil && r.reaches(key) {
			found = append(found, r)
		}
	}
	if len(found) == 0 {
		return nil
	}
	distance := func(r *root) int {
		switch above := filepath.Dir(r.key); {
		case r.loose:
			return 1 << 20
		case disk.Holds(above, key):
			return strings.Count(key, string(filepath.Separator)) - strings.Count(above, string(filepath.Separator))
		}
		return 1 << 19
	}
	return slices.MinFunc(found, func(a, b *root) int {
		return cmp.Or(cmp.Compare(distance(a), distance(b)), cmp.Compare(a.key, b.key))
	})
}

// maxScanned entries of a folder are looked through for plans; a home folder has more.
const maxScanned = 50_000

// scan finds the plans in a folder of the workspace. The caller holds mu.
func (s *server) scan(folder string) {
	s.scans++
	s.spawn("scan", func() {
		entries := planEntries(folder)
		s.mu.Lock()
		defer s.mu.Unlock()
		for _, entry := range entries {
			if slices.Contains(s.folders, folder) { // it may have left the workspace meanwhile
				s.addRoot(entry, false).kept = true
			}
		}
		s.scans--
		s.adopt()
		s.wake()
	})
}

// planEntries lists the farm.star files in a folder and those below it whose names begin with no dot.
func planEntries(folder string) []string {
	var list []string
	seen := 0
	_ = filepath.WalkDir(folder, func(file string, d fs.DirEntry, err error) error { // what cannot be read holds no plan
		seen++
		switch {
		case seen > maxScanned:
			return filepath.SkipAll
		case err != nil:
			return filepath.SkipDir
		case d.IsDir() && file != folder && (strings.HasPrefix(d.Name(), ".") || d.Name() == "node_modules"):
			return filepath.SkipDir
		case d.Name() == entryName && d.Type().IsRegular():
			list = append(list, filepath.Clean(file))
		}
		return nil
	})
	return list
}
