// Package disk is where a plan lies on disk, for the command line and the language server alike: the folder that it
// may read below, and texts that stand in place of files. In go paths of the operating system and texts; out come
// folders and an fs.FS.
package disk

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"
)

// WorkTree is the nearest folder at or above dir that has a .git entry; dir itself when none has.
func WorkTree(dir string) string {
	for at := dir; ; at = filepath.Dir(at) {
		if _, err := os.Lstat(filepath.Join(at, ".git")); err == nil {
			return at
		}
		if at == filepath.Dir(at) {
			return dir
		}
	}
}

// Holds tells whether a file is a folder or lies below it.
func Holds(dir, file string) bool {
	rel, err := filepath.Rel(dir, file)
	return err == nil && !LeadsOut(rel)
}

// LeadsOut tells whether a path from a folder goes above it.
func LeadsOut(rel string) bool {
	return rel == ".." || strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// Overlay is a file system with some texts, by path, in place of what is in it.
type Overlay struct {
	fs.FS
	Texts map[string]string
}

// Open gives the text laid over a file, or the file.
func (o Overlay) Open(name string) (fs.File, error) {
	text, ok := o.Texts[name]
	if !ok {
		return o.FS.Open(name)
	}
	return NewText(name, text), nil
}

// Stat tells of the text laid over a file, or of the file, without opening it.
func (o Overlay) Stat(name string) (fs.FileInfo, error) {
	if text, ok := o.Texts[name]; ok {
		return NewText(name, text), nil
	}
	return fs.Stat(o.FS, name)
}

// Text is a text opened as a file, and what is told of that file.
type Text struct {
	*strings.Reader
	name string
}

// NewText opens a text as the file of a path.
func NewText(name, text string) *Text {
	return &Text{Reader: strings.NewReader(text), name: path.Base(name)}
}

// The methods of fs.File and fs.FileInfo.
func (t *Text) Stat() (fs.FileInfo, error) { return t, nil }
func (t *Text) Close() error               { return nil }
func (t *Text) Name() string               { return t.name }
func (t *Text) Mode() fs.FileMode          { return 0o444 }
func (t *Text) ModTime() time.Time         { return time.Time{} }
func (t *Text) IsDir() bool                { return false }
func (t *Text) Sys() any                   { return nil }
