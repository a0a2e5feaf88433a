package diff

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/farm"
	"haulm/stdlib/feeding"
)

// matchOthers pairs everything that is no plot, row or planting, each kind after those it points to.
func (c *comparison) matchOthers() {
	done := map[*kind]bool{}
	for _, k := range c.kinds {
		done[k] = k.placed
	}
	for {
		next := c.next(done)
		if next == nil {
			return
		}
		c.matchOther(next)
		done[next] = true
	}
}

// next gives a kind that is not yet paired, first those that point only to what is.
func (c *comparison) next(done map[*kind]bool) *kind {
	var first *kind
	for _, k := range c.kinds {
		if done[k] {
			continue
		}
		if first == nil {
			first = k
		}
		ready := true
		for i := range k.shape.fields {
			t := k.elem.Field(k.shape.fields[i].index).Type
			switch k.shape.fields[i].as {
			case isRefs:
				t = t.Elem()
			case isRef:
			default:
				continue
			}
			of := c.byType[t.Elem()]
			ready = ready && (of == nil || done[of] || of == k)
		}
		if ready {
			return k
		}
	}
	return first
}

func (c *comparison) matchOther(k *kind) {
	named := func(t *thing) bool { return t.name() != "" }
	by := func(wants func(*thing) bool, name, of, day, rest bool) func(*side, *thing) (key, bool) {
		return func(s *side, t *thing) (key, bool) {
			var x key
			if !wants(t) {
				return x, false
			}
			if name {
				x.a = t.name()
			}
			if of {
				x.b = s.belongs(t)
			}
			if day && k.shape.day >= 0 {
				x.x = s.day(reflect.ValueOf(t.decl).Elem().Field(k.shape.day).Addr().Interface().(*farm.DateArg).Value)
			}
			if rest {
				x.b += "\n" + s.content(t)
			}
			return x, true
		}
	}
	unnamed := func(t *thing) bool { return t.name() == "" }
	if k == c.kindOf(&farm.Crop{}) {
		c.match(k, rule{key: func(_ *side, t *thing) (key, bool) { return key{a: t.decl.(*farm.Crop).Title()}, true }})
		c.close(k)
		return
	}
	rules := []rule{
		{key: by(named, true, true, true, true)},
		{key: by(named, true, true, true, false)},
		{key: by(named, true, true, false, false)},
		{key: by(named, true, false, false, false)},
		{key: by(unnamed, false, true, true, true)},
		{key: by(unnamed, false, true, true, false)},
		{key: by(unnamed, false, true, false, false)},
		{key: by(named, false, true, true, true), grounds: because("the same in all else")},
	}
	if k == c.kindOf(&farm.Zone{}) {
		rules = append(rules, rule{key: func(s *side, t *thing) (key, bool) {
			x := key{a: s.watered(t.decl.(*farm.Zone))}
			return x, x.a != ""
		}, grounds: because("the same rows")})
	}
	c.match(k, rules...)
	c.close(k)
}

// belongs says what a thing points to.
func (s *side) belongs(t *thing) string {
	var b strings.Builder
	for _, ref := range t.refs() {
		if crop, ok := ref.(*farm.Crop); ok {
			b.WriteString(crop.Title())
		} else {
			b.WriteString(strconv.Itoa(s.number(ref)))
		}
		b.WriteByte(' ')
	}
	return b.String()
}

// content says all that a thing holds but its name and what it points to.
func (s *side) content(t *thing) string {
	var b strings.Builder
	s.writeContent(&b, t.kind.shape, reflect.ValueOf(t.decl).Elem())
	return b.String()
}

func (s *side) writeContent(b *strings.Builder, of *shape, v reflect.Value) {
	for i := range of.fields {
		f := &of.fields[i]
		x := v.Field(f.index)
		switch f.as {
		case isRef, isRefs, isCrop:
		case isEmbedded:
			s.writeContent(b, f.shape, x)
		case isPart:
			if !x.IsNil() {
				s.writeContent(b, f.shape, x.Elem())
			}
		default:
			if f.index != of.name {
				s.writeValue(b, x)
			}
		}
		b.WriteByte('|')
	}
}

func (s *side) writeValue(b *strings.Builder, v reflect.Value) {
	number := func(x float64) { b.WriteString(strconv.FormatFloat(x, 'g', 9, 64)) }
	switch a := v.Addr().Interface().(type) {
	case *farm.Length:
		number(a.Value.SI)
	case *farm.Number:
		number(a.Value)
	case *farm.Text:
		b.WriteString(a.Value)
	case *farm.Count:
		b.WriteString(strconv.Itoa(a.Value))
	case *farm.Flag:
		b.WriteString(sayFlag(a.Value))
	case *farm.DateArg:
		b.WriteString(strconv.FormatInt(s.day(a.Value), 36))
	case *farm.Field[feeding.Nutrients]:
		number(a.Value.N)
		number(a.Value.P2O5)
		number(a.Value.K2O)
	case *farm.Months:
		for _, q := range a.Value {
			number(q.SI)
			b.WriteByte(' ')
		}
	}
}

// watered lists the rows of a zone.
func (s *side) watered(z *farm.Zone) string {
	var rows []string
	for _, r := range s.facts.Rows {
		if r.Decl.Zone == z {
			rows = append(rows, strconv.Itoa(s.number(r.Decl)))
		}
	}
	slices.Sort(rows)
	return strings.Join(rows, " ")
}
