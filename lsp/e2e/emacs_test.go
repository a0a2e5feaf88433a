//go:build e2e

package e2e

import (
	"context"
	"encoding/json"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// emacs is an Emacs without a screen, set up by nothing but the commands of its page.
type emacs struct {
	t      *testing.T
	socket string
	env    []string
}

func startEmacs(t *testing.T, h home) *emacs {
	t.Helper()
	e := &emacs{t, filepath.Join(h.dir, "socket"), h.environment(t)}
	cmd := exec.Command("emacs", "--fg-daemon="+e.socket)
	cmd.Env = e.env
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill() // it has left already where the test went well
		_ = cmd.Wait()
	})
	e.until("t")
	return e
}

// visit opens a file.
func (e *emacs) visit(path ...string) {
	e.t.Helper()
	e.do(fmt.Sprintf(`(progn (switch-to-buffer (find-file-noselect %q)) t)`, filepath.Join(path...)))
}

// hover waits for what there is to say about the place of the cursor.
func (e *emacs) hover() string {
	e.t.Helper()
	e.do(`(progn (setq shown nil) (eglot-hover-eldoc-function (lambda (text &rest _) (setq shown text))) t)`)
	e.until(`shown`)
	var text string
	e.get(&text, `(substring-no-properties shown)`)
	return text
}

// try evaluates an expression in the buffer that is looked at.
func (e *emacs) try(expression string) (string, error) {
	expression = fmt.Sprintf("(with-current-buffer (window-buffer) (run-hooks 'post-command-hook) %s)", expression)
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	cmd := exec.CommandContext(ctx, "emacsclient", "--socket-name="+e.socket, "--eval", expression)
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

// fresh throws away what was done to the file and waits for its findings.
func (e *emacs) fresh() {
	e.t.Helper()
	e.do(`(progn (revert-buffer t t t) t)`)
	e.findings(3)
}

// text is that of the buffer.
func (e *emacs) text() string {
	e.t.Helper()
	var text string
	e.get(&text, `(buffer-substring-no-properties (point-min) (point-max))`)
	return text
}

// putPoint sets the cursor before a text.
func (e *emacs) putPoint(text string) {
	e.t.Helper()
	e.do(fmt.Sprintf(`(progn (goto-char (point-min)) (search-forward %q) (goto-char (match-beginning 0)))`, text))
}

// run is a test of its own with the same Emacs, on the file as it is on disk.
func (e *emacs) run(name string, test func(t *testing.T, e *emacs)) {
	e.t.Run(name, func(t *testing.T) {
		own := &emacs{t, e.socket, e.env}
		own.fresh()
		test(t, own)
	})
}

func TestEmacs(t *testing.T) {
	binary := build(t)
	h, dir := newHome(t, binary), farm(t)
	h.follow(t, "emacs")
	e := startEmacs(t, h)

	// The first hint, as the page has it.
	e.visit(h.dir, "my-farm", "farm.star")
	e.putPoint("plant(first")
	e.do(`(progn (search-forward "18") (replace-match "9") t)`)
	require.Equal(t, "spacing-too-tight", e.findings(1)[0].Code)
	e.do(`(progn (delete-char -1) (insert "18") t)`)
	e.findings(0)
	e.putPoint("plant(first")
	require.Contains(t, e.hover(), "34 bell pepper")
	e.do(`(progn (revert-buffer t t t) (kill-buffer) t)`)

	e.visit(dir, "farm.star")
	require.Equal(t, inFarm, e.findings(3))

	e.run("complete", func(t *testing.T, e *emacs) {
		e.do(`(progn (goto-char (point-max)) (insert "plant(row(yard, name = \"🌽é\", at = 16 * ft), che") t)`)
		var labels []string
		e.get(&labels, `(vconcat (pcase-let ((`+"`(,start ,end ,table . ,_)"+` (run-hook-with-args-until-success 'completion-at-point-functions)))
		  (mapcar #'substring-no-properties (all-completions (buffer-substring start end) table))))`)
		require.Contains(t, labels, "cherry_tomato")
		// What Emacs does when one is picked: the word is put in, then eglot is told.
		e.do(`(pcase-let* ((` + "`(,start ,end ,table . ,more)" + ` (run-hook-with-args-until-success 'completion-at-point-functions))
		        (picked (seq-find (lambda (c) (equal c "cherry_tomato")) (all-completions (buffer-substring start end) table))))
		  (delete-region start end) (goto-char start) (insert picked)
		  (funcall (plist-get more :exit-function) picked 'finished) t)`)
		require.True(t, strings.HasSuffix(e.text(), `"🌽é", at = 16 * ft), cherry_tomato`), e.text())
		require.Contains(t, strings.Split(e.text(), "\n")[2], `"cherry_tomato"`, "loaded as well")
	})

	e.run("hover", func(t *testing.T, e *emacs) {
		e.putPoint("tomato,\tcount = 26")
		require.Contains(t, e.hover(), "Solanaceae")
	})

	e.run("rename", func(t *testing.T, e *emacs) {
		e.putPoint("first = row")
		e.do(`(progn (eglot-rename "début") t)`)
		want := strings.NewReplacer("first = row", "début = row", "plant(first", "plant(début").Replace(read(t, dir, "farm.star"))
		require.Equal(t, want, e.text())
	})

	e.run("code action", func(t *testing.T, e *emacs) {
		e.putPoint("26, spacing")
		e.do(`(cl-letf (((symbol-function 'completing-read) (lambda (&rest _) "Plant 22")))
		  (call-interactively #'eglot-code-actions) t)`)
		require.Equal(t, strings.Replace(read(t, dir, "farm.star"), "count = 26", "count = 22", 1), e.text())
		require.Equal(t, []finding{inFarm[0], inFarm[2]}, e.findings(2))
	})

	e.run("format", func(t *testing.T, e *emacs) {
		e.do(`(progn (eglot-format-buffer) t)`)
		require.Equal(t, laidOut(t, binary, read(t, dir, "farm.star")), e.text())
	})

	e.run("definition in a file with CRLF", func(t *testing.T, e *emacs) {
		e.putPoint("bench, at")
		e.do(`(progn (call-interactively #'xref-find-definitions) t)`)
		e.until(`(equal (file-name-nondirectory buffer-file-name) "bench.star")`)
		require.Equal(t, inBench, e.findings(1))
		require.Equal(t, "5", e.do(`(line-number-at-pos)`))
		require.Equal(t, "1", e.do(`(coding-system-eol-type buffer-file-coding-system)`), "the line ends of Windows")
	})

	// What eglot-shutdown says, without the kill that it ends with.
	e.do(`(let ((server (eglot-current-server))) (jsonrpc-request server :shutdown nil) (jsonrpc-notify server :exit nil) t)`)
	require.Equal(t, []string{"0"}, h.exitCodes(t, 1), "the server left in peace")
}
