package report_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/report"
)

// bought is what the JSON of the shopping list says.
type bought struct {
	Shopping []struct {
		Item   string
		Needed any // a number of pieces, or an amount
		Packs  *int
		Pack   *string
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

// Nothing of the uses is lost when they are joined: amounts add up, every use is told with its zones, and no
// item stands there twice.
func TestShoppingHoldsEveryUse(t *testing.T) {
	facts := watered(t)
	sums := map[string]float64{}
	for _, u := range facts.Uses() {
		sums[u.Ware.Name] += u.Amount.SI
	}
	list := shopping(t, facts).Shopping
	require.Len(t, list, len(sums))
	require.Less(t, len(list), len(facts.Uses()), "both zones have a valve")
	for _, line := range list {
		amount := line.Needed
		if m, ok := amount.(map[string]any); ok {
			amount = m["m"]
		}
		require.InDelta(t, sums[line.Item], amount, 1e-5, line.Item)
		require.Equal(t, strings.HasPrefix(line.Item, "drip tape"), line.Packs != nil, "tape alone comes in rolls")
		for _, u := range facts.Uses() {
			if u.Ware.Name != line.Item {
				continue
			}
			require.Contains(t, line.For, u.For)
			if u.Where.Zone != nil {
				require.Contains(t, line.For, u.Where.Zone.Decl.Name.Value)
			}
		}
	}
}
