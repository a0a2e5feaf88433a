//go:build e2e

package e2e

import (
	"encoding/json"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// neovim is a Neovim without a screen, set up by nothing but the file that its page tells to copy. Keys are
// typed into it from outside, as a person would.
type neovim struct {
	t      *testing.T
	socket string
	env    []string
}

func startNeovim(t *testing.T, s shim, file string) *neovim {
	t.Helper()
	setup, err := filepath.Abs("../editors/neovim/haulm.lua")
	require.NoError(t, err)
	n := &neovim{t, filepath.Join(s.dir, "socket"), s.environment("LC_ALL=C.UTF-8")}
	cmd := exec.Command("nvim", "--headless", "-n", "--listen", n.socket, "-u", setup, file)
	cmd.Env = n.env
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill() // it has left already where the test went well
		_ = cmd.Wait()
	})
	return n
}

// do runs nvim as a client of the one that is running.
func (n *neovim) do(args ...string) (string, error) {
	cmd := exec.Command("nvim", append([]string{"--server", n.socket}, args...)...)
	cmd.Env = n.env
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// keys types.
func (n *neovim) keys(keys string) {
	n.t.Helper()
	out, err := n.do("--remote-send", keys)
	require.NoError(n.t, err, "%s", out)
}

// lua gives the value of an expression.
func (n *neovim) lua(into any, expression string) {
	n.t.Helper()
	out, err := n.do("--remote-expr", fmt.Sprintf("luaeval('vim.fn.json_encode(%s)')", strings.ReplaceAll(expression, "'", "''")))
	require.NoError(n.t, err, "%s", out)
	require.NoError(n.t, json.Unmarshal([]byte(out), into), "%s gave %s", expression, out)
}

// until waits for an expression to become true.
func (n *neovim) until(expression string) {
	n.t.Helper()
	out, late := "", time.Now().Add(30*time.Second)
	for time.Now().Before(late) {
		var err error
		query := fmt.Sprintf("luaeval('(%s) and 1 or 0')", strings.ReplaceAll(expression, "'", "''"))
		if out, err = n.do("--remote-expr", query); err == nil && strings.TrimSpace(out) == "1" {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	require.Fail(n.t, "waited in vain", "%s: %s", expression, out)
}

// text is that of the buffer.
func (n *neovim) text() string {
	n.t.Helper()
	var lines []string
	n.lua(&lines, `vim.api.nvim_buf_get_lines(0, 0, -1, true)`)
	return strings.Join(lines, "\n") + "\n"
}

// finding is a finding as an editor marks it: what part of the text, in which line, counted from 1.
type finding struct {
	Line int
	Code string
	Text string
}

// findings waits for a number of them.
func (n *neovim) findings(count int) []finding {
	n.t.Helper()
	n.until(fmt.Sprintf("#vim.diagnostic.get(0) == %d", count))
	var list []finding
	n.lua(&list, `vim.tbl_map(function(d) return {
		Line = d.lnum + 1, Code = d.code,
		Text = table.concat(vim.api.nvim_buf_get_text(0, d.lnum, d.col, d.end_lnum, d.end_col, {}), "\n"),
	} end, vim.diagnostic.get(0))`)
	return list
}

var inFarm = []finding{
	{12, "row-feet-left-over", "20"},
	{14, "planting-past-row-end", "26"},
	{15, "bare-number", "12"},
}

var inBench = []finding{{7, "planting-past-row-end", "40 * ft"}}

func TestNeovim(t *testing.T) {
	s, dir := newShim(t, build(t)), farm(t)
	n := startNeovim(t, s, filepath.Join(dir, "farm.star"))
	require.Equal(t, inFarm, n.findings(3))

	n.keys(":edit " + filepath.Join(dir, "fields", "bench.star") + "<CR>")
	require.Equal(t, inBench, n.findings(1))

	n.keys(":quitall!<CR>")
	require.Eventually(t, func() bool { _, err := n.do("--remote-expr", "1"); return err != nil }, 10*time.Second, 20*time.Millisecond)
	require.Equal(t, []string{"0"}, s.exitCodes(t), "one server for both files, which left in peace")
}
