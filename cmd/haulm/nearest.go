package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/agnivade/levenshtein"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// nearest gives the name most like a mistyped word, "" when none is much like it.
func nearest(word string, names []string) string {
	best, least := "", max(len(word)/3, 1)+1
	for _, name := range names {
		d := levenshtein.ComputeDistance(strings.ToLower(word), strings.ToLower(name))
		if strings.HasPrefix(strings.ToLower(name), strings.ToLower(word)) && len(word) >= 3 {
			d = 1
		}
		if d < least {
			best, least = name, d
		}
	}
	return best
}

// unknown is the error for a word that stands for nothing: it offers the nearest one, or says where all
// of them are.
func unknown(kind, word string, names []string, all string) error {
	if near := nearest(word, names); near != "" {
		return fmt.Errorf("there is no %s %q; did you mean %q?", kind, word, near)
	}
	return fmt.Errorf("there is no %s %q; %s", kind, word, all)
}

// flagError puts a mistake in the flags into one sentence.
func flagError(cmd *cobra.Command, err error) error {
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
