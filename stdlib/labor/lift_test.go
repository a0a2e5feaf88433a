package labor

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const inch, pound = 0.0254, 0.45359237

// best is the best lift that there is: near the body, from knuckle height, straight, with handles.
var best = Lift{Reach: 10 * inch, From: 30 * inch, To: 40 * inch, Often: 1, Grip: 1}

func TestLift(t *testing.T) {
	change := func(by func(*Lift)) Lift {
		l := best
		by(&l)
		return l
	}
	tests := []struct {
		name string
		lift Lift
		want float64 // lb
	}{
		{"the best", best, 51},
		{"nearer counts no more", change(func(l *Lift) { l.Reach = 4 * inch }), 51},
		{"at arm's length", change(func(l *Lift) { l.Reach = 20 * inch }), 25.5},
		{"off the ground", change(func(l *Lift) { l.From, l.To = 0, 10*inch }), 51 * 0.775},
		{"up to a truck bed", change(func(l *Lift) { l.From, l.To = 0, 36*inch }), 51 * 0.775 * 0.87},
		{"down from it", change(func(l *Lift) { l.From, l.To = 36*inch, 0 }), 51 * 0.955 * 0.87},
		{"with a quarter turn", change(func(l *Lift) { l.Twist = -90 }), 51 * 0.712},
		{"a wet sack", change(func(l *Lift) { l.Grip = 0.9 }), 45.9},
		{"out of reach", change(func(l *Lift) { l.Reach = 26 * inch }), 0},
		{"too high", change(func(l *Lift) { l.To = 71 * inch }), 0},
		{"below the ground", change(func(l *Lift) { l.From = -inch }), 0},
		{"too far round", change(func(l *Lift) { l.Twist = 136 }), 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { require.InDelta(t, tt.want*pound, tt.lift.Limit(), 1e-9) })
	}
	require.InEpsilon(t, 2, best.Index(102*pound), 1e-9)
	require.True(t, math.IsInf(Lift{Reach: 1, Often: 1, Grip: 1}.Index(1), 1))
}

// No lift may be heavier than the best one, and none is better for reaching farther or turning more.
func TestLiftLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Lift{Reach: rapid.Float64Range(0, 0.8).Draw(t, "reach"), From: rapid.Float64Range(0, 2).Draw(t, "from"),
			To: rapid.Float64Range(0, 2).Draw(t, "to"), Twist: rapid.Float64Range(-150, 150).Draw(t, "twist"), Often: 1, Grip: 1}
		limit := l.Limit()
		require.GreaterOrEqual(t, limit, 0.0)
		require.LessOrEqual(t, limit, best.Limit()+1e-9)
		l.Reach += rapid.Float64Range(0, 0.2).Draw(t, "farther")
		require.LessOrEqual(t, l.Limit(), limit)
		l.Twist *= 1.1
		require.LessOrEqual(t, l.Limit(), limit)
	})
}
