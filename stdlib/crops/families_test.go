package crops

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFamily(t *testing.T) {
	for name, want := range map[string]string{
		"Solanaceae": "Solanaceae", "solanaceae": "Solanaceae", "nightshades": "Solanaceae", "Potato family": "Solanaceae",
		"Alliaceae": "Amaryllidaceae", "alliums": "Amaryllidaceae",
		"Chenopodiaceae": "Amaranthaceae", "Compositae": "Asteraceae", "Cruciferae": "Brassicaceae", "brassicas": "Brassicaceae",
		"Umbelliferae": "Apiaceae", "Leguminosae": "Fabaceae", "legumes": "Fabaceae", "Gramineae": "Poaceae",
		"Labiatae": "Lamiaceae", "cucurbits": "Cucurbitaceae", "buckwheat family": "Polygonaceae",
	} {
		got, ok := Family(name)
		require.True(t, ok, name)
		require.Equal(t, want, got, name)
	}
	for _, name := range []string{"", "Solanacea", "tomato", "family"} {
		_, ok := Family(name)
		require.False(t, ok, name)
	}
}

// A family's current name is one of its names, every crop's family is listed, and no crop's name means a
// family that is not its own.
func TestFamilies(t *testing.T) {
	all := Families()
	require.True(t, slices.IsSorted(all))
	for _, f := range all {
		own, ok := Family(f)
		require.True(t, ok, f)
		require.Equal(t, f, own)
		require.Regexp(t, "^[A-Z][a-z]+aceae$", f)
	}
	for _, c := range All() {
		require.Contains(t, all, c.Family, c.Name)
	}
	for _, row := range mustRows(familiesCSV) {
		if c, ok := Named(row[0]); ok {
			require.Equal(t, c.Family, row[1], row[0])
		}
	}
}
