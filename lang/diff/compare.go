package diff

import (
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// compareAll makes the changes of every pair and of the farm.
func (c *comparison) compareAll() {
	whole := reflect.TypeFor[farm.Farm]()
	if list := c.aspects(nil, c.shapeOf(whole), reflect.ValueOf(c.from.facts.Farm).Elem(), reflect.ValueOf(c.to.facts.Farm).Elem(), "", Changed, false); len(list) > 0 {
		c.farmChange().Aspects = list
		c.farm.Types = typesOf(list)
	}
	crop := c.kindOf(&farm.Crop{})
	for _, k := range c.kinds {
		for _, p := range k.pairs {
			switch {
			case p.old != nil && p.new != nil:
				if list := c.pairAspects(p); len(list) > 0 {
					c.add(p).Aspects = list
					p.change.Types = typesOf(list)
				}
			case k == crop: // what nobody plants changes nothing, and a planting says what it is of
			case p.old == nil:
				c.add(p).Types = []Type{Added}
			default:
				c.add(p).Types = []Type{Removed}
			}
		}
	}
}

// add makes the change of a pair.
func (c *comparison) add(p *pair) *Change {
	p.change = &Change{Old: c.from.public(p.old), New: c.to.public(p.new), Grounds: p.grounds}
	p.change.Plot = c.group(p)
	c.changes = append(c.changes, p.change)
	return p.change
}

// group gives the plot that a change is told under: the new farm's, the old one's where it is gone.
func (c *comparison) group(p *pair) *derive.Plot {
	if p.new != nil {
		return c.to.plot(p.new)
	}
	plot := c.from.plot(p.old)
	if plot != nil {
		if t := c.from.of[plot.Decl].pair.new; t != nil {
			return t.item.Plot
		}
	}
	return plot
}

// farmChange gives the change of the farm itself, made when it is first needed.
func (c *comparison) farmChange() *Change {
	if c.farm == nil {
		title := func(s *side) *Thing { return &Thing{Kind: "farm", Title: s.facts.Farm.Name.Value} }
		c.farm = &Change{Old: title(&c.from), New: title(&c.to)}
		c.changes = append(c.changes, c.farm)
	}
	return c.farm
}

// typesOf gives the types of some aspects, each once, in the order of Type.
func typesOf(list []Aspect) []Type {
	var types []Type
	for _, a := range list {
		types = append(types, a.Type)
	}
	slices.Sort(types)
	return slices.Compact(types)
}

func (c *comparison) pairAspects(p *pair) []Aspect {
	list := c.aspects(nil, p.old.kind.shape, reflect.ValueOf(p.old.decl).Elem(), reflect.ValueOf(p.new.decl).Elem(), "", Changed, false)
	switch {
	case p.old.item.Row != nil:
		list = c.rowFacts(list, p.old.item.Row, p.new.item.Row)
	case p.old.item.Planting != nil:
		list = c.plantingFacts(list, p.old.item.Planting, p.new.item.Planting)
	}
	return list
}

// aspects adds what differs between two values of a shape. Inside a part every change has the type of the
// field that holds the part.
func (c *comparison) aspects(list []Aspect, s *shape, a, b reflect.Value, of string, typ Type, inside bool) []Aspect {
	for i := range s.fields {
		f := &s.fields[i]
		x, y := a.Field(f.index), b.Field(f.index)
		if !inside {
			typ = f.typ
		}
		switch f.as {
		case isRef, isCrop:
			if from, to, differ := c.refs(f, x, y); differ {
				list = append(list, Aspect{typ, of + f.name, from, to})
			}
		case isRefs:
			from, to := c.from.list(x), c.to.list(y)
			if !slices.Equal(from.numbers, to.numbers) {
				list = append(list, Aspect{typ, of + f.name, strings.Join(from.titles, ", "), strings.Join(to.titles, ", ")})
			}
		case isEmbedded:
			list = c.aspects(list, f.shape, x, y, of, typ, inside)
		case isPart:
			if x.UnsafePointer() == y.UnsafePointer() {
				continue
			}
			list = c.aspects(list, f.shape, part(x), part(y), of+f.name+" ", typ, true)
		default:
			if !c.equal(x, y) {
				from, to := c.say(&c.from, x), c.say(&c.to, y)
				if from == to {
					from, to = exactly(x), exactly(y)
				}
				list = append(list, Aspect{typ, of + f.name, from, to})
			}
		}
	}
	return list
}

// part gives what a pointer points to, the empty value when it points to nothing.
func part(p reflect.Value) reflect.Value {
	if p.IsNil() {
		return reflect.New(p.Type().Elem()).Elem()
	}
	return p.Elem()
}

// refs compares what two things point to.
func (c *comparison) refs(f *field, x, y reflect.Value) (from, to string, differ bool) {
	if x.IsNil() && y.IsNil() {
		return "", "", false
	}
	title := func(s *side, v reflect.Value) string {
		if v.IsNil() {
			return ""
		}
		return s.refTitle(v.Interface())
	}
	if f.as == isCrop {
		from, to = title(&c.from, x), title(&c.to, y)
		return from, to, from != to
	}
	if !x.IsNil() && !y.IsNil() {
		if n := c.from.number(x.Interface()); n != 0 && n == c.to.number(y.Interface()) {
			return "", "", false
		}
	}
	from, to = title(&c.from, x), title(&c.to, y)
	if c.from.of[x.Interface()] == nil && c.to.of[y.Interface()] == nil && from == to {
		return "", "", false // neither farm has a fact of it
	}
	if a, b := c.from.rowOf(x), c.to.rowOf(y); a != nil && b != nil && c.from.number(a.Plot.Decl) == c.to.number(b.Plot.Decl) {
		from, to = a.Name(), b.Name()
	}
	return from, to, true
}

// named is what a list of declarations points to.
type named struct {
	numbers []int // of their pairs, sorted
	titles  []string
}

func (s *side) list(v reflect.Value) named {
	var all named
	for i := range v.Len() {
		if p := v.Index(i); !p.IsNil() {
			all.numbers = append(all.numbers, s.number(p.Interface()))
			all.titles = append(all.titles, s.refTitle(p.Interface()))
		}
	}
	slices.Sort(all.numbers)
	return all
}

// rowOf gives the row that a pointer leads to; nil for anything else.
func (s *side) rowOf(v reflect.Value) *derive.Row {
	if t := s.of[v.Interface()]; t != nil {
		return t.item.Row
	}
	return nil
}

// near tells whether two figures are the same but for the last digits that arithmetic leaves.
func near(a, b float64) bool {
	return a == b || math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) <= 1e-9*max(math.Abs(a), math.Abs(b))
}

