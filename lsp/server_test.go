package lsp

import (
	"testing"

	"github.com/stretchr/testify/require"
)

const ground = `farm("Test", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
`

func TestFirst(t *testing.T) {
	dir := workspace(t, map[string]string{"farm.star": ground})
	e := greeted(t, `{}`, []string{dir})
	uri := uriOf(dir + "/farm.star")
	e.open(uri, ground+"first = row(bench, at = 4)\n")
	require.Equal(t, []string{"bare-number"}, codes(e.findings(uri)))
	e.edit(uri, change(2, 24, 2, 25, "4 * ft"))
	require.Empty(t, e.findings(uri))
	require.NoError(t, e.leave())
}
