package support

import "math"

// Tube is a round rail, hollow or not. Lengths are m.
type Tube struct {
	Outer float64 // diameter
	Wall  float64 // thickness; half of Outer or more for a solid rod
}

// gravity is the standard acceleration of free fall, m/s2.
const gravity = 9.80665

// modulus is the section modulus π (D⁴ − d⁴) / 32 D, m3.
func (t Tube) modulus() float64 {
	inner := math.Max(0, t.Outer-2*t.Wall)
	return math.Pi * (math.Pow(t.Outer, 4) - math.Pow(inner, 4)) / (32 * t.Outer)
}

// Carries gives the mass in kg, spread evenly over a span in m, under which a rail that lies loose on two posts is
// bent to a stress in Pa: 8 S σ / (g L), from the greatest moment M = W L / 8 = S σ. With the stress at which the metal
// yields it is the load that bends the rail for good: a caution and no design, for joints, wind and posts that give way
// are not in it. Source: the plain theory of elastic beams (any handbook of mechanics).
func (t Tube) Carries(span, stress float64) float64 {
	return 8 * t.modulus() * stress / (gravity * span)
}
