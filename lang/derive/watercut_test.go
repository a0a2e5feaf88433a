package derive

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestCutTape(t *testing.T) {
	tests := []struct {
		name           string
		length, apart  float64 // ft, in
		slit           bool
		emitters       int
		caught, inFold int
		moved          float64 // in
	}{
		// Emitters at 6, 18, ... in. The fold of a 100 ft row reaches from 1200 to 1206 in, just where the
		// 101st stands; an inch shorter it ends an inch before it.
		{"an emitter at the fold's end", 100, 12, true, 100, 1, 0, -1},
		// The fold reaches from 1202 to 1208 in and holds that at 1206; 3 in shorter it ends an inch before it, and
		// to begin an inch behind it would take 5 in more.
		{"an emitter deep in the fold", 100 + 2./12, 12, true, 100, 1, 0, -3},
		// From 1205 to 1211 in: 2 in longer it begins an inch behind that at 1206.
		{"an emitter where the fold begins", 100 + 5./12, 12, true, 101, 1, 0, 2},
		{"room as it is", 100 + 7./12, 12, true, 101, 0, 0, 0},
		{"other tape may hold one", 100, 12, false, 100, 1, 1, 0},
		// Emitters 4 in apart, from 2 in: one always stands in 6 in of fold, here those at 1202 and 1206.
		{"too close for any fold", 100, 4, true, 300, 2, 2, 0},
		// 6 in apart leave no room to spare.
		{"as close as the fold is long", 100, 6, true, 200, 1, 1, 0},
		// 7 in apart, from 3.5 in: emitters at 1200.5 and 1193.5; half an inch to spare on either side.
		{"hardly any room", 100, 7, true, 172, 1, 0, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := cutTape(tt.length*foot, tt.apart*inch, tt.slit)
			require.Equal(t, tt.emitters, c.Emitters)
			require.Equal(t, tt.caught, c.Caught)
			require.Equal(t, tt.inFold, c.InFold)
			require.InDelta(t, tt.moved, c.Moved/inch, 1e-9)
			require.InDelta(t, tt.length*12+tt.moved, c.Laid/inch, 1e-6)
			require.InDelta(t, c.Laid/inch+6, c.Length/inch, 1e-9)
			require.Equal(t, tt.apart/2*inch, c.Head)
		})
	}
}

// Where emitters stand farther apart than the fold is long, no emitter is in it, the tape holds all emitters up to it,
// and it is never moved by more than half the fold and the clearance on both sides.
func TestFoldsHoldNoEmitter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		apart := rapid.Float64Range(0.03, 1).Draw(t, "apart")
		length := rapid.Float64Range(0.5, 300).Draw(t, "length")
		c := cutTape(length, apart, true)
		if c.Emitters == 0 {
			return
		}
		in, before := 0, 0
		for i := 0; ; i++ {
			at := c.Head + float64(i)*apart
			if at > c.Laid+c.Fold+1e-9 {
				break
			}
			if at > c.Laid+1e-9 {
				in++
			} else {
				before++
			}
		}
		require.Equal(t, before, c.Emitters)
		require.Equal(t, in, c.InFold)
		if apart > fold {
			require.Zero(t, c.InFold)
		}
		if c.Caught == 0 {
			require.Zero(t, c.Moved)
		}
		require.LessOrEqual(t, math.Abs(c.Moved), fold+clearance+1e-9)
		if length > 2 {
			require.LessOrEqual(t, math.Abs(c.Moved), fold/2+clearance+1e-9)
		}
	})
}
