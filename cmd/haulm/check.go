package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"haulm/lang/diag"
	"haulm/lang/plan"
)

// checkFlags are the flags of `haulm check`.
type checkFlags struct {
	*options
	format string
	failOn string
	fix    bool
}

func newCheck(o *options) *cobra.Command {
	f := &checkFlags{options: o}
	cmd := &cobra.Command{
		Use:   "check [PATH...]",
		Short: "Check plans and point at what cannot work",
		Long: "Works a plan out and reports every finding with the words of the plan that cause it, the numbers " +
			"behind it and, where there is one, a way to mend it. PATH is a plan's file or a folder with a " +
			entryName + "; the current folder when none is given; - reads standard input. Several paths are several " +
			"plans. The exit code is 0 when nothing is as bad as --fail-on, 1 when something is, and 2 when a plan " +
			"could not be read.",
		Example: "  haulm check\n  haulm check --fix north.star south.star\n  haulm check --format json farm.star",
		RunE:    func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
	}
	cmd.Flags().StringVar(&f.format, "format", "text", "write findings as text, json, sarif or github")
	cmd.Flags().StringVar(&f.failOn, "fail-on", "error", "least severity that fails: note, warning, error or never")
	cmd.Flags().BoolVar(&f.fix, "fix", false, "apply the fixes that are safe and write the files back")
	complete(cmd, "format", "text", "json", "sarif", "github")
	complete(cmd, "fail-on", "note", "warning", "error", "never")
	f.addToday(cmd)
	return cmd
}

func (f *checkFlags) run(cmd *cobra.Command, args []string) error {
	if err := oneOf("format", f.format, "text", "json", "sarif", "github"); err != nil {
		return err
	}
	if err := oneOf("fail-on", f.failOn, "note", "warning", "error", "never"); err != nil {
		return err
	}
	color, err := f.colors(cmd.OutOrStdout())
	if err != nil {
		return err
	}
	if len(args) == 0 {
		args = []string{"."}
	}
	var all checked
	for _, arg := range args {
		if err := f.one(cmd, arg, &all); err != nil {
			if all.trouble != nil {
				fmt.Fprintln(cmd.ErrOrStderr(), "haulm: "+all.trouble.Error())
			}
			all.trouble = err
		}
	}
	findings := all.merged(f.format)
	if all.plans > 0 {
		if err := f.write(cmd.OutOrStdout(), findings, all.summary, color); err != nil {
			return fmt.Errorf("cannot write the findings: %w", reason(err))
		}
	}
	switch {
	case all.trouble != nil:
		return all.trouble
	case f.fails(findings):
		return foundError{}
	}
	return nil
}

// one checks one plan and adds what it gives.
func (f *checkFlags) one(cmd *cobra.Command, arg string, all *checked) error {
	p, err := locate(arg, f.options, cmd.InOrStdin())
	if err != nil {
		return err
	}
	defer p.Close()
	s, err := checkPlan(cmd.Context(), p)
	if err == nil && f.fix {
		s, err = mend(cmd.Context(), p, s, cmd.ErrOrStderr())
	}
	if err != nil {
		return err
	}
	p.writeLog(cmd.ErrOrStderr(), s)
	all.add(p, s)
	return nil
}

// patience is how long a plan may run. Its own limits end nearly every plan within seconds; the few that they
// do not see into have a finding to show after this.
const patience = time.Minute

// checkPlan works a plan out; an error says why there is nothing to judge.
func checkPlan(ctx context.Context, p *place) (*plan.Snapshot, error) {
	limited, done := context.WithTimeout(ctx, patience)
	defer done()
	s := plan.CheckOn(limited, p, p.entry, p.today)
	if s.Trouble != nil {
		return nil, p.trouble(s.Trouble)
	}
	if ctx.Err() != nil {
		return nil, fmt.Errorf("stopped before %s was checked", p.name())
	}
	return s, nil
}

// workedOut works out a plan that something is to be shown of: what it printed, and that it has errors, goes to the
// error output first. arg is how the command line names it.
func workedOut(cmd *cobra.Command, p *place, arg string) (*plan.Snapshot, error) {
	s, err := checkPlan(cmd.Context(), p)
	if err != nil {
		return nil, err
	}
	p.writeLog(cmd.ErrOrStderr(), s)
	if grave(s) {
		fmt.Fprintf(cmd.ErrOrStderr(), "%s: %s; `haulm check %s` says which\n", p.name(), diag.Tally(s.Findings), arg)
	}
	return s, nil
}

// grave tells whether a plan has findings that make what is shown incomplete or unwise.
func grave(s *plan.Snapshot) bool {
	return slices.ContainsFunc(s.Findings, func(d diag.Diagnostic) bool { return d.Rule.Severity == diag.Error })
}

// writeLog writes what the plan printed, each line with its place.
func (p *place) writeLog(w io.Writer, s *plan.Snapshot) {
	name := p.fromHere(stdinTitle)
	for _, l := range s.Log {
		fmt.Fprintf(w, "%s:%d: %s\n", name(l.Span.File.Path), l.Span.Start.Line, l.Text)
	}
}

// write gives findings the form that --format asks for.
func (f *checkFlags) write(w io.Writer, ds []diag.Diagnostic, summary []string, color bool) error {
	switch f.format {
	case "json":
		return diag.WriteJSON(w, ds)
	case "sarif":
		return diag.WriteSARIF(w, ds)
	case "github":
		return diag.WriteGitHub(w, ds)
	}
	return diag.WriteText(w, ds, diag.TextOptions{
		Color: color, Width: pageWidth(w), Summary: strings.Join(summary, "\n"),
	})
}

// fails tells whether a finding is at or above --fail-on.
func (f *checkFlags) fails(ds []diag.Diagnostic) bool {
	for i := range ds {
		if severity := ds[i].Rule.Severity; f.failOn != "never" && severity >= leastOf(f.failOn) {
			return true
		}
	}
	return false
}

func leastOf(failOn string) diag.Severity {
	for _, s := range []diag.Severity{diag.Note, diag.Warning} {
		if s.String() == failOn {
			return s
		}
	}
	return diag.Error
}
