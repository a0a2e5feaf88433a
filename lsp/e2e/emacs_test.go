//go:build e2e

package e2e

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// emacs is an Emacs without a screen, set up by nothing but the line for the init file that its page gives.
type emacs struct {
	t      *testing.T
	socket string
	env    []string
}

func startEmacs(t *testing.T, s shim, file string) *emacs {
	t.Helper()
	setup, err := filepath.Abs("../editors/emacs/haulm.el")
	require.NoError(t, err)
	init := filepath.Join(s.dir, ".emacs.d", "init.el")
	require.NoError(t, os.MkdirAll(filepath.Dir(init), 0o755))
	require.NoError(t, os.WriteFile(init, fmt.Appendf(nil, "(load %q)\n", setup), 0o644))
	e := &emacs{t, filepath.Join(s.dir, "socket"), s.environment("LC_ALL=C.UTF-8")}
	cmd := exec.Command("emacs", "--fg-daemon="+e.socket)
	cmd.Env = e.env
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill() // it has left already where the test went well
		_ = cmd.Wait()
	})
	e.until("t")
	e.do(fmt.Sprintf(`(switch-to-buffer (find-file-noselect %q))`, file))
	return e
}

// try evaluates an expression in the buffer that is looked at.
func (e *emacs) try(expression string) (string, error) {
	expression = fmt.Sprintf("(with-current-buffer (window-buffer) (run-hooks 'post-command-hook) %s)", expression)
	cmd := exec.Command("emacsclient", "--socket-name="+e.socket, "--eval", expression)
	cmd.Env = e.env
	out, err := cmd.CombinedOutput()
	return strings.TrimSpace(string(out)), err
}

func (e *emacs) do(expression string) string {
	e.t.Helper()
	out, err := e.try(expression)
	require.NoError(e.t, err, "%s: %s", expression, out)
	return out
}

// get gives the value of an expression that makes JSON.
func (e *emacs) get(into any, expression string) {
	e.t.Helper()
	var text string
	out := e.do("(json-encode " + expression + ")")
	require.NoError(e.t, json.Unmarshal([]byte(out), &text), "%s gave %s", expression, out)
	require.NoError(e.t, json.Unmarshal([]byte(text), into), "%s gave %s", expression, text)
}

// until waits for an expression to become true.
func (e *emacs) until(expression string) {
	e.t.Helper()
	out, late := "", time.Now().Add(30*time.Second)
	for time.Now().Before(late) {
		var err error
		if out, err = e.try("(and " + expression + " t)"); err == nil && out == "t" {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	require.Fail(e.t, "waited in vain", "%s: %s", expression, out)
}

// findings waits for a number of them.
func (e *emacs) findings(count int) []finding {
	e.t.Helper()
	e.until(fmt.Sprintf("(progn (flymake-start) (= (length (flymake-diagnostics)) %d))", count))
	var list []finding
	e.get(&list, `(vconcat (mapcar (lambda (d)
	  (let ((beg (flymake-diagnostic-beg d)) (text (flymake-diagnostic-text d)))
	    (string-match "\\[\\(.*?\\)\\]" text)
	    (list (cons 'Line (line-number-at-pos beg))
	          (cons 'Code (match-string 1 text))
	          (cons 'Text (buffer-substring-no-properties beg (flymake-diagnostic-end d))))))
	 (sort (flymake-diagnostics) (lambda (a b) (< (flymake-diagnostic-beg a) (flymake-diagnostic-beg b))))))`)
	return list
}

func TestEmacs(t *testing.T) {
	s, dir := newShim(t, build(t)), farm(t)
	e := startEmacs(t, s, filepath.Join(dir, "farm.star"))
	require.Equal(t, inFarm, e.findings(3))

	e.do(fmt.Sprintf(`(switch-to-buffer (find-file-noselect %q))`, filepath.Join(dir, "fields", "bench.star")))
	require.Equal(t, inBench, e.findings(1))

	// What eglot-shutdown says, without the kill that it ends with.
	e.do(`(let ((server (eglot-current-server))) (jsonrpc-request server :shutdown nil) (jsonrpc-notify server :exit nil) t)`)
	require.Eventually(t, func() bool { _, err := os.Stat(s.codes()); return err == nil }, 10*time.Second, 20*time.Millisecond)
	_, _ = e.try(`(kill-emacs)`) // the client is cut off by it
	require.Equal(t, []string{"0"}, s.exitCodes(t), "one server for both files, which left in peace")
}
