package derive

import (
	"cmp"
	"slices"
	"strings"
)

// Occasion is what is done on a day, at all the places where the same is done.
type Occasion struct {
	Event         // of the first of them; Count is that of all, Where is not to be used
	Places []Item // in the order in which the subjects give them; empty for the whole farm
}

// Calendar gives all dated events of the plan in order of days, then by what is done and to what. The same work on
// the same thing on the same days is one occasion.
func (facts *Facts) Calendar() []*Occasion {
	facts.calendar.once.Do(func() {
		list := newCalendar(facts.Events())
		facts.calendar.of = &list
	})
	return *facts.calendar.of
}

func newCalendar(events []Event) []*Occasion {
	type key struct {
		on, until      int32
		do, what, note string
	}
	byKey := map[key]*Occasion{}
	var list []*Occasion
	for _, e := range events {
		if !e.On.IsSet() {
			continue
		}
		k := key{int32(e.On), int32(e.Until), e.Do, e.What, e.Note}
		o := byKey[k]
		if o == nil {
			o = &Occasion{Event: e}
			o.Count, o.Where = 0, Item{}
			byKey[k] = o
			list = append(list, o)
		}
		o.Count += e.Count
		if e.Where != (Item{}) && !slices.Contains(o.Places, e.Where) {
			o.Places = append(o.Places, e.Where)
		}
	}
	slices.SortStableFunc(list, func(a, b *Occasion) int {
		return cmp.Or(cmp.Compare(a.On, b.On), strings.Compare(a.Do, b.Do), strings.Compare(a.What, b.What))
	})
	return list
}

// Counted says how many of what: "34 plants"; "" where nothing is counted.
func (e *Event) Counted() string {
	if e.Count <= 0 {
		return ""
	}
	one, several, _ := strings.Cut(e.Of, "|")
	return countOf(e.Count, one, several)
}
