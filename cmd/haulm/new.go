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

// newFlags are the flags of `haulm new`.
type newFlags struct {
	*options
	from, year string
}

func newNew(o *options) *cobra.Command {
	f := &newFlags{options: o}
	cmd := &cobra.Command{
		Use:   "new DIR",
		Short: "Write a small plan to start from, or begin the next year's",
		Long: "Makes the folder DIR with a " + entryName + ": one plot of an invented farm, with every line explained, " +
			"that checks clean. A folder that already holds something is left alone.\n\n" +
			"With --from, it is next year's plan begun from another: all that the other declares, written flat; the year " +
			"and the dates moved on, those that were reckoned from a frost date still reckoned from it; what happened " +
			"left out; what is left of the stock. Families move on: plots pass all that grows in them to the next plot in " +
			"the order of declaration, or the one after, as far as it fits and no crop comes back before its years are " +
			"over; where no plot can take it, what stands in the rows of the plot moves on by some rows. Comments say what " +
			"was chosen. What the season needs beyond that is yours to change.",
		Example: "  haulm new myfarm\n  haulm check myfarm\n  haulm new --from 2027 2028",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return errors.New("say which folder to make: haulm new DIR")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := args[0]
			if err := mayMake(dir); err != nil {
				return err
			}
			text, said := firstPlan, ""
			switch {
			case f.from != "":
				var err error
				if text, said, err = f.nextYear(cmd, dir); err != nil {
					return err
				}
			case f.year != "":
				return errors.New("--year is that of a plan begun with --from; the first plan names its year in farm(...)")
			}
			if err := os.MkdirAll(dir, 0o777); err != nil {
				return fmt.Errorf("cannot make the folder %s: %w", dir, reason(err))
			}
			file := filepath.Join(dir, entryName)
			if err := writeWhole(map[string]string{file: text}, []string{file}); err != nil {
				return err
			}
			_, err := fmt.Fprintf(cmd.OutOrStdout(), "%s is written%s; `haulm check %s` checks it\n", file, said, dir)
			return err
		},
	}
	cmd.Flags().StringVar(&f.from, "from", "", "begin from the plan of an earlier year: its `FILE` or folder")
	cmd.Flags().StringVar(&f.year, "year", "", "`YEAR` of a plan begun with --from (default: DIR's name where that is a year, else the year after)")
	return cmd
}

// mayMake tells whether a folder is there to be made, or empty.
func mayMake(dir string) error {
	switch entries, err := os.ReadDir(dir); {
	case err == nil && len(entries) > 0:
		return fmt.Errorf("the folder %s is not empty; name a new one", dir)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("cannot use %s: %w", dir, reason(err))
	}
	return nil
}
