package main

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

// firstPlan is the plan that `haulm new` writes.
//
//go:embed template/farm.star
var firstPlan string

func newNew() *cobra.Command {
	return &cobra.Command{
		Use:   "new DIR",
		Short: "Write a small plan to start from",
		Long: "Makes the folder DIR with a " + entryName + ": one plot of an invented farm, with every line explained, " +
			"that checks clean. A folder that already holds something is left alone.",
		Example: "  haulm new myfarm\n  haulm check myfarm",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return errors.New("say which folder to make: haulm new DIR")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := args[0]
			switch entries, err := os.ReadDir(dir); {
			case err == nil && len(entries) > 0:
				return fmt.Errorf("the folder %s is not empty; name a new one", dir)
			case err != nil && !errors.Is(err, fs.ErrNotExist):
				return fmt.Errorf("cannot use %s: %w", dir, reason(err))
			}
			if err := os.MkdirAll(dir, 0o777); err != nil {
				return fmt.Errorf("cannot make the folder %s: %w", dir, reason(err))
			}
			file := filepath.Join(dir, entryName)
			if err := writeWhole(map[string]string{file: firstPlan}, []string{file}); err != nil {
				return err
			}
			_, err := fmt.Fprintf(cmd.OutOrStdout(), "%s is written; `haulm check %s` checks it\n", file, dir)
			return err
		},
	}
}
