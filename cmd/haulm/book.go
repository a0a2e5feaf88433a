package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"haulm/lang/book"
)

// bookFlags are the flags of `haulm book`.
type bookFlags struct {
	*options
	out   string
	force bool
}

func newBook(o *options) *cobra.Command {
	f := &bookFlags{options: o}
	cmd := &cobra.Command{
		Use:   "book [PATH] -o DIR",
		Short: "Write the field book: maps, row cards, sheets, charts, and the same figures as files",
		Long: "Writes the field book of a plan into the folder DIR: pages for the browser and the printer that need no " +
			"network (open index.html), one map and a card for every row of each plot, sheets for each part of the " +
			"work, findings, and how every figure was reckoned; and the tables as XLSX, CSV and JSON, plots as GeoJSON " +
			"where the plan gives them a place. PATH is as for `haulm check`. A book that is there already is replaced, " +
			"whole or not at all. A folder that holds anything else is left alone unless --force is given; then the " +
			"book's files are put among the others, which stay.",
		Example: "  haulm book -o book\n  haulm book myfarm -o myfarm-book",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return errors.New("book takes one plan")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
	}
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "the `DIR` to write into")
	cmd.Flags().BoolVar(&f.force, "force", false, "write into a folder that holds other things too")
	f.addToday(cmd)
	return cmd
}

func (f *bookFlags) run(cmd *cobra.Command, args []string) error {
	if f.out == "" {
		return errors.New("say where to write the book: haulm book -o DIR")
	}
	arg := "."
	if len(args) == 1 {
		arg = args[0]
	}
	p, err := locate(arg, f.options, cmd.InOrStdin())
	if err != nil {
		return err
	}
	defer p.Close()
	into, err := openFolder(f.out, f.force)
	if err != nil {
		return err
	}
	defer into.abandon()
	s, err := workedOut(cmd, p, arg)
	if err != nil {
		return err
	}
	b := book.New(s)
	bar := progress{w: cmd.ErrOrStderr(), since: time.Now()}
	defer bar.end()
	files := b.Files()
	for i, page := range files {
		if cmd.Context().Err() != nil {
			return fmt.Errorf("stopped; nothing was changed in %s", f.out)
		}
		bar.say(fmt.Sprintf("writing file %d of %d", i+1, len(files)))
		if err := into.add(page.Name, func(w io.Writer) error { return b.Write(page, w) }); err != nil {
			return fmt.Errorf("cannot write %s: %w; nothing was changed", filepath.Join(f.out, page.Name), reason(err))
		}
	}
	if err := into.publish(); err != nil {
		return fmt.Errorf("cannot write %s: %w", f.out, reason(err))
	}
	bar.end()
	_, err = fmt.Fprintf(cmd.OutOrStdout(), "the book is written, %d files; open %s\n", len(files), filepath.Join(f.out, files[0].Name))
	return err
}

// progress says on a terminal what is being done, once it has taken a second.
type progress struct {
	w     io.Writer
	since time.Time
	said  bool
}

func (p *progress) say(what string) {
	if isTerminal(p.w) && time.Since(p.since) > time.Second {
		fmt.Fprintf(p.w, "\r%s\x1b[K", what)
		p.said = true
	}
}

// end takes what was said off the terminal.
func (p *progress) end() {
	if p.said {
		fmt.Fprint(p.w, "\r\x1b[K")
		p.said = false
	}
}
