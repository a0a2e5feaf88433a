package derive

import (
	"fmt"
	"strconv"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/support"
)

// Why gives the reckonings of a trellis: its posts, what hangs on them, and its days.
func (t *Trellis) Why(units quantity.System) []Reckoning {
	if t.Unknown != "" {
		return []Reckoning{{Title: "Trellis", Result: "not known: " + t.Unknown, Source: commonPractice}}
	}
	w := whyTrellis{t, units}
	out := []Reckoning{w.posts(), w.length()}
	switch {
	case len(t.Levels) > 0:
		out = append(out, w.strings(), w.twine())
	case t.Lines > 0:
		out = append(out, w.lines(), w.rail(), w.load(), w.conduit())
	case t.Cages > 0:
		out = append(out, Reckoning{
			Title: "Cages", Equation: "one for each plant, rolled from mesh: diameter = length / π",
			Inputs: []Input{{Name: "plants", Value: strconv.Itoa(t.Plants), Source: "see Plants"}, w.own("mesh length", &t.Decl.Mesh)},
			Result: fmt.Sprintf("%d, %s across", t.Cages, w.short(support.CageDiameter(t.Mesh))), Source: w.source("mesh length"),
		})
	case t.Net > 0:
		out = append(out, Reckoning{
			Title: "Net", Equation: "length of row that the plants own, for each line", Result: w.long(t.Net), Source: commonPractice,
		})
	}
	return append(out, w.set())
}

// whyTrellis words the reckonings of one trellis.
type whyTrellis struct {
	*Trellis
	units quantity.System
}

func (w whyTrellis) short(v float64) string { return w.units.Short(quantity.Meters(v)) }
func (w whyTrellis) long(v float64) string  { return w.units.Format(quantity.Meters(v)) }

// own is a length that the plan gives, or the usual one with its source.
func (w whyTrellis) own(item string, l *farm.Length) Input {
	if v, ok := meters(l); ok {
		return Input{Name: item, Value: w.short(v), Source: thisPlan, Span: l.Span}
	}
	return Input{Name: item, Value: w.short(w.usual(item)), Source: w.source(item)}
}

// source says who gives what is usual.
func (w whyTrellis) source(item string) string {
	v, ok := support.Usual(w.Decl.Style.Value, item)
	switch {
	case !ok:
		return commonPractice
	case v.Grade == "M" || v.Grade == "X":
		return v.Source
	}
	return fmt.Sprintf("%s (grade %s)", v.Source, v.Grade)
}

func (w whyTrellis) posts() Reckoning {
	r := Reckoning{Title: "Posts", Result: strconv.Itoa(w.Posts), Source: commonPractice}
	length := Input{Name: "length", Value: w.long(w.Length), Source: "from the first plant's ground to the last one's"}
	plants := Input{Name: "plants", Value: strconv.Itoa(w.Plants), Source: "see Plants"}
	switch style := w.Decl.Style.Value; {
	case style == "cage":
		r.Equation, r.Inputs = "one stake for each cage", []Input{plants}
	case style == "stake and weave" && !w.Decl.Posts.Given:
		r.Equation = "plants of the line / plants between stakes, rounded up, + 1, for each line"
		between := Input{Name: "plants between stakes", Value: strconv.Itoa(w.between()), Source: w.source("plants between stakes")}
		if w.Decl.Between.Given {
			between.Source, between.Span = thisPlan, w.Decl.Between.Span
		}
		r.Inputs = []Input{plants, between}
	default:
		r.Equation, r.Inputs = "length / post spacing, rounded up, + 1", []Input{length, w.own("post spacing", &w.Decl.Posts)}
	}
	if len(w.Rows) > 1 {
		r.Equation += "; both rows hang on them"
	}
	return r
}

func (w whyTrellis) length() Reckoning {
	r := Reckoning{
		Title: "Length of a post", Equation: "height + what stands in the ground, rounded up to a length that is sold",
		Inputs: []Input{w.height(), w.own("post depth", &w.Decl.Depth)}, Result: w.long(w.Post), Source: commonPractice,
	}
	if w.Decl.Post.Given {
		r.Equation, r.Source = "as the plan gives it", thisPlan
		r.Inputs = []Input{{Name: "post_length", Value: w.long(w.Post), Source: thisPlan, Span: w.Decl.Post.Span}}
	}
	return r
}

func (w whyTrellis) height() Input {
	if w.Decl.Height.Given {
		return Input{Name: "height", Value: w.long(w.Height), Source: thisPlan, Span: w.Decl.Height.Span}
	}
	return Input{Name: "height", Value: w.long(w.Height), Source: "grown height of " + w.Main.Decl.Crop.Title()}
}

func (w whyTrellis) strings() Reckoning {
	return Reckoning{
		Title: "Strings", Equation: "(height - first string) / string interval, whole part, + 1; none that the plants would need only after they are cleared",
		Inputs: []Input{w.height(), w.own("first string", &w.Decl.First), w.own("string interval", &w.Decl.Interval)},
		Result: fmt.Sprintf("%d, the first about %s", len(w.Levels), w.Main.day(w.Levels[0].On)), Source: commonPractice,
	}
}

func (w whyTrellis) twine() Reckoning {
	return Reckoning{
		Title: "Twine", Equation: "strings × 2 faces × (length + stakes × wrap)",
		Inputs: []Input{
			{Name: "strings", Value: strconv.Itoa(len(w.Levels)), Source: "see Strings"},
			{Name: "length", Value: w.long(w.Length), Source: "from the first plant's ground to the last one's"},
			{Name: "stakes", Value: strconv.Itoa(w.Posts), Source: "see Posts"},
			{Name: "wrap", Value: w.short(w.usual("wrap")), Source: w.source("wrap")},
		},
		Result: w.long(w.Twine), Source: "arithmetic",
	}
}

