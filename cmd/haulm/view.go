package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	live "haulm/view"
)

// viewFlags are the flags of `haulm view`.
type viewFlags struct {
	*options
	port int
	edit bool
}

func newView(o *options) *cobra.Command {
	f := &viewFlags{options: o}
	cmd := &cobra.Command{
		Use:   "view [PATH] [--edit] [--port N]",
		Short: "Show the field book in a browser while the plan is written",
		Long: "Serves the field book of a plan to a browser on this machine until it is interrupted, and draws the " +
			"open pages anew whenever a file of the plan is saved. Findings stand beside the maps; a click or Enter on a " +
			"planting shows how it was reckoned and the line that asks for it. With --edit the plan's text stands beside " +
			"the book in an editor that knows plans: the map follows every letter, and files are written when you save. " +
			"Then the address holds a token, which is a password for your plan: keep it to yourself. Other machines reach " +
			"neither. PATH is as for `haulm check`.",
		Example: "  haulm view\n  haulm view myfarm --edit\n  haulm view myfarm --port 7080",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return errors.New("view takes one plan")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args) },
	}
	cmd.Flags().BoolVar(&f.edit, "edit", false, "edit the plan's text beside the book")
	cmd.Flags().IntVar(&f.port, "port", 0, "serve on this port (default: any that is free)")
	return cmd
}

func (f *viewFlags) run(cmd *cobra.Command, args []string) error {
	arg := "."
	if len(args) == 1 {
		arg = args[0]
	}
	switch {
	case arg == stdinName:
		return errors.New("view follows a plan on disk, and standard input is none")
	case f.port < 0 || f.port > 65535:
		return fmt.Errorf("there is no port %d; ports go from 1 to 65535, and 0 takes any that is free", f.port)
	}
	p, err := locate(arg, f.options, cmd.InOrStdin())
	if err != nil {
		return err
	}
	p.Close() // view opens the root anew at each reading
	c := live.Config{Root: p.dir, Entry: p.entry, Port: f.port, Version: version(), Errors: cmd.ErrOrStderr()}
	if f.edit {
		c.Save = func(file, text string) error { return writeWhole(map[string]string{file: text}, []string{file}) }
	}
	return live.Serve(cmd.Context(), c, func(address string) {
		fmt.Fprintf(cmd.OutOrStdout(), "%s is at %s (Ctrl-C ends it)\n", p.name(), address)
	})
}
