package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"haulm/lang/eval"
	"haulm/lang/plan"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

func newDoc() *cobra.Command {
	return &cobra.Command{
		Use:   "doc [NAME]",
		Short: "Look up a word of the plan language",
		Long: "Says what a word of a plan stands for: a function such as row, a unit such as gpm, a crop such as bell " +
			"pepper with every value of the crop table and its source, or a module such as crops. Without a name, " +
			"lists them all. Works without a network.",
		Example: "  haulm doc row\n  haulm doc bell pepper\n  haulm doc gpm",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listWords(cmd.OutOrStdout())
			}
			text, err := lookUp(strings.Join(args, " "))
			if err != nil {
				return err
			}
			_, err = io.WriteString(cmd.OutOrStdout(), fold(text, pageWidth(cmd.OutOrStdout())))
			return err
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return words(), cobra.ShellCompDirectiveNoFileComp
		},
	}
}

// lookUp finds the entry of a word: what a plan could mean by it first, then looser spellings.
func lookUp(word string) (string, error) {
	for _, b := range eval.Builtins() {
		if b.Name == word {
			return builtinEntry(b), nil
		}
	}
	if u, ok := quantity.UnitNamed(word); ok {
		return unitEntry(u), nil
	}
	for _, m := range eval.Modules() {
		if m.Name == word {
			return moduleEntry(m), nil
		}
	}
	if c, ok := crops.Named(word); ok {
		return cropEntry(c) + gradesOf(c), nil
	}
	if u, ok := quantity.UnitCalled(word); ok {
		return unitEntry(u), nil
	}
	for _, m := range eval.Modules() {
		for _, name := range m.Names {
			if name == word {
				return moduleEntry(m), nil
			}
		}
	}
	for _, r := range plan.Rules() {
		if r.Code == word {
			return ruleEntry(r), nil
		}
	}
	if b := called(word); b != nil {
		return builtinEntry(b), nil
	}
	return "", unknown("word", word, words(), "`haulm doc` lists them")
}

// called finds the function that growers mean by a word: its name with a space in it, another word for it,
// such as scoop for measure, or a part of its name alone, such as test for soil_test; nil when none, or several, fit.
func called(word string) *eval.Builtin {
	word = strings.ReplaceAll(strings.ToLower(word), " ", "_")
	var parts []*eval.Builtin
	for _, b := range eval.Builtins() {
		if b.Name == word || slices.Contains(b.Also, word) {
			return b
		}
		if slices.Contains(strings.Split(b.Name, "_"), word) {
			parts = append(parts, b)
		}
	}
	if len(parts) != 1 {
		return nil
	}
	return parts[0]
}

// words lists every name that has an entry of its own.
func words() []string {
	var all []string
	for _, g := range wordGroups() {
		all = append(all, g.names...)
	}
	return all
}

// wordGroup is a heading of the list of words.
type wordGroup struct {
	title string
	names []string
}

func wordGroups() []wordGroup {
	functions := wordGroup{title: "functions"}
	for _, b := range eval.Builtins() {
		functions.names = append(functions.names, b.Name)
	}
	units := wordGroup{title: "units"}
	for _, u := range quantity.Units() {
		units.names = append(units.names, u.Name)
	}
	modules := wordGroup{title: "modules"}
	for _, m := range eval.Modules() {
		modules.names = append(modules.names, m.Name)
	}
	names := wordGroup{title: "crops"}
	for _, c := range crops.All() {
		names.names = append(names.names, c.Name)
	}
	return []wordGroup{functions, units, modules, names}
}

func listWords(w io.Writer) error {
	for _, g := range wordGroups() {
		if _, err := fmt.Fprintf(w, "%s\n", g.title); err != nil {
			return err
		}
		line := " "
		for i, name := range g.names {
			if i < len(g.names)-1 {
				name += ","
			}
			if len(line)+1+len(name) > 90 {
				fmt.Fprintln(w, line)
				line = " "
			}
			line += " " + name
		}
		fmt.Fprintln(w, line)
	}
	return nil
}
