package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"haulm/lang/eval"
)

// unknown is the error for a word that stands for nothing: it offers the nearest one, or says where all
// of them are.
func unknown(kind, word string, names []string, all string) error {
	if near := eval.Nearest(word, names); near != "" {
		return fmt.Errorf("there is no %s %q; did you mean %q?", kind, word, near)
	}
	return fmt.Errorf("there is no %s %q; %s", kind, word, all)
}

// flagError puts a mistake in the flags into one sentence.
func flagError(cmd *cobra.Command, err error) error {
	var wrong *pflag.InvalidValueError
	if errors.As(err, &wrong) && wrong.GetFlag().Value.Type() == "int" {
		return fmt.Errorf("--%s takes a whole number, not %q", wrong.GetFlag().Name, wrong.GetValue())
	}
	var missing *pflag.NotExistError
	if !errors.As(err, &missing) {
		return fmt.Errorf("%w; see `%s --help`", err, cmd.CommandPath())
	}
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
	word := "--" + missing.GetSpecifiedName()
	if missing.GetSpecifiedShortnames() != "" {
		word = "-" + missing.GetSpecifiedName()
		names = nil
	}
	return unknown("flag", word, names, fmt.Sprintf("`%s --help` lists them", cmd.CommandPath()))
}

// oneOf checks the value of a flag that takes one of a few words.
func oneOf(flag, value string, words ...string) error {
	for _, w := range words {
		if w == value {
			return nil
		}
	}
	list := strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
	return fmt.Errorf("--%s takes %s, not %q", flag, list, value)
}
