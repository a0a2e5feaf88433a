package derive

import "haulm/stdlib/support"

// ConduitCarries gives the load in kg, evenly spread over the span between two posts, under which a rail of the
// thinnest conduit in use, 3/4 in, bends for good; a caution, not a design. 0 where no rail hangs between posts.
func (t *Trellis) ConduitCarries() float64 {
	span := min(t.Apart, t.Length)
	if len(t.Rail) == 0 || !(span > 0) {
		return 0
	}
	usual := func(item string) float64 {
		v, _ := support.Usual("drop line", item)
		return v.Low
	}
	conduit := support.Tube{Outer: usual("conduit diameter"), Wall: usual("conduit wall")}
	return conduit.Carries(span, usual("conduit yield"))
}
