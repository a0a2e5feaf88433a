package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"haulm/lang/diag"
	"haulm/lang/diff"
	"haulm/lang/plan"
	"haulm/lang/report"
	"haulm/lsp/revision"
	"haulm/stdlib/season"
)

// diffFlags are the flags of `haulm diff`.
type diffFlags struct {
	*options
	as, out string
	stat    bool
}

func newDiff(o *options) *cobra.Command {
	f := &diffFlags{options: o}
	cmd := &cobra.Command{
		Use:   "diff OLD NEW",
		Short: "Say what changed between two plans and what follows from it",
		Long: "Compares what two plans mean, not their text: what was added, removed, renamed, moved, resized, put on " +
			"other days, replaced, watered, fed, held up or protected otherwise, and what that makes of plants, seed, " +
			"water, harvest and cost; and which findings came and went. Things are the same when they have the same " +
			"name, else the same place or crop and day; where a thing is told again by what it holds, the change says " +
			"so. Order, layout, helper functions and units of the text do not count. OLD and NEW are each a plan's " +
			"file, a folder with a " + entryName + ", or REV:PATH, a path in the git work tree as revision REV has it " +
			"(HEAD:farm.star; HEAD: is the top of the work tree, HEAD:./ the current folder). The exit code is 0 when " +
			"the plans are the same, 1 when they differ, and 2 when one could not be read.",
		Example: "  haulm diff HEAD:./ .\n  haulm diff ../2026 . --stat\n  haulm diff old.star new.star --as html -o changes.html",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return errors.New("diff takes two plans: haulm diff OLD NEW")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
	}
	cmd.Flags().StringVar(&f.as, "as", "", "form: text, json or html (default: as the name after -o ends, else text)")
	cmd.Flags().BoolVar(&f.stat, "stat", false, "one line for each plot")
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "write to this `FILE`, whole or not at all")
	complete(cmd, "as", "text", "json", "html")
	f.addToday(cmd)
	return cmd
}

func (f *diffFlags) run(cmd *cobra.Command, args []string) error {
	if f.as == "" {
		switch end := strings.TrimPrefix(path.Ext(f.out), "."); end {
		case "json", "html":
			f.as = end
		default:
			f.as = "text"
		}
	}
	if err := oneOf("as", f.as, "text", "json", "html"); err != nil {
		return err
	}
	if f.stat && f.as != "text" {
		return errors.New("--stat is text; leave out --as")
	}
	if args[0] == stdinName && args[1] == stdinName {
		return errors.New("only one of the two plans can come from standard input")
	}
	var sides [2]diff.Side
	for i, arg := range args {
		s, err := f.read(cmd, arg)
		if err != nil {
			return err
		}
		if grave(s) {
			fmt.Fprintf(cmd.ErrOrStderr(), "%s: %s; it is compared as far as it is known\n", arg, diag.Tally(s.Findings))
		}
		sides[i] = diff.Side{Facts: s.Facts, Findings: s.Findings}
	}
	d := diff.Compare(sides[0], sides[1])
	if err := f.write(cmd.OutOrStdout(), d); err != nil {
		return err
	}
	if !d.Same() {
		return foundError{}
	}
	return nil
}

// read works out the plan that an argument names.
func (f *diffFlags) read(cmd *cobra.Command, arg string) (*plan.Snapshot, error) {
	rev, inside, ok := strings.Cut(arg, ":")
	if _, err := os.Stat(arg); err == nil || !ok || len(rev) < 2 { // a drive is one letter
		p, err := locate(arg, f.options, cmd.InOrStdin())
		if err != nil {
			return nil, err
		}
		defer p.Close()
		return checkPlan(cmd.Context(), p)
	}
	today, err := f.day()
	if err != nil {
		return nil, err
	}
	return checkRevision(cmd.Context(), arg, rev, inside, today)
}

// checkRevision works out a plan as a revision of the repository around the current folder has it.
func checkRevision(ctx context.Context, arg, rev, inside string, today season.Date) (*plan.Snapshot, error) {
	limited, done := context.WithTimeout(ctx, patience)
	defer done()
	c, err := revision.Open(limited, ".", rev)
	if err != nil {
		return nil, fmt.Errorf("cannot read %s: %w", arg, err)
	}
	entry := path.Clean(filepath.ToSlash(inside))
	if strings.HasPrefix(inside, "./") || strings.HasPrefix(inside, "../") || inside == "." || inside == ".." {
		entry = path.Join(c.Here, entry)
	}
	info, err := c.Stat(entry)
	if err == nil && info.IsDir() {
		entry = path.Join(entry, entryName)
		info, err = c.Stat(entry)
	}
	if err != nil || info.IsDir() {
		return nil, fmt.Errorf("cannot read %s: revision %q of the git repository %s has no file %s", arg, rev, c.Dir, entry)
	}
	s := plan.CheckOn(limited, c, entry, today)
	if s.Trouble != nil {
		return nil, fmt.Errorf("cannot read %s: %w", arg, s.Trouble)
	}
	if ctx.Err() != nil {
		return nil, fmt.Errorf("stopped before %s was checked", arg)
	}
	return s, nil
}

func (f *diffFlags) write(stdout io.Writer, d *diff.Diff) error {
	var page bytes.Buffer
	var err error
	switch {
	case f.as == "json":
		err = report.DiffJSON(d, &page)
	case f.as == "html":
		err = report.DiffHTML(d, &page)
	case f.stat:
		err = report.DiffStat(d, &page)
	case f.out != "" && f.out != stdinName:
		err = report.DiffText(d, &page, 0)
	default:
		err = report.DiffText(d, &page, pageWidth(stdout))
	}
	if err != nil {
		return err
	}
	return writeResult(stdout, f.out, page.Bytes())
}
