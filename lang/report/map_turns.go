package report

import (
	"cmp"
	"slices"

	"haulm/lang/derive"
)

// turn is a planting's place among those that share its ground one after the other.
type turn struct {
	p  *derive.Planting
	n  int // 0 for the first
	of int // how many share
	// The least spacing of those that share: either all of them are drawn plant by plant or none.
	least float64
}

// turns gives the turn of each planting of a row that has a place, by place.
func turns(r *derive.Row) []turn {
	var all []turn
	for _, p := range r.Plantings {
		if p.Placed() {
			all = append(all, turn{p: p, of: 1, least: p.Spacing})
		}
	}
	slices.SortStableFunc(all, func(a, b turn) int { return cmp.Compare(a.p.Owns.From, b.p.Owns.From) })
	for from := 0; from < len(all); {
		end := all[from].p.Owns.To
		to := from + 1
		for to < len(all) && all[to].p.Owns.From < end-1e-6 {
			end = max(end, all[to].p.Owns.To)
			to++
		}
		share(all[from:to])
		from = to
	}
	return all
}

// share gives each of a chain of plantings that overlap the first turn that none of its neighbours
// has, by date.
func share(chain []turn) {
	byDate := make([]*turn, len(chain))
	for i := range chain {
		byDate[i] = &chain[i]
	}
	slices.SortStableFunc(byDate, func(a, b *turn) int { return cmp.Compare(a.p.Plant, b.p.Plant) })
	most := 1
	for i, t := range byDate {
		used := map[int]bool{}
		for _, u := range byDate[:i] {
			if t.p.Owns.From < u.p.Owns.To-1e-6 && u.p.Owns.From < t.p.Owns.To-1e-6 {
				used[u.n] = true
			}
		}
		for used[t.n] {
			t.n++
		}
		most = max(most, t.n+1)
	}
	least := chain[0].least
	for _, t := range chain {
		least = min(least, t.least)
	}
	for i := range chain {
		chain[i].of, chain[i].least = most, least
	}
}
