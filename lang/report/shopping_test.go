package report_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/report"
)

// bought is what the JSON of the shopping list says.
type bought struct {
	Shopping []struct {
		Part   string
		Pieces int
		Length *struct{ M float64 }
		For    string
	}
}

func shopping(t *testing.T, facts *derive.Facts) bought {
	var out bytes.Buffer
	require.NoError(t, report.Shopping(facts).WriteJSON(&out))
	var b bought
	require.NoError(t, json.Unmarshal(out.Bytes(), &b))
	return b
}

// Nothing of the parts is lost when they are joined: pieces and lengths add up, every use is told with its
// zones, and no part stands there twice.
func TestShoppingHoldsEveryPart(t *testing.T) {
	facts := watered(t)
	pieces, length := map[string]int{}, map[string]float64{}
	for _, p := range facts.Water.Parts {
		pieces[p.Name] += p.Count
		length[p.Name] += p.Length
	}
	list := shopping(t, facts).Shopping
	require.Len(t, list, len(pieces))
	require.Less(t, len(list), len(facts.Water.Parts), "both zones have a valve")
	for _, line := range list {
		require.Equal(t, pieces[line.Part], line.Pieces, line.Part)
		if length[line.Part] > 0 {
			require.InDelta(t, length[line.Part], line.Length.M, 1e-5, line.Part)
		} else {
			require.Nil(t, line.Length, line.Part)
		}
		for _, p := range facts.Water.Parts {
			if p.Name != line.Part {
				continue
			}
			require.Contains(t, line.For, p.For)
			if p.Zone != nil {
				require.Contains(t, line.For, p.Zone.Decl.Name.Value)
			}
		}
	}
}

// One name with two uses tells both, and kinds stand in the order of buying.
func TestShoppingJoinsUses(t *testing.T) {
	zone := func(name string) *derive.ZoneWater {
		return &derive.ZoneWater{Decl: &farm.Zone{Name: farm.Text{Value: name}}}
	}
	a, b := zone("a"), zone("b")
	pipe := func(z *derive.ZoneWater, why string) derive.Part {
		return derive.Part{Zone: z, Kind: derive.PipePart, Name: "pipe", Count: 1, Length: 30, For: why}
	}
	valve := func(z *derive.ZoneWater) derive.Part {
		return derive.Part{Zone: z, Kind: derive.ValvePart, Name: "valve", Count: 1, For: "opens the zone"}
	}
	facts := &derive.Facts{Farm: &farm.Farm{}, Water: &derive.Water{Parts: []derive.Part{
		pipe(a, "to the rows"), pipe(a, "along the heads"), valve(a), pipe(b, "to the rows"), valve(b),
	}}}
	var lines []string
	for _, line := range shopping(t, facts).Shopping {
		lines = append(lines, strings.Repeat("+", line.Pieces)+" "+line.Part+" "+line.For)
	}
	require.Equal(t, []string{
		"++ valve opens the zone (zones a, b)",
		"+++ pipe to the rows (zones a, b); along the heads (zone a)",
	}, lines)
}
