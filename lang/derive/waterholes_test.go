package derive

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/stdlib/quantity"
)

// spoil walks over everything that a plan says and, with the chance of one in so many, puts a hole or a
// number that cannot be in its place.
type spoil struct {
	rand   *rand.Rand
	chance int
	seen   map[any]bool
}

var oddCounts = []int64{-1, 0, 1, 7, 1 << 40}

var spoiled = []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 0, 1e-300, 1e12, 1e308}

func (s *spoil) hit() bool { return s.rand.IntN(s.chance) == 0 }

func (s *spoil) walk(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() || s.seen[v.Interface()] {
			return
		}
		s.seen[v.Interface()] = true
		s.walk(v.Elem())
	case reflect.Struct:
		for i := range v.NumField() {
			field := v.Field(i)
			if field.Kind() == reflect.Pointer && !field.IsNil() && s.hit() {
				field.SetZero()
			}
			s.walk(field)
		}
	case reflect.Slice:
		for i := range v.Len() {
			if e := v.Index(i); e.Kind() == reflect.Pointer && s.hit() {
				e.SetZero()
			}
			s.walk(v.Index(i))
		}
		if v.Len() > 0 && v.CanSet() && v.Index(0).Kind() == reflect.Struct && s.hit() {
			v.SetLen(v.Len() - 1) // months, days
		}
	case reflect.Float64:
		if s.hit() {
			v.SetFloat(spoiled[s.rand.IntN(len(spoiled))])
		}
	case reflect.Int:
		if s.hit() {
			v.SetInt(oddCounts[s.rand.IntN(len(oddCounts))])
		}
	case reflect.String:
		if s.hit() {
			v.SetString("")
		}
	case reflect.Bool:
		if s.hit() {
			v.SetBool(!v.Bool())
		}
	}
}

// Whatever a plan leaves out or gets wrong, everything is worked out and told as far as it goes: no panic, no
// number that is not one.
func TestHolesNeverPanic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawWetFarm(t)
		p := d.build(foot, 1)
		if rapid.Bool().Draw(t, "temperatures") {
			p.Site.Latitude, p.Site.Elevation = number(38), length(200)
			c := p.Site.Climate
			c.TMin, c.TMax = months(quantity.Temperature, same(283)), months(quantity.Temperature, same(297))
			c.Humidity, c.Wind = months(quantity.Ratio, same(0.7)), months(quantity.Speed, same(2))
			c.ReferenceET.Value[3].SI = nan
			for i := range p.Site.Weather.Days {
				day := &p.Site.Weather.Days[i]
				day.TMin, day.TMax, day.Humidity = 12, 26, nan
			}
		}
		seed := rapid.Uint64().Draw(t, "seed") // drawing every hit by itself would take a thousand draws
		s := spoil{rand.New(rand.NewPCG(seed, 0)), rapid.IntRange(20, 400).Draw(t, "chance"), map[any]bool{}}
		s.walk(reflect.ValueOf(&p.Farm))
		facts := Derive(&p.Farm)
		for _, q := range facts.Plantings {
			require.NotEmpty(t, Item{Planting: q}.Why())
		}
		for _, r := range facts.Rows {
			require.NotEmpty(t, Item{Row: r}.Why())
		}
		w := facts.Water
		if w == nil {
			return
		}
		finite := func(name string, numbers ...float64) {
			for _, v := range numbers {
				require.False(t, math.IsNaN(v) || v < 0, "%s is %v of %v", name, v, numbers)
			}
		}
		for _, z := range w.Zones {
			require.NotEmpty(t, Item{Zone: z}.Why())
			finite("zone's flow", z.Flow, z.EU, z.Length, z.Nominal, z.Efficiency)
			finite("zone's need", z.Need, z.Sent)
			for _, week := range z.Weeks {
				finite("zone's week", week.Need, week.Time, week.Sent, week.Dry)
			}
			if z.Plan != nil {
				finite("plan", z.Plan.Opening, z.Plan.Pulse)
			}
		}
		for _, r := range w.Rows {
			finite("row", r.Flow, r.EU, r.Cut.Length, r.LongestTape(0.9))
			r.Profile(10)
		}
		for _, n := range w.Plantings {
			for _, week := range n.Weeks {
				finite("planting's week", week.Kc, week.Net, week.Rain, week.Need, week.Dry)
			}
		}
		for _, source := range w.Sources {
			finite("source", source.Hours, source.Volume)
		}
		for _, u := range w.Uses() {
			finite("use", u.Amount.SI)
		}
	})
}
