package derive

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
	"haulm/stdlib/support"
)

// Support is what holds plants up.
type Support struct {
	Trellises []*Trellis // by the place of their rows in Facts.Rows

	units quantity.System
	year  int
}

// Trellis is one trellis with what it takes. Lengths are m, loads kg.
type Trellis struct {
	Decl    *farm.Trellis
	Rows    []*Row      // one, or two that share its posts
	Held    []*Planting // that it holds up: not those that stay low beside the tallest
	Main    *Planting   // the tallest of them; nil when there is none
	Unknown string      // why nothing below is known; "" when it is

	Height float64 // of the top line, rail or rim
	Length float64 // of the stretch that it stands along, the longer one of two rows
	Plants int     // in all its rows
	Posts  int     // for all its rows together
	Apart  float64 // from post to post, about
	Post   float64 // length of a post, with what stands in the ground
	Depth  float64 // of that, in the ground

	Levels  []StringLevel // strings of a stake and weave
	Passes  []StringLevel // rounds of clipping stems to the strings of a drop line
	Twine   float64       // of a stake and weave, in all
	Lines   int           // strings that hang from a rail, one for each stem
	Line    float64       // length of one
	Clips   int           // in all
	Rail    []float64     // pieces of all rails
	Joints  int           // in them
	Corners int           // of rails that close in a loop
	Cages   int
	Mesh    float64 // length of mesh in one cage
	Net     float64 // length of net in all

	Set   season.Date // the posts are set; None when not known
	Reach season.Date // plants are as high as the first string needs; None when not known
	Load  [2]float64  // on each span of a rail or line, the least and the most; 0 when not known

	units quantity.System
}

// StringLevel is one string of a stake and weave, or one pass of clips.
type StringLevel struct {
	Height float64
	On     season.Date // plants reach it; None when not known
}

// Figures that no source in the table of stdlib/support gives (common practice).
const (
	setOutHeight = 0.1524 // 6 in, of a transplant on planting day
	stillDays    = 7      // that it stands still in
	sproutDays   = 10     // from sowing in the row until growth is to be seen
	setWithin    = 14     // days from planting to setting posts where the plan does not say
	grownDays    = 60     // from planting to full height where the first harvest is not known
	lowShare     = 0.5    // of the tallest crop's height, below which a planting is not held up
)

// Support gives what holds plants up, worked out when first asked for.
func (facts *Facts) Support() *Support {
	facts.support.once.Do(func() { facts.support.of = newSupport(facts) })
	return facts.support.of
}

func newSupport(facts *Facts) *Support {
	s := &Support{units: facts.Farm.Units, year: facts.Farm.Year.Value}
	if len(facts.Farm.Trellises) == 0 {
		return s
	}
	byDecl := map[*farm.Trellis]*Trellis{}
	for _, r := range facts.Rows {
		d := r.Decl.Trellis
		if d == nil {
			continue
		}
		t := byDecl[d]
		if t == nil {
			t = &Trellis{Decl: d, Set: season.None, Reach: season.None, units: s.units}
			byDecl[d] = t
			s.Trellises = append(s.Trellises, t)
		}
		t.Rows = append(t.Rows, r)
	}
	for _, t := range s.Trellises {
		t.workOut()
	}
	return s
}

// Of gives the trellis of a row, nil when it has none.
func (s *Support) Of(r *Row) *Trellis {
	i := slices.IndexFunc(s.Trellises, func(t *Trellis) bool { return t.Decl == r.Decl.Trellis })
	if i < 0 {
		return nil
	}
	return s.Trellises[i]
}

func (t *Trellis) workOut() {
	t.hold()
	if t.Main == nil {
		t.Unknown = "nothing that it could hold up stands in its row"
		return
	}
	if h, ok := meters(&t.Decl.Height); ok {
		t.Height = h
	} else {
		t.Height = soldLength(t.tallest(), t.units)
	}
	if t.Height <= 0 {
		t.Unknown = "neither the plan gives its height nor the crop table that of " + t.Main.Decl.Crop.Name
		return
	}
	t.days()
	t.posts()
	switch t.Decl.Style.Value {
	case "stake and weave":
		t.levels(t.own(&t.Decl.First, "first string"), t.own(&t.Decl.Interval, "string interval"))
		wrap := t.usual("wrap")
		for _, r := range t.Rows {
			length, along, _ := t.along(r)
			stakes := t.stakes(length, along) * len(r.Lines)
			t.Twine += support.Twine(len(t.Levels), length*float64(len(r.Lines)), stakes, wrap)
		}
	case "drop line":
		t.hang()
	case "cage":
		t.Cages, t.Mesh = t.Plants, t.own(&t.Decl.Mesh, "mesh length")
	case "net":
		for _, r := range t.Rows {
			length, _, _ := t.along(r)
			t.Net += length * float64(len(r.Lines))
		}
	}
}

// hold finds what the trellis holds up.
func (t *Trellis) hold() {
	tall := 0.0
	for _, r := range t.Rows {
		for _, p := range r.Plantings {
			if !p.Placed() {
				continue
			}
			if h := p.Decl.Crop.Height.Mid(); t.Main == nil || h > tall {
				t.Main, tall = p, h
			}
		}
	}
	for _, r := range t.Rows {
		for _, p := range r.Plantings {
			if h := &p.Decl.Crop.Height; p.Placed() && (!h.Known() || h.Mid() >= lowShare*tall) {
				t.Held = append(t.Held, p)
			}
		}
		_, _, plants := t.along(r)
		t.Plants += plants
		length, _, _ := t.along(r)
		t.Length = max(t.Length, length)
	}
}

