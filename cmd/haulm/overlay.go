package main

import (
	"io/fs"
	"path"
	"strings"
	"time"
)

// overlay is a file system with some texts in place of what is on disk.
type overlay struct {
	fs.FS
	texts map[string]string
}

// Open gives the text laid over a file, or the file.
func (o overlay) Open(name string) (fs.File, error) {
	text, ok := o.texts[name]
	if !ok {
		return o.FS.Open(name)
	}
	return newTextFile(name, text), nil
}

// Stat tells of the text laid over a file, or of the file, without opening it.
func (o overlay) Stat(name string) (fs.FileInfo, error) {
	if text, ok := o.texts[name]; ok {
		return newTextFile(name, text), nil
	}
	return fs.Stat(o.FS, name)
}

// textFile is a text opened as a file.
type textFile struct {
	*strings.Reader
	name string
}

func newTextFile(name, text string) *textFile {
	return &textFile{Reader: strings.NewReader(text), name: path.Base(name)}
}

func (f *textFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f *textFile) Close() error               { return nil }
func (f *textFile) Name() string               { return f.name }
func (f *textFile) Mode() fs.FileMode          { return 0o444 }
func (f *textFile) ModTime() time.Time         { return time.Time{} }
func (f *textFile) IsDir() bool                { return false }
func (f *textFile) Sys() any                   { return nil }
