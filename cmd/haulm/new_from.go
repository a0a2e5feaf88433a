package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"

	"github.com/spf13/cobra"

	"haulm/lang/diag"
	"haulm/lang/next"
	"haulm/lsp/disk"
)

// nextYear gives the text of the plan that follows that of --from, and what is to be said of it.
func (f *newFlags) nextYear(cmd *cobra.Command, dir string) (text, said string, err error) {
	if f.from == stdinName {
		return "", "", errors.New("--from takes a plan's file or its folder, not standard input")
	}
	year, err := f.wantedYear(dir)
	if err != nil {
		return "", "", err
	}
	old, at, err := f.bothIn(dir)
	if err != nil {
		return "", "", err
	}
	defer old.Close()
	o := next.Options{
		Year: year, At: at, Apart: at == "",
		Over: func(name, text string) fs.FS { return disk.Overlay{FS: old.FS, Texts: map[string]string{name: text}} },
	}
	if o.Apart {
		o.At = old.entry
		fmt.Fprintf(cmd.ErrOrStderr(), "%s and %s have no root in common, so the plan says by history what grew. "+
			"It can look back with previous when both lie in one git work tree, or below a folder named with --root.\n", dir, f.from)
	}
	limited, done := context.WithTimeout(cmd.Context(), patience)
	defer done()
	p, err := next.Begin(limited, old, old.entry, o)
	if err != nil {
		return "", "", fmt.Errorf("cannot begin from %s: %w", f.from, err)
	}
	return p.Text, fmt.Sprintf(", begun from the plan of %d, with %s", p.From, diag.Tally(p.Snapshot.Findings)), nil
}

var fourDigits = regexp.MustCompile(`^[0-9]{4}$`)

// wantedYear is the year named by hand, else by the folder's name; 0 when neither does.
func (f *newFlags) wantedYear(dir string) (int, error) {
	text := f.year
	if text == "" {
		whole, err := filepath.Abs(dir)
		if err != nil {
			return 0, err
		}
		if text = filepath.Base(whole); !fourDigits.MatchString(text) {
			return 0, nil
		}
	}
	year, err := strconv.Atoi(text)
	if err != nil || year < 1900 || year > 2200 {
		return 0, fmt.Errorf("the year %q is no year; write it as 2028", text)
	}
	return year, nil
}

// bothIn opens the old plan from the root of the new one, with the new one's path in it, where that root holds both;
// else from its own root, without a path.
func (f *newFlags) bothIn(dir string) (old *place, at string, err error) {
	file, err := filepath.Abs(filepath.Join(dir, entryName))
	if err != nil {
		return nil, "", err
	}
	root, at, err := rootOf(file, f.root)
	if err != nil {
		return nil, "", err
	}
	if old, err = locate(f.from, &options{root: root}, nil); err == nil {
		return old, at, nil
	}
	if f.root == "" {
		if own, failed := locate(f.from, &options{}, nil); failed == nil {
			return own, "", nil
		}
	}
	if _, missing := os.Stat(f.from); missing != nil && errors.Is(missing, fs.ErrNotExist) {
		err = fmt.Errorf("there is no plan at %s to begin from", f.from)
	}
	return nil, "", err
}
