// Package revision reads plans as a git repository has them: it gives the files of a commit as an fs.FS, through
// the git program. It writes nothing, runs no hook, and asks no network.
package revision

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Commit is the files of one commit of a repository, read when they are first asked for.
type Commit struct {
	ID   string // full name of the commit
	Dir  string // top of the work tree
	Here string // path from there to the folder that Open was given, "." for the top itself

	ctx   context.Context
	files map[string]*entry
	mu    sync.Mutex
}

// entry is a file or folder of a commit.
type entry struct {
	name   string // base name
	object string // "" for a folder
	size   int64
	link   bool
	text   []byte // once read
	read   bool
}

// mostBytes bounds what is read of a file: more than any plan may have, so that one too long is told of as such.
const mostBytes = 16 << 20

// ErrNoGit is the trouble of a machine without the git program.
var ErrNoGit = errors.New("the git program is not installed, or not where programs are looked for; name a file or a folder instead")

// Open gives the files of a revision ("HEAD", "HEAD~2", "2026-final") of the repository that has the folder dir. The
// error says in a sentence what is missing: git, a repository, or the revision. Reads end when ctx does.
func Open(ctx context.Context, dir, rev string) (*Commit, error) {
	c := &Commit{Dir: dir, ctx: ctx}
	top, err := c.git("rev-parse", "--show-toplevel")
	switch {
	case errors.Is(err, exec.ErrNotFound):
		return nil, ErrNoGit
	case err != nil && ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		return nil, fmt.Errorf("%s is in no git repository", dir)
	}
	prefix, err := c.git("rev-parse", "--show-prefix")
	if err != nil {
		return nil, fmt.Errorf("%s cannot be found in its git repository", dir)
	}
	c.Here = path.Clean(strings.TrimSpace(string(prefix)))
	c.Dir = filepath.FromSlash(strings.TrimRight(string(top), "\r\n"))
	id, err := c.git("rev-parse", "--verify", "--quiet", "--end-of-options", rev+"^{commit}")
	if err != nil {
		return nil, fmt.Errorf("the git repository %s has no revision %q", c.Dir, rev)
	}
	c.ID = strings.TrimSpace(string(id))
	list, err := c.git("ls-tree", "-r", "-l", "-z", "--full-tree", c.ID)
	if err != nil {
		return nil, fmt.Errorf("cannot list the files of %q: %w", rev, err)
	}
	c.files = readTree(string(list))
	return c, nil
}

// readTree reads what `git ls-tree -r -l -z` prints: mode, type, object, size, a tab, the path.
func readTree(list string) map[string]*entry {
	files := map[string]*entry{".": {name: "."}}
	for line := range strings.SplitSeq(list, "\x00") {
		about, name, ok := strings.Cut(line, "\t")
		words := strings.Fields(about)
		if !ok || len(words) != 4 || words[1] != "blob" || !fs.ValidPath(name) {
			continue
		}
		size, _ := strconv.ParseInt(words[3], 10, 64) // "-" for what has none
		files[name] = &entry{name: path.Base(name), object: words[2], size: size, link: words[0] == "120000"}
		for dir := path.Dir(name); files[dir] == nil; dir = path.Dir(dir) {
			files[dir] = &entry{name: path.Base(dir)}
		}
	}
	return files
}

// git runs the program in the folder and gives what it prints.
func (c *Commit) git(args ...string) ([]byte, error) {
	cmd := exec.CommandContext(c.ctx, "git", append([]string{"-C", c.Dir, "--no-pager"}, args...)...)
	cmd.Env = append(os.Environ(), "GIT_OPTIONAL_LOCKS=0", "GIT_NO_LAZY_FETCH=1", "GIT_TERMINAL_PROMPT=0", "LC_ALL=C")
	cmd.WaitDelay = time.Second
	return cmd.Output()
}

// Stat tells what a file is without reading it.
func (c *Commit) Stat(name string) (fs.FileInfo, error) {
	e, err := c.find("stat", name)
	if err != nil {
		return nil, err
	}
	return info{e}, nil
}

// Open gives a file of the commit.
func (c *Commit) Open(name string) (fs.File, error) {
	e, err := c.find("open", name)
	if err != nil {
		return nil, err
	}
	text, err := c.read(e)
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: err}
	}
	return &file{entry: e, Reader: bytes.NewReader(text)}, nil
}

// mostLinks is how many links lead from one to the next at most.
const mostLinks = 16

// find gives the entry of a path; a file that is a link stands for what it leads to inside the commit.
func (c *Commit) find(op, name string) (*entry, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: op, Path: name, Err: fs.ErrInvalid}
	}
	at := name
	for range mostLinks {
		e := c.files[at]
		if e == nil {
			return nil, &fs.PathError{Op: op, Path: name, Err: fs.ErrNotExist}
		}
		if !e.link {
			return e, nil
		}
		to, err := c.read(e)
		if err != nil {
			return nil, &fs.PathError{Op: op, Path: name, Err: err}
		}
		if at = path.Join(path.Dir(at), string(to)); path.IsAbs(string(to)) || !fs.ValidPath(at) {
			return nil, &fs.PathError{Op: op, Path: name, Err: errors.New("path escapes the repository")}
		}
	}
	return nil, &fs.PathError{Op: op, Path: name, Err: errors.New("too many links")}
}

// read gives the bytes of a file, no more than mostBytes of them.
func (c *Commit) read(e *entry) ([]byte, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e.read || e.object == "" {
		return e.text, nil
	}
	if e.size > mostBytes {
		return nil, fmt.Errorf("it has %d bytes, more than any plan", e.size)
	}
	text, err := c.git("cat-file", "blob", e.object)
	if err != nil {
		return nil, fmt.Errorf("git cannot read it: %w", err)
	}
	e.text, e.read = text, true
	return text, nil
}

// file is an entry opened.
type file struct {
	*entry
	*bytes.Reader
}

func (f *file) Stat() (fs.FileInfo, error) { return info{f.entry}, nil }
func (f *file) Close() error               { return nil }

// info tells of an entry.
type info struct{ *entry }

func (i info) Name() string       { return i.name }
func (i info) Size() int64        { return i.size }
func (i info) ModTime() time.Time { return time.Time{} }
func (i info) IsDir() bool        { return i.object == "" }
func (i info) Sys() any           { return nil }
func (i info) Mode() fs.FileMode {
	if i.IsDir() {
		return fs.ModeDir | 0o555
	}
	return 0o444
}
