package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/farm"
)

// Every use is told once with its places; a thing that goes everywhere does not list the whole farm.
func TestPurpose(t *testing.T) {
	zone := func(name string) derive.Item {
		return derive.Item{Zone: &derive.ZoneWater{Decl: &farm.Zone{Name: farm.Text{Value: name}}}}
	}
	plot := func(name string) derive.Item {
		return derive.Item{Plot: &derive.Plot{Decl: &farm.Plot{Name: farm.Text{Value: name}}}}
	}
	use := func(why string, where derive.Item) derive.Use { return derive.Use{For: why, Where: where} }
	tests := []struct {
		name string
		uses []derive.Use
		want string
	}{
		{"the whole farm", []derive.Use{use("at the spring", derive.Item{})}, "at the spring"},
		{"one zone", []derive.Use{use("opens the zone", zone("a"))}, "opens the zone (zone a)"},
		{"several zones, two uses", []derive.Use{use("to the rows", zone("a")), use("along the heads", zone("a")), use("to the rows", zone("b"))},
			"to the rows (zones a, b); along the heads (zone a)"},
		{"a plot twice", []derive.Use{use("for seed", plot("Bench")), use("for seed", plot("Bench"))}, "for seed (Bench)"},
		{"many plots", []derive.Use{use("for seed", plot("A")), use("for seed", plot("B")), use("for seed", plot("C")), use("for seed", plot("D"))},
			"for seed (A; B; C; D)"},
		{"more than there is room for", []derive.Use{use("for seed", plot(strings.Repeat("Long ", 20)+"bench")), use("for seed", plot("The other bench"))},
			"for seed (" + strings.Repeat("Long ", 20) + "bench; The other be…)"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { require.Equal(t, tt.want, purpose(tt.uses)) })
	}
}
