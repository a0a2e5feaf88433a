package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"haulm/lang/eval"
	"haulm/lang/syntax"
	"haulm/lsp/disk"
	"haulm/stdlib/season"
)

// entryName is the file that a folder's plan starts from.
const entryName = eval.EntryName

// Standard input: as the command line and machine-readable output name it, and as people read of it.
const (
	stdinName  = "-"
	stdinTitle = "standard input"
)

// place is where a plan lies: its root, opened so that nothing outside can be read, and its first file.
type place struct {
	fs.FS
	root  *os.Root
	dir   string // of the root, absolute
	entry string // slash-separated, inside the root
	arg   string // as the command line names the plan
	text  string // of standard input
	stdin bool
	today season.Date // None when nobody says
}

// locate finds the plan that an argument names: a file, a folder (its farm.star), or "-" for the text on
// stdin, which is read as if it stood in the current folder. The caller closes it.
func locate(arg string, o *options, stdin io.Reader) (*place, error) {
	p := &place{arg: arg, stdin: arg == stdinName}
	today, err := o.day()
	if err != nil {
		return nil, err
	}
	p.today = today
	file, err := p.find(stdin)
	if err != nil {
		return nil, err
	}
	if p.dir, p.entry, err = rootOf(file, o.root); err != nil {
		return nil, err
	}
	if p.root, err = os.OpenRoot(p.dir); err != nil {
		return nil, fmt.Errorf("cannot open the folder %s: %w", p.dir, reason(err))
	}
	p.FS = p.root.FS()
	if p.stdin {
		p.FS = disk.Overlay{FS: p.FS, Texts: map[string]string{p.entry: p.text}}
	}
	return p, nil
}

// Stat tells what a file of the plan is without opening it.
func (p *place) Stat(name string) (fs.FileInfo, error) { return fs.Stat(p.FS, name) }

// Close lets go of the root.
func (p *place) Close() { p.root.Close() }

// find gives the absolute path of the plan's first file.
func (p *place) find(stdin io.Reader) (string, error) {
	if p.stdin {
		text, err := io.ReadAll(io.LimitReader(stdin, maxRead))
		if err != nil {
			return "", fmt.Errorf("cannot read standard input: %w", reason(err))
		}
		p.text = string(text)
		return filepath.Abs(stdinTitle)
	}
	info, err := os.Stat(p.arg)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", fmt.Errorf("there is no plan at %s; `haulm new DIR` writes one to start from", p.arg)
	case err != nil:
		return "", fmt.Errorf("cannot read %s: %w", p.arg, reason(err))
	case !info.IsDir():
		return filepath.Abs(p.arg)
	}
	file := filepath.Join(p.arg, entryName)
	switch info, err := os.Stat(file); {
	case errors.Is(err, fs.ErrNotExist):
		return "", fmt.Errorf("the folder %s has no %s; `haulm new DIR` writes one to start from", p.arg, entryName)
	case err == nil && info.IsDir():
		return "", fmt.Errorf("%s is a folder; a plan starts in a file", file)
	}
	return filepath.Abs(file)
}

// maxRead is one byte more than a plan may have, so that one too long is a finding like any other.
const maxRead = syntax.MaxFileSize + 1

// rootOf gives the root of a plan's file and the file's path inside it: the folder named by hand, else
// the git work tree around the file, else the file's own folder.
func rootOf(file, named string) (dir, entry string, err error) {
	if named == "" {
		dir = disk.WorkTree(filepath.Dir(file))
	} else if dir, err = filepath.Abs(named); err != nil {
		return "", "", err
	}
	inside, err := filepath.Rel(dir, file)
	if err != nil || disk.LeadsOut(inside) {
		return "", "", fmt.Errorf("%s is not below the root %s", file, named)
	}
	return dir, filepath.ToSlash(inside), nil
}

// reason leaves of a file error what is not the path, which the sentence around it gives.
func reason(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// onDisk is the path of one of the plan's files.
func (p *place) onDisk(path string) string { return filepath.Join(p.dir, filepath.FromSlash(path)) }