func (w whyTrellis) lines() Reckoning {
	stems := 1
	if w.Decl.Stems.Given {
		stems = w.Decl.Stems.Value
	}
	reserve, _ := meters(&w.Decl.Reserve)
	return Reckoning{
		Title: "Strings", Equation: "plants × stems, each height + reserve + ends to tie; a clip to each for every round of clipping",
		Inputs: []Input{
			{Name: "plants", Value: strconv.Itoa(w.Plants), Source: "see Plants"},
			{Name: "stems", Value: strconv.Itoa(stems), Source: origin(w.Decl.Stems.Given), Span: where(w.Decl.Stems)},
			w.height(), {Name: "reserve", Value: w.short(reserve), Source: origin(w.Decl.Reserve.Given)},
			{Name: "ends to tie", Value: w.short(w.ends()), Source: commonPractice},
			{Name: "rounds of clipping", Value: strconv.Itoa(len(w.Passes)), Source: w.source("clip interval")},
		},
		Result: fmt.Sprintf("%d of %s, %d clips", w.Lines, w.long(w.Line), w.Clips), Source: commonPractice,
	}
}

func (w whyTrellis) rail() Reckoning {
	if w.Corners > 0 {
		across := w.Rows[1].Center - w.Rows[0].Center
		return Reckoning{
			Title: "Rail", Equation: "twice the length of the longer row + twice the distance between the rows; each side in whole lengths and a rest, a joint between any two pieces of a side, an elbow at each corner",
			Inputs: []Input{
				{Name: "length", Value: w.long(w.Length), Source: "from the first plant's ground to the last one's"},
				{Name: "from row to row", Value: w.long(max(across, -across)), Source: "the places of the rows"},
				{Name: "loop", Value: "yes", Source: thisPlan, Span: w.Decl.Loop.Span}, w.own("rail length", &w.Decl.RailStock),
			},
			Result: fmt.Sprintf("%d pieces, %d joints, %d elbows", len(w.Rail), w.Joints, w.Corners), Source: w.source("rail length"),
		}
	}
	return Reckoning{
		Title: "Rail", Equation: "length of each row in whole lengths and a rest, a joint between any two pieces",
		Inputs: []Input{{Name: "length", Value: w.long(w.Length), Source: "from the first plant's ground to the last one's"}, w.own("rail length", &w.Decl.RailStock)},
		Result: fmt.Sprintf("%d pieces, %d joints", len(w.Rail), w.Joints), Source: w.source("rail length"),
	}
}

func (w whyTrellis) load() Reckoning {
	weigh := func(v float64) string { return w.units.Format(quantity.Of(v, quantity.Mass)) }
	v, _ := support.Usual("drop line", "load")
	return Reckoning{
		Title: "Load on a span", Equation: "plants on a span × weight of a laden plant; wind comes on top. A caution, no design: posts, rail and anchors are judged by someone who knows",
		Inputs: []Input{
			{Name: "plants", Value: strconv.Itoa(w.Plants), Source: "see Plants"},
			{Name: "length", Value: w.long(w.Length), Source: "from the first plant's ground to the last one's"},
			w.own("post spacing", &w.Decl.Posts),
			{Name: "laden plant", Value: weigh(v.Low) + " to " + weigh(v.High), Source: w.source("load")},
		},
		Result: weigh(w.Load[0]) + " to " + weigh(w.Load[1]), Source: w.source("load"),
	}
}

func (w whyTrellis) conduit() Reckoning {
	usual := func(item string) Input {
		v, _ := support.Usual("drop line", item)
		return Input{Name: item, Value: w.short(v.Low), Source: w.source(item)}
	}
	yield, _ := support.Usual("drop line", "conduit yield")
	return Reckoning{
		Title: "3/4 in conduit bends for good at", Equation: "8 × section modulus × yield stress / (gravity × span), the load evenly spread, the rail loose on two posts",
		Inputs: []Input{
			usual("conduit diameter"), usual("conduit wall"),
			{Name: "yield stress", Value: w.units.Format(quantity.Of(yield.Low, quantity.Pressure)), Source: w.source("conduit yield")},
			w.own("post spacing", &w.Decl.Posts),
		},
		Result: w.units.Format(quantity.Of(w.ConduitCarries(), quantity.Mass)), Source: "plain theory of elastic beams",
	}
}

func (w whyTrellis) set() Reckoning {
	r := Reckoning{
		Title: "Set by", Equation: "two weeks after planting day, or earlier when plants are high enough for the first string",
		Inputs: []Input{
			w.Main.onInput(),
			{Name: "high enough at", Value: w.short(w.usual("plant height")), Source: w.source("plant height")},
			{Name: "so high about", Value: w.Main.day(w.Reach), Source: "even growth from a week after planting until it is as high as the trellis, or as the crop grows, by the first harvest: common practice"},
		},
		Result: w.Main.day(w.Set), Source: commonPractice,
	}
	if w.Decl.On.Given {
		r.Equation, r.Source = "as the plan gives it", thisPlan
		r.Inputs[0] = Input{Name: "on", Value: w.Main.day(w.Set), Source: thisPlan, Span: w.Decl.On.Span}
	}
	return r
}
