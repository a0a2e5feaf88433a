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

// neovim is a Neovim without a screen, set up by nothing but the commands of its page. Keys are typed into it
// from outside, as a person would.
type neovim struct {
	t      *testing.T
	socket string
	env    []string
}

func startNeovim(t *testing.T, h home, file string) *neovim {
	t.Helper()
	n := &neovim{t, filepath.Join(h.dir, "socket"), h.environment(t)}
	cmd := exec.Command("nvim", "--headless", "-n", "--listen", n.socket, file)
	cmd.Env = n.env
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill() // it has left already where the test went well
		_ = cmd.Wait()
	})
	n.until("true")
	return n
}

// do runs nvim as a client of the one that is running.
func (n *neovim) do(args ...string) (string, error) {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	cmd := exec.CommandContext(ctx, "nvim", append([]string{"--server", n.socket}, args...)...)
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

// leave ends the editor. It may be gone before it has answered.
func (n *neovim) leave() {
	n.t.Helper()
	out, err := n.do("--remote-send", ":quitall!<CR>")
	if err != nil {
		require.Contains(n.t, out, "closed by the client")
	}
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

// fresh throws away what was done to the file and waits for its findings.
func (n *neovim) fresh() {
	n.t.Helper()
	n.keys("<Esc>:edit!<CR>")
	n.findings(3)
}

// putCursor sets it where a pattern begins.
func (n *neovim) putCursor(pattern string) {
	n.t.Helper()
	n.keys("gg")
	n.keys(":call search('" + pattern + "', 'c')<CR>")
}

// shown waits for a window that floats over the text and gives its own.
func (n *neovim) shown() string {
	n.t.Helper()
	windows := `vim.tbl_filter(function(w) return vim.api.nvim_win_get_config(w).relative ~= "" end, vim.api.nvim_list_wins())`
	n.until("#" + windows + " == 1")
	var lines []string
	n.lua(&lines, `vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(`+windows+`[1]), 0, -1, true)`)
	return strings.Join(lines, "\n")
}

// asked answers what Neovim would ask at the keyboard, with a function for vim.ui.
func (n *neovim) asked(what, answer string) {
	n.t.Helper()
	var done bool
	n.lua(&done, fmt.Sprintf(`(function() vim.ui.%s = %s; return true end)()`, what, answer))
}

// run is a test of its own with the same Neovim, on the file as it is on disk.
func (n *neovim) run(name string, test func(t *testing.T, n *neovim)) {
	n.t.Run(name, func(t *testing.T) {
		own := &neovim{t, n.socket, n.env}
		own.fresh()
		test(t, own)
	})
}

func TestNeovim(t *testing.T) {
	binary := build(t)
	h, dir := newHome(t, binary), farm(t)
	h.follow(t, "neovim")
	n := startNeovim(t, h, filepath.Join(h.dir, "my-farm", "farm.star"))

	// The first hint, as the page has it.
	n.putCursor("plant(first")
	n.keys(":silent substitute/18/9/<CR>")
	require.Equal(t, "spacing-too-tight", n.findings(1)[0].Code)
	n.keys("u")
	n.findings(0)
	n.keys("K")
	require.Contains(t, n.shown(), "34 bell pepper")

	n.keys(":edit! " + filepath.Join(dir, "farm.star") + "<CR>")
	require.Equal(t, inFarm, n.findings(3))

	n.run("complete", func(t *testing.T, n *neovim) {
		n.keys(`Goplant(row(yard, name = "🌽é", at = 16 * ft), t<C-x><C-o>`)
		items := `vim.fn.complete_info({"items"}).items`
		n.until("#" + items + " > 1")
		var words []string
		n.lua(&words, `vim.tbl_map(function(i) return i.word end, `+items+`)`)
		require.Equal(t, "tomato", words[0])
		n.keys("<C-y>, count")
		require.True(t, strings.HasSuffix(n.text(), `"🌽é", at = 16 * ft), tomato, count`+"\n"), n.text())
	})

	n.run("hover", func(t *testing.T, n *neovim) {
		n.putCursor(`\zstomato,.*26`)
		n.keys("K")
		require.Contains(t, n.shown(), "Solanaceae")
	})

	n.run("rename", func(t *testing.T, n *neovim) {
		n.putCursor("first = row")
		n.asked("input", `function(question, answer) vim.g.offered = question.default; answer("début") end`)
		n.keys("grn")
		n.until(`vim.fn.search("plant(début, tomato") > 0`)
		want := strings.NewReplacer("first = row", "début = row", "plant(first", "plant(début").Replace(read(t, dir, "farm.star"))
		require.Equal(t, want, n.text())
		var offered string
		n.lua(&offered, `vim.g.offered`)
		require.Equal(t, "first", offered)
	})

	n.run("code action", func(t *testing.T, n *neovim) {
		n.putCursor("26, spacing")
		n.asked("select", `function(items, how, answer)
			for i, item in ipairs(items) do
				if how.format_item(item) == "Plant 22" then answer(item, i) end
			end
		end`)
		n.keys("gra")
		n.until(`vim.fn.search("count = 22") > 0`)
		require.Equal(t, strings.Replace(read(t, dir, "farm.star"), "count = 26", "count = 22", 1), n.text())
		require.Equal(t, []finding{inFarm[0], inFarm[2]}, n.findings(2))
	})

	n.run("format", func(t *testing.T, n *neovim) {
		n.keys("gggqG")
		require.Equal(t, laidOut(t, binary, read(t, dir, "farm.star")), n.text())
	})

	n.run("definition in a file with CRLF", func(t *testing.T, n *neovim) {
		n.putCursor("bench, at")
		n.keys("gd")
		n.until(`vim.fn.expand("%:t") == "bench.star"`)
		require.Equal(t, inBench, n.findings(1))
		var at []int
		n.lua(&at, `vim.api.nvim_win_get_cursor(0)`)
		require.Equal(t, []int{5, 0}, at)
		n.until(`vim.bo.fileformat == "dos"`)
	})

	n.leave()
	require.Equal(t, []string{"0", "0"}, h.exitCodes(t, 2), "one server for each farm, which left in peace")
}
