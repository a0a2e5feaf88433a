package derive

import (
	"cmp"
	"math"
	"slices"
)

// packsFor gives the packs that the cuts take beyond the open ones, when the longest are cut first, each from the
// first pack that still holds it (first-fit decreasing, never over 11/9 of the fewest possible: Johnson, 1973).
// A cut longer than a pack is joined from whole packs and a rest.
func packsFor(cuts []float64, pack float64, open []float64) int {
	left := slices.Clone(open)
	longestFirst := func(a, b float64) int { return cmp.Compare(b, a) }
	cuts = slices.SortedFunc(slices.Values(cuts), longestFirst)
	whole := func(n int) { // takes whole packs, those at hand first
		for range n {
			if i := slices.Index(left, pack); i >= 0 {
				left[i] = 0
			} else {
				left = append(left, 0)
			}
		}
	}
	for i := 0; i < len(cuts); {
		length, same := cuts[i], i
		for same < len(cuts) && cuts[same] == length {
			same++
		}
		n := same - i
		i = same
		if w := math.Floor(length / pack); w > 0 {
			whole(n * int(w))
			if length -= w * pack; length <= 0 {
				continue
			}
		}
		for k := 0; n > 0; k++ {
			if k == len(left) {
				left = append(left, pack)
			}
			for n > 0 && left[k] >= length {
				left[k] -= length
				n--
			}
		}
	}
	return len(left) - len(open)
}

// jointsIn counts where the cuts longer than a pack are pieced together.
func jointsIn(cuts []float64, pack float64) int {
	joints := 0
	for _, c := range cuts {
		if c > pack {
			joints += int(math.Ceil(c/pack)) - 1
		}
	}
	return joints
}
