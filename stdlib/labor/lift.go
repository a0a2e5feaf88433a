package labor

import "math"

// Lift is how a load is lifted with both hands. Lengths are m, the angle degrees.
type Lift struct {
	Reach float64 // from the middle between the ankles forward to the hands
	From  float64 // height of the hands above the ground at the start
	To    float64 // height of the hands at the end
	Twist float64 // of the body to one side

	Often float64 // factor for how often and how long: 1 for one lift in five minutes or fewer, for an hour or less
	Grip  float64 // factor for the grip: 1 for handles, 0.9 for a load hard to hold
}

// Limit gives the greatest weight in kg that nearly all healthy workers may lift so over a working day without more
// risk to the back, the recommended weight limit of the revised NIOSH lifting equation, at the start of the lift:
//
//	51 lb × (10/H) × (1 − 0.0075 |V − 30|) × (0.82 + 1.8/D) × (1 − 0.0032 A) × FM × CM
//
// with the reach H, the height V and the way D up or down in inches and the twist A in degrees. H and D count at
// least 10 in; beyond a reach of 25 in, heights of 0 to 70 in or a twist of 135° nothing should be lifted and the
// limit is 0. It does not hold for lifting with one hand, seated, kneeling, on slippery ground or in heat. Source: T. R.
// Waters, V. Putz-Anderson and A. Garg, Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH)
// 94-110 (1994); the factors of H, V and D were read, those of A and the bounds are from memory.
func (l Lift) Limit() float64 {
	const inch, pound, least = 0.0254, 0.45359237, 10.0
	h, v, d := l.Reach/inch, l.From/inch, math.Abs(l.To-l.From)/inch
	to := l.To / inch
	const hair = 1e-9
	if h > 25+hair || math.Min(v, to) < -hair || math.Max(v, to) > 70+hair || math.Abs(l.Twist) > 135 {
		return 0
	}
	h, d = math.Max(h, least), math.Max(d, least)
	return 51 * pound * (10 / h) * (1 - 0.0075*math.Abs(v-30)) * (0.82 + 1.8/d) * (1 - 0.0032*math.Abs(l.Twist)) * l.Often * l.Grip
}

// Index gives the lifting index of a load in kg, load / limit: above 1 the lift is a risk to some, and a lighter load, a
// second pair of hands or a cart is called for. Infinite where nothing should be lifted.
func (l Lift) Index(load float64) float64 { return load / l.Limit() }
