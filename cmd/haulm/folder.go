package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/book"
)

// folder is a folder of files that is written beside its place and then put there. A folder of its own changes
// places with the one before in one step; where other files lie, the new ones are put among them one by one.
type folder struct {
	target string   // where the folder shall be
	temp   string   // where it is written
	before []string // files of the book that is there
	there  bool     // there is a folder
	shared bool     // it holds other things, or somebody stands in it
	names  []string
}

// openFolder looks at the place where a book shall be and begins to write beside it.
func openFolder(name string, force bool) (*folder, error) {
	f := &folder{target: name}
	switch target, err := filepath.EvalSymlinks(name); {
	case err == nil:
		f.target, f.there = target, true
	case !errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("cannot use %s: %w", name, reason(err))
	}
	var err error
	if f.target, err = filepath.Abs(f.target); err != nil {
		return nil, err
	}
	if f.there {
		if err := f.look(name, force); err != nil {
			return nil, err
		}
	}
	beside := filepath.Dir(f.target)
	if err := os.MkdirAll(beside, 0o777); err != nil {
		return nil, fmt.Errorf("cannot make the folder %s: %w", beside, reason(err))
	}
	for n := os.Getpid(); ; n++ {
		f.temp = filepath.Join(beside, ".haulm-"+strconv.Itoa(n))
		switch err := os.Mkdir(f.temp, 0o777); {
		case errors.Is(err, fs.ErrExist):
			continue
		case err != nil:
			return nil, fmt.Errorf("cannot write beside %s: %w", name, reason(err))
		}
		return f, nil
	}
}

// look finds out what is in the folder that is there.
func (f *folder) look(name string, force bool) error {
	var files []string
	err := filepath.WalkDir(f.target, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if path == f.target {
			if !d.IsDir() {
				return errors.New("it is a file")
			}
			return nil
		}
		rel, err := filepath.Rel(f.target, path)
		if err == nil && !d.IsDir() {
			files = append(files, filepath.ToSlash(rel))
		}
		if len(files) > mostBefore {
			return fs.SkipAll
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("cannot use %s: %w", name, reason(err))
	}
	list, err := os.ReadFile(filepath.Join(f.target, book.ListName))
	if err == nil {
		f.before, _ = book.Listed(list)
	}
	f.before = slices.DeleteFunc(f.before, func(n string) bool { return !filepath.IsLocal(filepath.FromSlash(n)) })
	for _, n := range files {
		if slices.Contains(f.before, n) {
			continue
		}
		f.shared = true
		if !force {
			if len(f.before) > 0 {
				return fmt.Errorf("the book in %s holds a file that is not of the book, %s; move it away, or keep it there with --force", name, n)
			}
			return fmt.Errorf("the folder %s is not a book: it holds %s; name another, or write there all the same with --force", name, n)
		}
	}
	if here, err := os.Getwd(); err != nil || here == f.target || strings.HasPrefix(here, f.target+string(filepath.Separator)) {
		f.shared = true // a shell must not be left standing in a folder that is gone
	}
	return nil
}

// mostBefore bounds how far a folder is looked through; what holds more is not a book.
const mostBefore = 100_000

// add writes a file of the folder.
func (f *folder) add(name string, write func(io.Writer) error) error {
	path := filepath.Join(f.temp, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return err
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	f.names = append(f.names, name)
	return errors.Join(write(file), file.Close())
}

// abandon takes away what was written and is not in its place.
func (f *folder) abandon() { os.RemoveAll(f.temp) }

// publish puts the folder in its place. What stood there stays until the new one does.
func (f *folder) publish() error {
	switch {
	case f.shared:
		return f.mingle()
	case !f.there:
		return os.Rename(f.temp, f.target)
	}
	if info, err := os.Stat(f.target); err == nil {
		if err := os.Chmod(f.temp, info.Mode().Perm()); err != nil {
			return err
		}
	}
	old := f.temp + "-before"
	if err := os.Rename(f.target, old); err != nil {
		return err
	}
	if err := os.Rename(f.temp, f.target); err != nil {
		return errors.Join(err, os.Rename(old, f.target))
	}
	return os.RemoveAll(old)
}

// mingle puts each file among those that are there, whole, the list of them last, and takes away what was of
// the book before and is no more.
func (f *folder) mingle() error {
	for _, name := range f.names {
		to := filepath.Join(f.target, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return err
		}
		if err := os.Rename(filepath.Join(f.temp, filepath.FromSlash(name)), to); err != nil {
			return err
		}
	}
	for _, name := range f.before {
		if !slices.Contains(f.names, name) {
			if err := os.Remove(filepath.Join(f.target, filepath.FromSlash(name))); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
	}
	return nil
}
