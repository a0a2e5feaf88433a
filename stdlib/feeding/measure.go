package feeding

import (
	"fmt"
	"math"
	"strings"

	"haulm/stdlib/quantity"
)

// Scoops is an amount in level measures, rounded as a person fills them.
type Scoops struct {
	Whole    int
	Num, Den int     // the part beyond the whole ones: 0/1, or one of 1/4, 1/3, 1/2, 2/3, 3/4
	Measure  float64 // volume of one, m³
	Error    float64 // rounded less exact, m³: negative where it gives less than was asked for
}

// parts of a measure that are filled by eye or marked on it, in order.
var parts = [...]struct{ num, den int }{{0, 1}, {1, 4}, {1, 3}, {1, 2}, {2, 3}, {3, 4}, {1, 1}}

// wholeOnly is the number of measures from which parts of one are left out: a part of one in twenty is less than the
// heaping and packing of each.
const wholeOnly = 20

// Scoop rounds a volume to whole measures and a quarter, third, half, two thirds or three quarters of one, whichever is
// nearest, the smaller on a tie; from 20 measures on to whole ones. A volume of which a quarter is too much still
// gives 0, with the error that says so. The measure must be positive, the volume at least 0.
func Scoop(volume, measure float64) Scoops {
	n := volume / measure
	whole := math.Floor(n * (1 + 1e-12))
	rest := n - whole
	pick := parts[0]
	for _, p := range parts {
		if whole >= wholeOnly && p.den != 1 {
			continue
		}
		if math.Abs(rest-float64(p.num)/float64(p.den)) < math.Abs(rest-float64(pick.num)/float64(pick.den))-1e-12 {
			pick = p
		}
	}
	s := Scoops{Whole: int(whole), Num: pick.num, Den: pick.den, Measure: measure}
	if pick.num == pick.den {
		s.Whole, s.Num, s.Den = s.Whole+1, 0, 1
	}
	s.Error = s.Volume() - volume
	return s
}

// Count is the number of measures.
func (s Scoops) Count() float64 { return float64(s.Whole) + float64(s.Num)/float64(s.Den) }

// Volume is what the measures hold, m³.
func (s Scoops) Volume() float64 { return s.Count() * s.Measure }

// Text writes the amount with the measure's name: "1 1/3 scoops", "3/4 scoop", "2 scoops", "none".
func (s Scoops) Text(name string) string {
	var words []string
	if s.Whole > 0 {
		words = append(words, fmt.Sprint(s.Whole))
	}
	if s.Num > 0 {
		words = append(words, fmt.Sprintf("%d/%d", s.Num, s.Den))
	}
	if words == nil {
		return "none"
	}
	if s.Count() > 1 {
		name = plural(name)
	}
	return strings.Join(append(words, name), " ")
}

var spokenParts = map[[2]int]string{
	{1, 4}: "a quarter", {1, 3}: "a third", {1, 2}: "a half", {2, 3}: "two thirds", {3, 4}: "three quarters",
}

var spokenNumbers = [...]string{"", "", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// Spoken says the amount as a person would: "a scoop and a third", "half a scoop", "two scoops and three
// quarters".
func (s Scoops) Spoken(name string) string {
	part := spokenParts[[2]int{s.Num, s.Den}]
	article := "a "
	if name != "" && strings.ContainsRune("aeioAEIO", rune(name[0])) {
		article = "an "
	}
	switch {
	case s.Whole == 0 && part == "":
		return "none"
	case s.Whole == 0 && s.Den == 2:
		return "half " + article + name
	case s.Whole == 0:
		return part + " of " + article + name
	}
	text := article + name
	if s.Whole > 1 {
		number := fmt.Sprint(s.Whole)
		if s.Whole < len(spokenNumbers) {
			number = spokenNumbers[s.Whole]
		}
		text = number + " " + plural(name)
	}
	if part != "" {
		text += " and " + part
	}
	return text
}

func plural(name string) string {
	for _, end := range []string{"s", "x", "ch", "sh"} {
		if strings.HasSuffix(name, end) {
			return name + "es"
		}
	}
	return name + "s"
}

// Weighed is a mass rounded to what a scale shows.
type Weighed struct {
	Mass  float64 // kg
	Step  float64 // the scale's step, kg
	Error float64 // rounded less exact, kg
}

// step is one line of a scale: the step of masses below a bound, kg.
type step struct{ below, step float64 }

const ounce = pound / 16

// Steps of scales (common practice): kitchen scale, hanging scale, platform scale.
var (
	usSteps     = []step{{1 * ounce, ounce / 16}, {pound, ounce / 2}, {10 * pound, ounce}, {50 * pound, pound / 4}, {math.Inf(1), pound}}
	metricSteps = []step{{0.025, 0.001}, {0.5, 0.005}, {5, 0.025}, {25, 0.1}, {math.Inf(1), 0.5}}
)

// Weigh rounds a mass to the step of the scale that one would take for it: US, sixteenths of an ounce below an ounce, half
// ounces to 1 lb, ounces to 10 lb, quarter pounds to 50 lb, pounds above; metric, 1 g below 25 g, 5 g to
// 500 g, 25 g to 5 kg, 100 g to 25 kg, 500 g above (common practice). A half step rounds up.
func Weigh(mass float64, system quantity.System) Weighed {
	steps := usSteps
	if system == quantity.Metric {
		steps = metricSteps
	}
	var w Weighed
	for _, s := range steps {
		if w.Step = s.step; mass < s.below*(1-1e-12) {
			break
		}
	}
	w.Mass = math.Floor(mass/w.Step*(1+1e-12)+0.5) * w.Step
	w.Error = w.Mass - mass
	return w
}

// Text writes the mass as a scale shows it: "2 lb 5 oz", "15.5 oz", "1.2 kg".
func (w Weighed) Text(system quantity.System) string {
	if n := w.Mass / pound; system == quantity.Metric || n < 1 || n >= 10 {
		return system.Format(quantity.Of(w.Mass, quantity.Mass))
	}
	whole := int(w.Mass/pound + 1e-9)
	text := fmt.Sprintf("%d lb", whole)
	if rest := w.Mass/ounce - 16*float64(whole); rest > 1e-6 {
		text += fmt.Sprintf(" %.3g oz", rest)
	}
	return text
}
