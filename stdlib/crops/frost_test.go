package crops

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFrostNames(t *testing.T) {
	for f := Hardy; f <= VeryTender; f++ {
		back, ok := ParseFrost(f.String())
		require.True(t, ok)
		require.Equal(t, f, back)
	}
	for _, text := range []string{"", "unknown", "Hardy", "semi-hardy"} {
		f, ok := ParseFrost(text)
		require.False(t, ok, text)
		require.Equal(t, FrostUnknown, f)
	}
	require.Equal(t, "unknown", Frost(99).String())
}

// TestFrostOffset: the rule of each class, from frost.csv, and a crop's own days before it.
func TestFrostOffset(t *testing.T) {
	for _, k := range []struct {
		crop         string
		plants, seed int // days after the last frost
	}{{"spinach", -28, -42}, {"head lettuce", -14, -14}, {"tomato", 0, 0}, {"eggplant", 7, 7}, {"garlic", -252, -252}} {
		c, _ := Named(k.crop)
		plants, by := c.FrostOffset(false)
		seed, also := c.FrostOffset(true)
		require.Equal(t, []int{k.plants, k.seed}, []int{plants, seed}, k.crop)
		require.NotEmpty(t, by)
		require.NotEmpty(t, also)
	}
	_, source := (&Crop{}).FrostOffset(true)
	require.Empty(t, source)
}
