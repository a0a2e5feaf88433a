//go:build e2e

// Package e2e opens what haulm writes with programs that nobody here wrote: Debian's Chromium, driven from the folder
// node, opens the pages, and python3-openpyxl reads the workbook. Built with the tag e2e, since they must be installed.
package e2e

import (
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// build makes the binary under test and gives its path.
func build(t *testing.T) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "haulm")
	out, err := exec.Command("go", "build", "-o", binary, "haulm/cmd/haulm").CombinedOutput()
	require.NoError(t, err, "%s", out)
	return binary
}

// books writes the book of a whole season and that of a plan whose names would break out.
func books(t *testing.T) (season, hostile string) {
	t.Helper()
	haulm, dir := build(t), t.TempDir()
	season, hostile = filepath.Join(dir, "season"), filepath.Join(dir, "hostile")
	for plan, to := range map[string]string{"../examples/season": season, "../lang/book/testdata/hostile.star": hostile} {
		out, err := exec.Command(haulm, "book", plan, "-o", to).CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	return season, hostile
}

// The tests of the browser, each a line of its own in Node's output.
func TestBrowser(t *testing.T) {
	_, err := os.Stat("node/node_modules")
	require.NoError(t, err, "the browser's driver is not installed; run `npm ci --ignore-scripts` in e2e/node")
	season, hostile := books(t)
	cmd := exec.Command("node", "--test", "--test-reporter=spec", "book.test.js", "view.test.js")
	cmd.Dir = "node"
	plan, err := filepath.Abs("../examples/season")
	require.NoError(t, err)
	cmd.Env = append(os.Environ(), "BOOK="+season, "HOSTILE="+hostile, "HAULM="+build(t), "PLAN="+plan)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	t.Logf("%s", out)
}

// The workbook read back: a sheet for each table, with as many rows as the CSV beside it, days as days, and no
// formula, whatever the names.
func TestWorkbook(t *testing.T) {
	season, hostile := books(t)
	for _, dir := range []string{season, hostile} {
		out, err := exec.Command("/usr/bin/python3", "workbook.py", filepath.Join(dir, "book.xlsx")).CombinedOutput()
		require.NoError(t, err, "%s", out)
		sheets := 0
		for line := range strings.Lines(string(out)) {
			fields := strings.Fields(line)
			require.Len(t, fields, 4, line)
			sheets++
			require.NotContains(t, fields[2], "formula", line)
			require.Equal(t, "frozen", fields[3])
			file, err := os.Open(filepath.Join(dir, "data", fields[0]+".csv"))
			require.NoError(t, err)
			rows, err := csv.NewReader(file).ReadAll()
			file.Close()
			require.NoError(t, err)
			require.Equal(t, fields[1], strconv.Itoa(len(rows)-1), line)
			if fields[0] == "plantings" {
				require.Contains(t, fields[2], "datetime")
			}
		}
		require.Greater(t, sheets, 4)
	}
}
