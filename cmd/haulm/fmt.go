package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"haulm/lang/format"
	"haulm/lang/source"
)

// fmtFlags are the flags of `haulm fmt`.
type fmtFlags struct {
	write, check bool
}

func newFmt() *cobra.Command {
	f := &fmtFlags{}
	cmd := &cobra.Command{
		Use:   "fmt [-w] [--check] [PATH...]",
		Short: "Lay plans out in the one usual way",
		Long: "Rewrites the spacing and line breaks of plans, never their meaning, and keeps every comment. PATH is a " +
			"file, or a folder for every .star file below it; the current folder when none is given; - reads standard " +
			"input. One file's text goes to standard output; -w writes the files back instead, and --check only " +
			"names those that would change and ends with exit code 1 when there are any.",
		Example: "  haulm fmt -w\n  haulm fmt --check\n  haulm fmt farm.star",
		RunE:    func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
	}
	cmd.Flags().BoolVarP(&f.write, "write", "w", false, "write the files back")
	cmd.Flags().BoolVar(&f.check, "check", false, "name the files that would change, and change none")
	return cmd
}

func (f *fmtFlags) run(cmd *cobra.Command, args []string) error {
	if f.write && f.check {
		return errors.New("-w and --check do not go together: one writes, the other only looks")
	}
	if len(args) == 0 {
		args = []string{"."}
	}
	files, err := planFiles(args)
	if err != nil {
		return err
	}
	if len(files) != 1 && !f.write && !f.check {
		return fmt.Errorf("there are %d files here: say -w to write them back or --check to look only", len(files))
	}
	changed := false
	var trouble error
	for _, file := range files {
		differs, err := f.one(cmd, file)
		changed = changed || differs
		if err != nil {
			if trouble != nil {
				fmt.Fprintln(cmd.ErrOrStderr(), "haulm: "+trouble.Error())
			}
			trouble = err
		}
	}
	if trouble == nil && f.check && changed {
		return foundError{}
	}
	return trouble
}

// one formats one file and tells whether that changes it.
func (f *fmtFlags) one(cmd *cobra.Command, file string) (bool, error) {
	text, name, err := readPlan(file, cmd.InOrStdin())
	if err != nil {
		return false, err
	}
	after, err := format.Format(source.New(name, text))
	if err != nil {
		return false, err
	}
	differs := after != text
	switch {
	case f.check && differs:
		fmt.Fprintln(cmd.OutOrStdout(), name)
	case f.check, f.write && !differs:
	case f.write && file == stdinName:
		return false, errors.New("-w needs a file to write to, and standard input is none")
	case f.write:
		if err := writeWhole(map[string]string{file: after}, []string{file}); err != nil {
			return false, err
		}
		fmt.Fprintln(cmd.OutOrStdout(), name)
	default:
		_, err := io.WriteString(cmd.OutOrStdout(), after)
		return differs, err
	}
	return differs, nil
}

// readPlan gives the text of a file or of standard input, and its name for people.
func readPlan(file string, from io.Reader) (text, name string, err error) {
	name = filepath.ToSlash(file)
	if file == stdinName {
		name = stdinTitle
	} else {
		f, err := os.Open(file)
		if err != nil {
			return "", name, fmt.Errorf("cannot read %s: %w", name, reason(err))
		}
		defer f.Close()
		from = f
	}
	data, err := io.ReadAll(io.LimitReader(from, maxRead))
	if err != nil {
		return "", name, fmt.Errorf("cannot read %s: %w", name, reason(err))
	}
	return string(data), name, nil
}

// planFiles lists the files that arguments name: folders stand for the .star files below them, except in
// folders whose name starts with a dot.
func planFiles(args []string) ([]string, error) {
	var files []string
	for _, arg := range args {
		info, err := os.Stat(arg)
		switch {
		case arg == stdinName:
			files = append(files, arg)
			continue
		case errors.Is(err, fs.ErrNotExist):
			return nil, fmt.Errorf("there is no file %s", arg)
		case err != nil:
			return nil, fmt.Errorf("cannot read %s: %w", arg, reason(err))
		case !info.IsDir():
			files = append(files, arg)
			continue
		}
		before := len(files)
		err = filepath.WalkDir(arg, func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.IsDir() && path != arg && strings.HasPrefix(d.Name(), "."):
				return filepath.SkipDir
			case d.Type().IsRegular() && filepath.Ext(path) == ".star":
				files = append(files, path)
			}
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("cannot look through %s: %w", arg, reason(err))
		}
		if len(files) == before {
			return nil, fmt.Errorf("the folder %s holds no .star files", arg)
		}
	}
	return files, nil
}
