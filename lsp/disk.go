package lsp

import (
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"haulm/lang/eval"
	"haulm/lsp/disk"
)

// entryName is the file that a folder's plan starts from.
const entryName = eval.EntryName

// rootOf is the folder that the plan of a file may read below: the one named by hand where the file lies
// in it, else the git work tree around the file, else the file's own folder.
func rootOf(file, named string) string {
	if named != "" && disk.Holds(named, file) {
		return named
	}
	return disk.WorkTree(filepath.Dir(file))
}

// files is what a plan can read: the texts of open documents first, then what lies below a folder, and
// nothing outside. It notes what was asked for, there or not, since any of it can change the plan.
type files struct {
	dir   string            // "" for texts alone
	texts map[string]string // by path inside dir

	mu    sync.Mutex
	asked map[string]bool
}

func newFiles(dir string, texts map[string]string) *files {
	return &files{dir: dir, texts: texts, asked: map[string]bool{}}
}

// Open opens the text laid over a file, or the file. The folder is opened anew each time: it may have
// been moved away and made again since, and nothing has to be closed later.
func (f *files) Open(name string) (fs.File, error) {
	f.note(name)
	if text, ok := f.texts[name]; ok {
		return disk.NewText(name, text), nil
	}
	if f.dir == "" {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	root, err := os.OpenRoot(f.dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return root.FS().Open(name)
}

// Stat tells what a file is without opening it, which of a pipe may take for ever.
func (f *files) Stat(name string) (fs.FileInfo, error) {
	f.note(name)
	if text, ok := f.texts[name]; ok {
		return disk.NewText(name, text), nil
	}
	if f.dir == "" {
		return nil, &fs.PathError{Op: "stat", Path: name, Err: fs.ErrNotExist}
	}
	root, err := os.OpenRoot(f.dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return fs.Stat(root.FS(), name)
}

func (f *files) note(name string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.asked[name] = true
}

// ReadDir lists a folder with the open documents that are not saved yet.
func (f *files) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := f.saved(name)
	if err != nil {
		list = nil
	}
	for _, text := range slices.Sorted(maps.Keys(f.texts)) {
		if path.Dir(text) != name || slices.ContainsFunc(list, func(e fs.DirEntry) bool { return e.Name() == path.Base(text) }) {
			continue
		}
		list = append(list, fs.FileInfoToDirEntry(disk.NewText(text, f.texts[text])))
		err = nil
	}
	slices.SortFunc(list, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return list, err
}

func (f *files) saved(name string) ([]fs.DirEntry, error) {
	if f.dir == "" {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	root, err := os.OpenRoot(f.dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return fs.ReadDir(root.FS(), name)
}

// took gives the paths asked for so far.
func (f *files) took() map[string]bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return maps.Clone(f.asked)
}
