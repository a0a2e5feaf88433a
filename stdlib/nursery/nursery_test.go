package nursery

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// 200 pepper plants from seed of the federal least germination, 55 % (7 CFR 201.31), with 10 % culls.
func TestSeeds(t *testing.T) {
	require.Equal(t, 405, Seeds(200, 0.55, 0.1))
	require.Equal(t, 4, Trays(405, 128))
	require.Zero(t, Seeds(200, 0, 0.1))
	require.Zero(t, Seeds(200, 0.9, 1))
}

// A 128-cell tray sown for 110 plants at 85 % germination leaves too few: it takes a second tray (common practice).
func TestSecondTray(t *testing.T) {
	cells := Cells(110, Stand(0.85, 1), 0)
	require.Equal(t, 130, cells)
	require.Equal(t, 2, Trays(cells, 128))
	require.Equal(t, 1, Trays(Cells(110, Stand(0.85, 2), 0), 128)) // two seeds in each cell
}

// The cells are just enough: their stand carries the plants and the spare, that of one cell less does not. Trays hold
// all cells, one tray less does not.
func TestCellsAreJustEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plants := rapid.IntRange(1, 100_000).Draw(t, "plants")
		stand := Stand(rapid.Float64Range(0.05, 1).Draw(t, "germination"), rapid.IntRange(1, 5).Draw(t, "per cell"))
		spare := rapid.Float64Range(0, 1).Draw(t, "spare")
		per := rapid.IntRange(1, 500).Draw(t, "cells of a tray")
		cells, want := Cells(plants, stand, spare), float64(plants)*(1+spare)
		require.GreaterOrEqual(t, float64(cells)*stand, want*(1-1e-9)-1e-6)
		require.Less(t, float64(cells-1)*stand, want)
		trays := Trays(cells, per)
		require.GreaterOrEqual(t, trays*per, cells)
		require.Less(t, (trays-1)*per, cells)
	})
}
