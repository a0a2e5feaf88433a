package crops

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNamed(t *testing.T) {
	for name, want := range map[string]string{
		"bell pepper": "bell_pepper", "bell_pepper": "bell_pepper", "Bell Peppers": "bell_pepper", "pepper": "bell_pepper",
		"lettuce": "leaf_lettuce", "lettuce (head)": "head_lettuce", "tomato": "tomato", "tomatoes": "tomato", "cherry tomatoes": "cherry_tomato",
		"tomato (cherry)": "cherry_tomato", "pea": "english_pea", "peas": "english_pea", "melon": "muskmelon", "cantaloupe": "muskmelon",
		"radishes": "radish", "strawberries": "strawberry", "chard, Swiss": "swiss_chard", "corn": "sweet_corn", "bean, garden": "snap_bean",
		"snap bean (pole)": "pole_bean", "squash": "summer_squash", "black-eyed pea": "southern_pea", "collard greens": "collards", "collards": "collards",
		"lettuce (leaf)": "leaf_lettuce", "tomato (determinate)": "determinate_tomato", "tomato (all)": "tomato", "snap bean (bush)": "snap_bean",
		"sunflower (cut)": "sunflower", "zinnia (cut)": "zinnia", "cowpea (southern pea)": "southern_pea", "melon (cantaloupe, honeydew)": "muskmelon",
		"sweet corn (early)": "early_sweet_corn", "sweet corn (midseason)": "sweet_corn", "watermelon (seedless)": "seedless_watermelon",
		"watermelon (seeded)": "watermelon", "squash (summer, winter)": "summer_squash", "lima bean (bush)": "lima_bean", "onion (sets)": "onion",
	} {
		c, ok := Named(name)
		require.True(t, ok, name)
		require.Equal(t, want, c.Ident, name)
	}
	for _, name := range []string{"", "s", "es", "ies", "triffid", "(", ", "} {
		_, ok := Named(name)
		require.False(t, ok, name)
	}
}

// TestNamedIsTotal: a crop is found by every name that the table gives it.
func TestNamedIsTotal(t *testing.T) {
	for _, row := range mustRows(namesCSV) {
		own, ok := Named(row[0])
		require.True(t, ok, row[0])
		require.Equal(t, row[0], own.Name)
		names := []string{own.Ident, strings.ToUpper(row[0])}
		if row[1] != "" {
			names = append(names, strings.Split(row[1], "|")...)
		}
		for _, n := range names {
			c, ok := Named(n)
			require.True(t, ok, n)
			require.Same(t, own, c, n)
		}
	}
}

func TestAllIsInOrder(t *testing.T) {
	require.True(t, slices.IsSortedFunc(All(), func(a, b *Crop) int { return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) }))
	All()[0] = nil
	require.NotNil(t, All()[0], "the caller's slice is its own")
}

func TestTitle(t *testing.T) {
	c := Crop{Name: "bell pepper"}
	require.Equal(t, "bell pepper", c.Title())
	c.Variety = "Lantern Red"
	require.Equal(t, "bell pepper 'Lantern Red'", c.Title())
}

func FuzzNamed(f *testing.F) {
	for _, s := range []string{"pepper", "lettuce (head)", "chard, Swiss", "peas", "(", ", ", "\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		if c, ok := Named(name); ok {
			again, _ := Named(c.Ident)
			require.Same(t, c, again)
		}
	})
}
