package support

import "math"

// Tube is a round rail, hollow or not. Lengths are m.
type Tube struct {
	Outer float64 // diameter
	Wall  float64 // thickness; half of Outer or more for a solid rod
}

// gravity is the standard acceleration of free fall, m/s2.
const gravity = 9.80665

// inertia is the second moment of area, π (D⁴ − d⁴) / 64, m4.
func (t Tube) inertia() float64 {
	inner := math.Max(0, t.Outer-2*t.Wall)
	return math.Pi * (math.Pow(t.Outer, 4) - math.Pow(inner, 4)) / 64
}

// Stress gives the greatest bending stress in Pa of a rail that lies loose on two posts, under a mass in kg spread
// evenly over the span between them in m: M / S, with the moment M = W L / 8 and the section modulus S = 2 I / D.
// It is a caution and no design: joints, wind, old conduit and posts that give way are not in it. Plain theory of
// elastic beams (any handbook of mechanics); NaN for a tube without a diameter.
func (t Tube) Stress(mass, span float64) float64 {
	return mass * gravity * span / 8 * t.Outer / 2 / t.inertia()
}

// Sag gives how far the rail of Stress hangs down in its middle, m, for a modulus of elasticity in Pa (steel
// 200 GPa): 5 W L³ / (384 E I).
func (t Tube) Sag(mass, span, elasticity float64) float64 {
	return 5 * mass * gravity * math.Pow(span, 3) / (384 * elasticity * t.inertia())
}
