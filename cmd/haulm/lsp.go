package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"runtime/debug"

	"github.com/spf13/cobra"

	"haulm/lsp"
)

// lspFlags are the flags of `haulm lsp`.
type lspFlags struct {
	*options
	listen string
	stdio  bool
}

func newLSP(o *options) *cobra.Command {
	f := &lspFlags{options: o}
	cmd := &cobra.Command{
		Use:   "lsp [--listen ADDRESS]",
		Short: "Serve an editor",
		Long: "Talks with an editor in the language server protocol, on standard input and output: while a plan is " +
			"typed, the editor shows what cannot work and what the line just typed amounts to. Editors start this " +
			"command themselves. With --listen it waits for editors on a port that only this machine can reach.",
		Example: "  haulm lsp\n  haulm lsp --listen 127.0.0.1:7070",
		Args:    none("lsp"),
		RunE:    func(cmd *cobra.Command, _ []string) error { return f.run(cmd) },
	}
	cmd.Flags().StringVar(&f.listen, "listen", "", "wait for editors on this address or port of this machine")
	cmd.Flags().BoolVar(&f.stdio, "stdio", false, "talk on standard input and output (as it does anyway)")
	return cmd
}

// none refuses arguments.
func none(name string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) > 0 {
			return fmt.Errorf("%s takes no arguments, and %q is one; see `haulm %s --help`", name, args[0], name)
		}
		return nil
	}
}

func (f *lspFlags) run(cmd *cobra.Command) error {
	if f.stdio && f.listen != "" {
		return errors.New("--stdio and --listen do not go together: an editor is at one of them")
	}
	c, err := f.config(cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	if f.listen != "" {
		return lsp.Listen(cmd.Context(), f.listen, c, func(at net.Addr) {
			fmt.Fprintf(cmd.ErrOrStderr(), "listening on %s\n", at)
		})
	}
	out := cmd.OutOrStdout()
	os.Stdout = os.Stderr // a stray print must not get between the messages
	return ended(cmd.Context(), lsp.Serve(cmd.Context(), &streams{cmd.InOrStdin(), out}, c))
}

// ended gives exit code 1 to a client that went without a word, as the protocol has it; an interrupt is
// one by the keyboard.
func ended(ctx context.Context, err error) error {
	if errors.Is(err, lsp.ErrNoShutdown) && ctx.Err() == nil {
		return foundError{}
	}
	return nil
}

func (f *lspFlags) config(errs io.Writer) (lsp.Config, error) {
	c := lsp.Config{Errors: errs, Version: version()}
	if f.root != "" {
		dir, err := filepath.Abs(f.root)
		if err != nil {
			return c, err
		}
		c.Root = dir
	}
	if cache, err := os.UserCacheDir(); err == nil { // without one, findings have no page to open
		c.Pages = filepath.Join(cache, "haulm", "findings")
	}
	return c, nil
}

// version of this program, "" when it was not built from a module.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		return info.Main.Version
	}
	return ""
}

// streams are standard input and output as one.
type streams struct {
	io.Reader
	io.Writer
}

// Close closes what can be, so that nobody waits for more.
func (s *streams) Close() error {
	if in, ok := s.Reader.(io.Closer); ok {
		return in.Close()
	}
	return nil
}
