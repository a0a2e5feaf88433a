package derive

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFind(t *testing.T) {
	p := newPlan(foot)
	bench := p.plot("Lower bench", 52, 40, 5)
	p.plot("Lower", 52, 40, 5)
	half := p.plot("East/West", 52, 40, 5)
	p.plot("7", 52, 40, 5)
	first := p.row(bench, 4)
	named := p.row(bench, 8)
	named.Name.Value = "By the wall"
	west := p.row(half, 8)
	pepper := crop("bell pepper")
	pepper.Ident = "bell_pepper"
	red := crop("bell pepper")
	red.Variety = "Lantern Red"
	p.plant(first, pepper, 2, counted(3))
	p.plant(named, red, 2, counted(3))
	p.plant(named, crop("beet"), 2, counted(3))
	p.plant(named, crop("beet"), 2, counted(3))
	p.plant(west, crop("kale"), 2, counted(3))
	facts := derive(t, p)

	tests := []struct{ item, want string }{
		{"Lower bench", "Lower bench"},
		{"lower_bench", "Lower bench"},
		{" LOWER  BENCH / ", "Lower bench"},
		{"lower", "Lower"},
		{"east/west", "East/West"},
		{"7", "7"}, // a plot called so, not the planting
		{"lower bench/1", "Lower bench, row 1"},
		{"lower bench/row 1", "Lower bench, row 1"},
		{"lower bench/2", "Lower bench, By the wall"},
		{"lower bench/by the wall", "Lower bench, By the wall"},
		{"lower bench/row 1/bell pepper", "Lower bench, row 1, bell pepper"},
		{"lower bench/1/bell_pepper", "Lower bench, row 1, bell pepper"},
		{"lower bench / by the wall / lantern red", "Lower bench, By the wall, bell pepper 'Lantern Red'"},
		{"east/west/1/kale", "East/West, row 1, kale"},
		{"1", "Lower bench, row 1, bell pepper"},
		{"5", "East/West, row 1, kale"},
		{"Kale", "East/West, row 1, kale"},
	}
	for _, tt := range tests {
		got, err := Find(facts, tt.item)
		require.NoError(t, err, tt.item)
		require.Equal(t, tt.want, got.Title(), tt.item)
		require.NotEmpty(t, got.Why())
	}
	wrong := []struct{ item, want string }{
		{"Lower bnch", `nothing in the plan is called "Lower bnch": try "Lower bench", "Lower", "beet", "kale"`},
		{"", `nothing in the plan is called "": try "7", "beet", "kale", "Lower"`},
		{"Lower bnch/1", `there is no plot "Lower bnch": try "Lower bench", "Lower", "East/West", "7"`},
		{"beet", `2 plantings are of "beet": ask for one by its number, 3, 4`},
		{"12", `there is no planting 12: the plan has 5 plantings`},
		{"0", `there is no planting 0: the plan has 5 plantings`},
		{"lower bench/9", `plot "Lower bench" has no row "9": try "row 1", "By the wall"`},
		{"lower/1", `plot "Lower" has no row "1": it has no rows`},
		{"lower bench/1/beet", `row 1 of plot "Lower bench" has no planting of "beet": try "bell pepper"`},
		{"lower bench/2/beet", `By the wall of plot "Lower bench" has 2 plantings of "beet": ask for one by its number, 3, 4`},
	}
	for _, tt := range wrong {
		_, err := Find(facts, tt.item)
		require.EqualError(t, err, tt.want)
	}
	require.Empty(t, Item{}.Title())
	require.Empty(t, Item{}.Why())
}
