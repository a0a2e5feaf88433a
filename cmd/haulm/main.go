// Command haulm checks season plans and shows what follows from them. In go paths of plans and flags;
// out come results on standard output, words about them on standard error, and an exit code: 0 when all
// is well, 1 when the plan is not, 2 when the command could not do its work.
//
// One file holds one command; place.go finds plans on disk, write.go puts files there, and everything
// that knows about farms is in lang and stdlib.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"

	"github.com/spf13/cobra"

	"haulm/stdlib/season"
)

// Exit codes.
const (
	exitClean   = 0
	exitFound   = 1
	exitTrouble = 2
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// foundError ends a command that did its work and found the plan wanting; there is nothing to add.
type foundError struct{}

func (foundError) Error() string { return "the plan has findings" }

// run executes one command line and gives its exit code. Trouble is one sentence on stderr; a fault of
// the program's own is, too.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) (code int) {
	defer func() {
		if fault := recover(); fault != nil {
			fmt.Fprintf(stderr, "haulm: this should not happen; please report it with the plan at hand: %v\n", fault)
			code = exitTrouble
		}
	}()
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	switch {
	case err == nil:
		return exitClean
	case errors.As(err, &foundError{}):
		return exitFound
	}
	fmt.Fprintln(stderr, "haulm: "+err.Error())
	return exitTrouble
}

// newRoot builds the tree of commands.
func newRoot() *cobra.Command {
	o := &options{}
	root := &cobra.Command{
		Use:   "haulm",
		Short: "Check a season plan before the ground is opened",
		Long: "Haulm reads a season plan written as text, gives every plant its place and every planting its " +
			"dates, and says where the plan cannot work, at the very words that ask for it. A plan starts in a " +
			"file called farm.star; `haulm new` writes a small one.",
		Example:       "  haulm new myfarm\n  haulm check myfarm\n  haulm show plantings myfarm",
		Args:          cobra.ArbitraryArgs,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			return unknown("command", args[0], commandNames(cmd), "`haulm --help` lists them")
		},
	}
	root.PersistentFlags().StringVar(&o.color, "color", "auto", "use colors: auto, always or never")
	root.PersistentFlags().StringVar(&o.root, "root", "",
		"the folder that a plan may read below (default: its git work tree, else its own folder)")
	root.SetFlagErrorFunc(flagError)
	root.AddCommand(newCheck(o), newShow(o), newFmt(), newExplain(), newDoc(), newNew(o), newBook(o), newDiff(o), newView(o), newLSP(o))
	root.SetHelpCommand(newHelp())
	root.InitDefaultCompletionCmd()
	for _, cmd := range append(root.Commands(), root) {
		cmd.DisableFlagsInUseLine = true
		cmd.Long = fold(cmd.Long, helpWidth)
		if cmd.Name() == "completion" {
			mendCompletion(cmd)
		}
	}
	complete(root, "color", "auto", "always", "never")
	return root
}

// newHelp is `haulm help COMMAND`, which unlike cobra's own refuses a command that is none.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "Say what a command does",
		Long:    "Prints what a command does, its flags and an example, as `haulm COMMAND --help` does.",
		Example: "  haulm help check",
		RunE: func(cmd *cobra.Command, args []string) error {
			about, rest, err := cmd.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return unknown("command", args[len(args)-max(len(rest), 1)], commandNames(about), "`haulm --help` lists them")
			}
			return about.Help()
		},
	}
}

// mendCompletion gives cobra's command an example, and an error for a shell that it does not know.
func mendCompletion(cmd *cobra.Command) {
	cmd.Example = "  haulm completion bash > ~/.local/share/bash-completion/completions/haulm"
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return cmd.Help()
		}
		return unknown("shell", args[0], commandNames(cmd), "there are bash, fish, powershell and zsh")
	}
	cmd.Args = cobra.ArbitraryArgs
}

// helpWidth is how wide the help is written.
const helpWidth = 90

func commandNames(cmd *cobra.Command) []string {
	var names []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return names
}

// options are the flags of all commands.
type options struct {
	color string
	root  string
	today string
}

// addToday gives a command that works plans out the flag for the day it is. Without it nothing depends on the day,
// so that one plan gives the same everywhere and always.
func (o *options) addToday(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.today, "today", "",
		"the `DATE`: weather on record counts up to it, normals after it, and no record is of a later day")
}

// day is the day that --today names, season.None when it names none.
func (o *options) day() (season.Date, error) {
	if o.today == "" {
		return season.None, nil
	}
	d, err := season.Parse(o.today)
	if err != nil {
		return d, fmt.Errorf("--today: %w", err)
	}
	return d, nil
}

// complete offers the words that a flag takes to the shell.
func complete(cmd *cobra.Command, flag string, words ...string) {
	err := cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
	if err != nil {
		panic(err) // only for a flag that was never defined
	}
}