// tallest is the height of the tallest crop, 0 when not known.
func (t *Trellis) tallest() float64 {
	if h := &t.Main.Decl.Crop.Height; h.Known() {
		return h.Mid()
	}
	return 0
}

// grown is how high the plants get: the crop's height, or the trellis's where the plan builds that higher, for what is
// led up a trellis grows higher than what lies on the ground.
func (t *Trellis) grown() float64 {
	h, _ := meters(&t.Decl.Height)
	return max(t.tallest(), h)
}

// along gives the stretch of a row that what is held owns, the plants along one line of it, and all its plants. What
// follows another in the same place is not counted again.
func (t *Trellis) along(r *Row) (length float64, inLine, plants int) {
	var held []*Planting
	for _, p := range t.Held {
		if p.Row == r {
			held = append(held, p)
		}
	}
	slices.SortStableFunc(held, func(a, b *Planting) int { return cmp.Compare(a.Owns.From, b.Owns.From) })
	end := math.Inf(-1)
	for _, p := range held {
		from, to := max(p.Owns.From, 0), min(p.Owns.To, r.Length)
		if from < end-p.Spacing/4 {
			continue
		}
		length += max(0, to-from)
		inLine, plants, end = inLine+p.PerLine, plants+p.Plants, to
	}
	return length, inLine, plants
}

// own gives a length of the plan, or what is usual for the style; 0 for neither.
func (t *Trellis) own(l *farm.Length, item string) float64 {
	if v, ok := meters(l); ok {
		return v
	}
	return t.usual(item)
}

// usual is the length that is usual for the style, on a farm that thinks in meters to the nearest 5 cm, or from a meter
// on to the nearest quarter of it: its sources think in inches and feet.
func (t *Trellis) usual(item string) float64 {
	v, _ := support.Usual(t.Decl.Style.Value, item)
	switch {
	case t.units != quantity.Metric:
		return v.Low
	case v.Low < 1:
		return math.Round(v.Low/0.05) * 0.05
	}
	return math.Round(v.Low/0.25) * 0.25
}

// ends is the string that it takes to tie one.
func (t *Trellis) ends() float64 {
	if t.units == quantity.Metric {
		return 0.3
	}
	return 0.3048
}

// growth is how the main planting grows up: evenly to its grown height by its first harvest, and on at that
// rate to the greatest height of the crop, or for as long as there is string to lower it by.
func (t *Trellis) growth() support.Growth {
	p := t.Main
	g := support.Growth{First: setOutHeight, Still: stillDays, Grown: grownDays, Full: t.grown()}
	if p.direct() {
		g.First, g.Still = 0, sproutDays
	}
	if g.Full <= g.First { // lower than a transplant: nothing to reckon with
		g.Full = g.First + t.ends()
	}
	if p.FirstHarvest.IsSet() && p.Plant.IsSet() {
		if days := float64(p.FirstHarvest.DaysSince(p.Plant)); days > g.Still+7 {
			g.Grown = days
		}
	}
	full := max(g.Full, p.Decl.Crop.Height.High)
	if reserve, ok := meters(&t.Decl.Reserve); ok && reserve > 0 {
		full = max(full, t.Height+reserve)
	}
	g.Grown = g.Still + (g.Grown-g.Still)*(full-g.First)/(g.Full-g.First)
	g.Full = full
	return g
}

// reaches gives the day on which plants are that high, or grown; None when they never are or no day is known.
func (t *Trellis) reaches(height float64) season.Date {
	g := t.growth()
	day, ok := g.Day(height)
	if !ok || !t.Main.Plant.IsSet() {
		return season.None
	}
	return t.Main.Plant.Add(day)
}

// days sets when posts are set, and when they must be.
func (t *Trellis) days() {
	t.Reach = t.reaches(t.usual("plant height"))
	t.Set = t.Decl.On.Value
	if !t.Decl.On.Given {
		t.Set = sooner(later(t.Main.Plant, setWithin), t.Reach)
	}
}

// posts counts posts and finds their length.
func (t *Trellis) posts() {
	t.Depth = t.own(&t.Decl.Depth, "post depth")
	if v, ok := meters(&t.Decl.Post); ok {
		t.Post = v
	} else {
		t.Post = soldLength(t.Height+t.Depth, t.units)
	}
	switch t.Decl.Style.Value {
	case "cage":
		t.Posts = t.Plants
		if t.Main.Spacing > 0 {
			t.Apart = t.Main.Spacing
		}
		return
	case "drop line", "net":
		t.Apart = t.own(&t.Decl.Posts, "post spacing")
		t.Posts = support.Posts(t.Length, t.Apart)
		return
	}
	for i, r := range t.Rows {
		length, along, _ := t.along(r)
		n := t.stakes(length, along)
		if n > 1 && t.Apart == 0 {
			t.Apart = length / float64(n-1)
		}
		if i == 0 || n*len(r.Lines) > t.Posts {
			t.Posts = n * len(r.Lines)
		}
	}
}

// stakes counts those of one line.
func (t *Trellis) stakes(length float64, plants int) int {
	if v, ok := meters(&t.Decl.Posts); ok {
		return support.Posts(length, v)
	}
	return support.Stakes(plants, t.between())
}

// between is how many plants stand between two stakes.
func (t *Trellis) between() int {
	if t.Decl.Between.Given {
		return t.Decl.Between.Value
	}
	v, _ := support.Usual(t.Decl.Style.Value, "plants between stakes")
	return max(1, int(v.Low))
}

// soldLength rounds a length up to one that posts are sold in: whole feet, or quarters of a meter.
func soldLength(v float64, units quantity.System) float64 {
	step := 0.3048
	if units == quantity.Metric {
		step = 0.25
	}
	return math.Ceil(v/step-1e-6) * step
}
