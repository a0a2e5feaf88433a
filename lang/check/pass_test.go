package check

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFewNames(t *testing.T) {
	rows := []string{"beet in row 2 of Terrace", "beet in row 3 of Terrace", "kale in row 4 of Bench"}
	require.Equal(t, []string{"row 2", "row 3", "kale in row 4 of Bench"}, unlike("beet in row 1 of Terrace", rows))
	require.Equal(t, []string{"a", "b"}, unlike("", []string{"a", "b"}))
	require.Equal(t, "a", some([]string{"a"}))
	require.Equal(t, "a, b, c and d", some([]string{"a", "b", "c", "d"}))
	require.Equal(t, "a, b, c and 2 more", some([]string{"a", "b", "c", "d", "e"}))
}
