package diff

import (
	"reflect"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/feeding"
)

// shape is how the things of a type are compared: field by field, by the type of each. It is read off the Go
// type once in a comparison, so that a field that is new in farm is compared from its first day.
type shape struct {
	fields []field
	name   int // index of the field that holds the thing's name; -1 when it has none
	day    int // of the first field that holds a day; -1 when it has none
}

type field struct {
	index int
	name  string // "inside diameter"
	typ   Type   // of a change of it
	as    fieldKind
	shape *shape // of what isPart and isEmbedded hold
}

type fieldKind uint8

const (
	isValue    fieldKind = iota // anything that says() can read
	isRef                       // points to a thing
	isRefs                      // a list of them
	isCrop                      // points to a crop, which is what its title says
	isPart                      // points to something that is told of as a part
	isEmbedded                  // holds it
)

// shapeOf reads the shape off a type of farm or crops.
func (c *comparison) shapeOf(t reflect.Type) *shape {
	if s := c.shapes[t]; s != nil {
		return s
	}
	s := &shape{name: -1, day: -1}
	c.shapes[t] = s
	for i := range t.NumField() {
		f := t.Field(i)
		if passedOver(t, f) {
			continue
		}
		d := field{index: i, name: words(f.Name), typ: typeOf(t.Name(), f.Name)}
		switch {
		case f.Type.Kind() == reflect.Pointer && f.Type == reflect.TypeFor[*farm.Crop]():
			d.as = isCrop
		case f.Type.Kind() == reflect.Pointer && c.byType[f.Type.Elem()] != nil:
			d.as = isRef
		case f.Type.Kind() == reflect.Slice && f.Type.Elem().Kind() == reflect.Pointer:
			d.as = isRefs
		case f.Type.Kind() == reflect.Pointer:
			d.as, d.shape = isPart, c.shapeOf(f.Type.Elem())
		case f.Anonymous:
			d.as, d.shape = isEmbedded, c.shapeOf(f.Type)
		}
		if f.Name == "Name" && f.Type == reflect.TypeFor[farm.Text]() {
			s.name = i
		}
		if s.day < 0 && f.Type == reflect.TypeFor[farm.DateArg]() {
			s.day = i
		}
		s.fields = append(s.fields, d)
	}
	return s
}

// passedOver are fields that are no business of a comparison: where the text stands, what is counted from the
// text's order, who says a figure, and what the facts tell better (see factsOf).
func passedOver(t reflect.Type, f reflect.StructField) bool {
	switch f.Type {
	case reflect.TypeFor[farm.Decl](), reflect.TypeFor[source.Span](), reflect.TypeFor[crops.Stated](),
		reflect.TypeFor[[]crops.Stated](), reflect.TypeFor[[]crops.Emergence](), reflect.TypeFor[feeding.Source]():
		return true
	}
	switch t {
	case reflect.TypeFor[farm.Farm]():
		return f.Type.Kind() == reflect.Slice
	case reflect.TypeFor[farm.Previous]():
		return f.Name != "Path" // what that farm says shows in this one's findings
	case reflect.TypeFor[farm.History]():
		return f.Name == "Names"
	case reflect.TypeFor[farm.Row]():
		return f.Name == "Start" || f.Name == "Length" || f.Name == "Number" || f.Name == "Trellis" // which says so itself
	case reflect.TypeFor[farm.Planting]():
		switch f.Name {
		case "Count", "Length", "Fill", "Spacing", "Start", "On", "SownOn", "Maturity", "Harvest", "Until":
			return true
		}
	}
	return false
}

// typeOf gives the type of a change of a field.
func typeOf(typ, name string) Type {
	if name == "Name" {
		return Renamed
	}
	switch typ {
	case "Trellis":
		return Resupported
	case "Protect", "Protectant":
		return Reprotected
	case "Product", "Measure", "Feed", "Need", "Credit":
		return Refed
	}
	switch typ + "." + name {
	case "Plot.Length", "Plot.Width", "Plot.Headland", "Row.Lines", "Row.LineSpacing", "Row.BedWidth", "Row.Staggered":
		return Resized
	case "Plot.Bearing", "Plot.East", "Plot.North", "Row.Plot", "Row.At", "Planting.Row":
		return Moved
	case "Row.Zone", "Row.Tapes":
		return Rezoned
	case "Planting.Crop":
		return Replaced
	case "Planting.Direct", "Task.On", "Task.Until", "Task.Every", "Want.On", "Want.Until":
		return Rescheduled
	}
	return Changed
}
