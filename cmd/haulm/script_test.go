package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"haulm": main})
}

// TestScripts runs every command as a grower would, each script of testdata in a folder of its own.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata",
		UpdateScripts: *update,
		Condition: func(name string) (bool, error) {
			if name == "root" { // for whom no file is unreadable
				return os.Geteuid() == 0, nil
			}
			return false, errors.New("no such condition: " + name)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "bytes": writeBytes, "grow": grow, "mode": mode,
		},
	})
}

// exits runs a command and checks its exit code: "exits 2 haulm check nowhere".
func exits(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var failed *exec.ExitError
	switch err := ts.Exec(args[1], args[2:]...); {
	case errors.As(err, &failed):
		got = failed.ExitCode()
	case err != nil:
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// writeBytes writes a file given as a Go string: bytes farm.star '"\xff"'.
func writeBytes(ts *testscript.TestScript, _ bool, args []string) {
	text, err := strconv.Unquote(args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o644))
}

// grow adds comments to a file until it has so many bytes: grow farm.star 10000000.
func grow(ts *testscript.TestScript, _ bool, args []string) {
	size, err := strconv.Atoi(args[1])
	ts.Check(err)
	text := []byte(ts.ReadFile(args[0]))
	line := []byte("# nothing grows here\n")
	text = append(text, bytes.Repeat(line, (size-len(text))/len(line)+1)...)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), text, 0o644))
}

// mode checks a file's permissions: mode 640 farm.star.
func mode(ts *testscript.TestScript, _ bool, args []string) {
	info, err := os.Stat(ts.MkAbs(args[1]))
	ts.Check(err)
	if got := strconv.FormatUint(uint64(info.Mode().Perm()), 8); got != args[0] {
		ts.Fatalf("%s has mode %s, want %s", args[1], got, args[0])
	}
}
