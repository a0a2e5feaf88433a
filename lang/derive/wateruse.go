package derive

import (
	"fmt"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/water"
)

// cropUse is what is known of a crop's use of water, under whatever name FAO-56 has for it.
type cropUse struct {
	unknown       string
	use           water.Use
	from          *crops.Crop // that has the coefficients: the crop itself, or the one that stands for it
	ini, mid, end float64
	roots         float64 // 0 when not known
	depletion     float64 // 0 when not known
}

// users remembers the crops that were looked up.
type users map[*farm.Crop]*cropUse

func (u users) of(c *farm.Crop) *cropUse {
	use := u[c]
	if use == nil {
		use = newCropUse(c)
		u[c] = use
	}
	return use
}

func newCropUse(c *farm.Crop) *cropUse {
	u := &cropUse{from: &c.Crop}
	use, ok := water.UseOf(c.Name)
	if !ok {
		u.unknown = fmt.Sprintf("neither FAO-56 nor common practice has crop coefficients for %s", c.Name)
		return u
	}
	u.use = use
	like := u.from
	if use.Like != "" {
		if other, ok := crops.Named(use.Like); ok {
			like = other
		}
	}
	if !hasKc(u.from) {
		u.from = like
	}
	if !hasKc(u.from) {
		u.unknown = fmt.Sprintf("the crop table has no crop coefficients for %s", c.Name)
		return u
	}
	u.ini, u.mid, u.end = u.from.KcIni.Mid(), u.from.KcMid.Mid(), u.from.KcEnd.Mid()
	u.roots = either(&c.RootDepth, &like.RootDepth).Low
	u.depletion = either(&c.Depletion, &like.Depletion).Mid()
	return u
}

func hasKc(c *crops.Crop) bool { return c.KcIni.Known() && c.KcMid.Known() && c.KcEnd.Known() }

// either is the crop's own value, else that of the crop that stands for it.
func either(own, like *crops.Range) *crops.Range {
	if own.Known() {
		return own
	}
	return like
}

// tall is the height in m from which a crop counts as held up: its coefficient is then that of the tall crop
// (FAO-56 Table 12 note 2 speaks of 1.5 to 2 m).
const tall = 1.5

// curve fits the coefficients to a planting: its stages to the days it stands, its height to the trellis.
func (u *cropUse) curve(days float64, trellis *farm.Trellis) (c water.Curve, height float64, err error) {
	mid, height := u.mid, u.use.Height.Mid()
	if trellis != nil {
		if up, ok := meters(&trellis.Height); ok && up >= tall {
			mid, height = max(mid, u.use.KcMidTall), max(height, up)
		}
	}
	stages, err := u.use.Stages.Fit(days)
	return water.Curve{Stages: stages, Initial: u.ini, Mid: mid, End: u.end}, height, err
}