func sameAmounts(a, b quantity.Quantity) bool { return a.Dim == b.Dim && near(a.SI, b.SI) }

// equal compares two values of a type. Whether the plan gave a value or left it to its default is no difference;
// nor are defaults that differ because something else does.
func (c *comparison) equal(x, y reflect.Value) bool {
	switch a := x.Addr().Interface().(type) {
	case *farm.Length:
		return same(a, y, sameAmounts)
	case *farm.Text:
		return same(a, y, is)
	case *farm.Number:
		return same(a, y, near)
	case *farm.Count:
		return same(a, y, is)
	case *farm.Flag:
		return same(a, y, is)
	case *farm.DateArg:
		b := y.Addr().Interface().(*farm.DateArg)
		return a.Given == b.Given && (!a.Given || c.from.day(a.Value) == c.to.day(b.Value))
	case *farm.Months:
		return same(a, y, func(a, b []quantity.Quantity) bool { return slices.EqualFunc(a, b, sameAmounts) })
	case *farm.Field[[]string]:
		return same(a, y, func(a, b []string) bool { return slices.Equal(sorted(a), sorted(b)) })
	case *farm.Field[feeding.Nutrients]:
		return same(a, y, func(a, b feeding.Nutrients) bool { return near(a.N, b.N) && near(a.P2O5, b.P2O5) && near(a.K2O, b.K2O) })
	case *farm.Field[feeding.Span]:
		return same(a, y, func(a, b feeding.Span) bool { return near(a.Low, b.Low) && near(a.High, b.High) })
	case *crops.Range:
		b := y.Addr().Interface().(*crops.Range)
		return near(a.Low, b.Low) && near(a.High, b.High)
	case *season.Weather:
		return slices.EqualFunc(*a, *y.Addr().Interface().(*season.Weather), sameWeather)
	}
	return reflect.DeepEqual(x.Interface(), y.Interface())
}

// same compares two fields, the second one still wrapped.
func same[T any](a *farm.Field[T], y reflect.Value, equal func(a, b T) bool) bool {
	b := y.Addr().Interface().(*farm.Field[T])
	return !a.Given && !b.Given || equal(a.Value, b.Value)
}

func is[T comparable](a, b T) bool { return a == b }

func sameWeather(a, b season.WeatherDay) bool {
	return a.Date == b.Date && near(a.TMin, b.TMin) && near(a.TMax, b.TMax) && near(a.Rain, b.Rain) && near(a.Humidity, b.Humidity) &&
		near(a.Wind, b.Wind) && near(a.Sunshine, b.Sunshine) && near(a.Radiation, b.Radiation)
}

func sorted(list []string) []string { return slices.Sorted(slices.Values(list)) }

