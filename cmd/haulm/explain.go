package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"haulm/lang/diag"
	"haulm/lang/plan"
)

func newExplain() *cobra.Command {
	return &cobra.Command{
		Use:   "explain [CODE]",
		Short: "Explain a finding",
		Long: "Says what a finding's code stands for: what is computed, why it matters, what to do about it, where " +
			"the rule comes from, and a small plan that it finds fault with. Without a code, lists them all.",
		Example: "  haulm explain rows-too-close\n  haulm explain",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return errors.New("explain takes one code at a time")
			}
			if len(args) == 0 {
				return listRules(cmd.OutOrStdout())
			}
			var codes []string
			for _, r := range plan.Rules() {
				if r.Code == args[0] {
					_, err := io.WriteString(cmd.OutOrStdout(), fold(ruleEntry(r), pageWidth(cmd.OutOrStdout())))
					return err
				}
				codes = append(codes, r.Code)
			}
			return unknown("finding", args[0], codes, "`haulm explain` lists them")
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			var codes []string
			for _, r := range plan.Rules() {
				if len(args) == 0 {
					codes = append(codes, r.Code+"\t"+r.Summary)
				}
			}
			return codes, cobra.ShellCompDirectiveNoFileComp
		},
	}
}

// listRules lists all findings, errors first as the registry has them.
func listRules(w io.Writer) error {
	rules, wide := plan.Rules(), 0
	for _, r := range rules {
		wide = max(wide, len(r.Code))
	}
	for _, s := range []diag.Severity{diag.Error, diag.Warning, diag.Note} {
		fmt.Fprintf(w, "%ss\n", s)
		for _, r := range rules {
			if r.Severity == s {
				if _, err := fmt.Fprintf(w, "  %-*s  %s\n", wide, r.Code, r.Summary); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
