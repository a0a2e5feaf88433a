package check

import (
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// No plan is known to end so, but the equations have their bounds: the last state is told, and as such.
func TestWaterNotBalanced(t *testing.T) {
	source := &derive.SourceWater{Decl: &farm.WaterSource{}, Peak: -1}
	zone := &derive.ZoneWater{Decl: &farm.Zone{Name: farm.Text{Value: "fruiting", Given: true}}, Peak: -1}
	zone.Rows = []*derive.RowWater{{}}
	group := &derive.ZoneGroup{
		Zones: []*derive.ZoneWater{zone}, Source: source, Unsettled: "pressures still change by 3 psi", Iterations: 200,
		Flow: 11 * 6.30902e-5, Pressure: 32 * 6894.757,
	}
	w := &derive.Water{Zones: []*derive.ZoneWater{zone}, Groups: []*derive.ZoneGroup{group}, Sources: []*derive.SourceWater{source}}
	found := Run(&derive.Facts{Farm: &farm.Farm{Units: quantity.US}, Seasons: derive.Derive(nil).Seasons, Water: w})
	require.Len(t, found, 1)
	require.Equal(t, "water-not-balanced", found[0].Code())
	require.Equal(t, "flow and pressure of zone fruiting do not come to rest: pressures still change by 3 psi. The last state has 11 gpm at 32 psi",
		found[0].Message)
	require.Equal(t, "200 rounds", found[0].Primary.Text)
}