// say prints a value as the farm's people would; "" when there is none.
func (c *comparison) say(s *side, v reflect.Value) string {
	units := c.units()
	switch a := v.Addr().Interface().(type) {
	case *farm.Length:
		return sayAmount(units, a.Value, a.Given)
	case *farm.Text:
		return a.Value
	case *farm.Number:
		if !a.Given && a.Value == 0 {
			return ""
		}
		return plainNumber(a.Value)
	case *farm.Count:
		if !a.Given && a.Value == 0 {
			return ""
		}
		return strconv.Itoa(a.Value)
	case *farm.Flag:
		return sayFlag(a.Value)
	case *farm.DateArg:
		if !a.Given {
			return ""
		}
		return sayDay(s, a.Value)
	case *farm.Months:
		list := make([]string, len(a.Value))
		for i, q := range a.Value {
			if list[i] = "—"; !math.IsNaN(q.SI) {
				list[i] = units.Format(q)
			}
		}
		return strings.Join(list, ", ")
	case *farm.Field[feeding.Nutrients]: // as a label says it
		if a.Value == (feeding.Nutrients{}) {
			return ""
		}
		return plainNumber(100*a.Value.N) + "-" + plainNumber(100*a.Value.P2O5) + "-" + plainNumber(100*a.Value.K2O)
	case *farm.Field[feeding.Span]:
		if a.Value == (feeding.Span{}) {
			return ""
		}
		return plainNumber(100*a.Value.Low) + " to " + plainNumber(100*a.Value.High) + " %"
	case *farm.Field[[]string]:
		return strings.Join(a.Value, ", ")
	case *crops.Range:
		return sayRange(units, a)
	case *season.Weather:
		if len(*a) == 0 {
			return ""
		}
		return counted(len(*a), "day")
	case *quantity.System:
		return a.String()
	case *bool:
		return sayFlag(*a)
	case *string:
		return *a
	case *crops.Frost:
		return a.String()
	case *season.DegreeMethod:
		return a.String()
	}
	return notRead
}

// notRead stands for a value of a type that is not said here.
const notRead = "another value"

func sayAmount(units quantity.System, q quantity.Quantity, given bool) string {
	if !given && q.SI == 0 || math.IsNaN(q.SI) {
		return ""
	}
	return units.Format(q)
}

func sayFlag(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

func sayDay(s *side, d season.Date) string { return d.Long(s.facts.Farm.Year.Value) }

func sayRange(units quantity.System, r *crops.Range) string {
	if !r.Known() {
		return ""
	}
	low, high := units.Format(quantity.Of(r.Low, r.Dim)), units.Format(quantity.Of(r.High, r.Dim))
	if r.Dim == quantity.Ratio {
		low, high = plainNumber(r.Low), plainNumber(r.High)
	}
	if low == high {
		return low
	}
	return low + " to " + high
}

// plainNumber prints a number with no more than four decimals.
func plainNumber(x float64) string { return strconv.FormatFloat(math.Round(x*1e4)/1e4, 'f', -1, 64) }

// exactly prints what differs by less than is usually printed.
func exactly(v reflect.Value) string {
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	switch a := v.Addr().Interface().(type) {
	case *farm.Length:
		return number(a.Value.SI) + " in SI units"
	case *farm.Number:
		return number(a.Value)
	case *crops.Range:
		return number(a.Low) + " to " + number(a.High) + " in SI units"
	}
	return notRead
}

// rowFacts adds where a row begins and how long it is, which its plot may say.
func (c *comparison) rowFacts(list []Aspect, a, b *derive.Row) []Aspect {
	list = c.length(list, Moved, "head", a.Start, b.Start)
	return c.length(list, Resized, "length", a.Length, b.Length)
}

// plantingFacts adds place, number and days, whichever way the plan says them.
func (c *comparison) plantingFacts(list []Aspect, a, b *derive.Planting) []Aspect {
	if a.Plants != b.Plants {
		list = append(list, Aspect{Resized, "plants", strconv.Itoa(a.Plants), strconv.Itoa(b.Plants)})
	}
	list = c.length(list, Resized, "spacing", a.Spacing, b.Spacing)
	if a.Placed() && b.Placed() {
		list = c.length(list, Moved, "first plant", a.First, b.First)
	}
	for _, d := range [...]struct {
		name     string
		from, to season.Date
	}{
		{"sowing", a.Sow, b.Sow}, {"planting", a.Plant, b.Plant}, {"first harvest", a.FirstHarvest, b.FirstHarvest},
		{"last harvest", a.LastHarvest, b.LastHarvest}, {"clearing", a.Clear, b.Clear},
	} {
		if c.from.day(d.from) != c.to.day(d.to) && !(d.name == "sowing" && a.Sow == a.Plant && b.Sow == b.Plant) {
			list = append(list, Aspect{Rescheduled, d.name, sayDay(&c.from, d.from), sayDay(&c.to, d.to)})
		}
	}
	return list
}

// length adds a length that differs by more than arithmetic leaves.
func (c *comparison) length(list []Aspect, typ Type, name string, a, b float64) []Aspect {
	if math.Abs(a-b) <= 1e-6 {
		return list
	}
	say := func(x float64) string { return c.units().Format(quantity.Meters(x)) }
	from, to := say(a), say(b)
	if from == to {
		from, to = plainNumber(a*1e3)+" mm", plainNumber(b*1e3)+" mm"
	}
	return append(list, Aspect{typ, name, from, to})
}
