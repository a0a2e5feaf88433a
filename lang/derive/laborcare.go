package derive

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/labor"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Care is what of the season's work is hard on the people who do it: a caution, no permission. Local rules come first.
type Care struct {
	Heat    []HeatWeek // weeks of work whose heat is known, in order
	Hottest int        // in Heat; -1 when it is not known
	Limit   float64    // of a load lifted from the ground to a truck bed, kg
	Loads   []Load     // that are carried, the heaviest first; at least one

	facts *Facts
}

// HeatWeek is the heat of a usual afternoon in a week of work.
type HeatWeek struct {
	Monday   season.Date
	High     float64 // usual greatest temperature, °C
	Humidity float64 // usual at that temperature, percent
	Index    float64 // heat index in the shade, whole °F: it is known no better
	Heat     labor.Heat
}

// Load is something that is carried.
type Load struct {
	Name   string
	Mass   float64 // kg
	Index  float64 // by how much it is above the limit: 1 is the limit
	Source string

	decl *farm.Crew // that gives the mass; nil when the plan's crew does not
}

// The lift that loads are judged by (common practice): from hands low over the ground up to a truck bed, straight
// ahead, with handles, once in five minutes or less often.
const (
	liftReach  = 0.3048 // 12 in from the middle between the ankles to the hands
	liftFrom   = 0.1524 // 6 in, the handles of a crate on the ground
	liftTo     = 0.9144 // 36 in, a truck bed
	usualCrate = 18.143695
)

func theLift() labor.Lift {
	return labor.Lift{Reach: liftReach, From: liftFrom, To: liftTo, Often: 1, Grip: 1}
}

// Care gives what is hard on people, worked out when first asked for.
func (facts *Facts) Care() *Care {
	facts.care.once.Do(func() { facts.care.of = newCare(facts) })
	return facts.care.of
}

func newCare(facts *Facts) *Care {
	c := &Care{Hottest: -1, Limit: theLift().Limit(), facts: facts}
	c.addHeat()
	c.addLoads()
	return c
}

// addHeat takes the heat of each week in its middle from the climate's normals.
func (c *Care) addHeat() {
	site := c.facts.Farm.Site
	if site == nil || site.Climate == nil {
		return
	}
	var high season.Normals
	for i := range high {
		high[i] = celsius(month(&site.Climate.TMax, i))
	}
	humidity := newUsual(site).rh
	for i := range c.facts.Labor().Weeks {
		w := &c.facts.Labor().Weeks[i]
		middle := w.Monday.Add(3)
		n := HeatWeek{Monday: w.Monday, High: high.On(middle), Humidity: humidity[middle.Month()-1]}
		n.Index = math.Round(labor.HeatIndex(quantity.Celsius(n.High).Fahrenheit(), n.Humidity))
		if w.Hours == 0 || math.IsNaN(n.Index) {
			continue
		}
		n.Heat = labor.HeatOf(n.Index)
		if c.Hottest < 0 || n.Index > c.Heat[c.Hottest].Index {
			c.Hottest = len(c.Heat)
		}
		c.Heat = append(c.Heat, n)
	}
}

// addLoads lists what is picked into, and what is bought by weight.
func (c *Care) addLoads() {
	if crew := c.facts.Farm.Crew; crew != nil && crew.Carry.Given {
		c.add(Load{Name: "full crate or sack", Mass: crew.Carry.Value.SI, Source: thisPlan, decl: crew})
	} else {
		for _, h := range c.facts.Harvest().Crops {
			pack := &h.Crop.PackMass
			if h.Amount == 0 || !pack.Known() || slices.ContainsFunc(c.Loads, func(l Load) bool { return l.Name == packName(h.Crop) }) {
				continue
			}
			c.add(Load{Name: packName(h.Crop), Mass: pack.Mid(), Source: rangeSource(pack)})
		}
	}
	for _, p := range c.facts.Shopping().Wares {
		if w := &p.Ware; w.Pack.Dim == quantity.Mass && w.Kind != SeedWare && w.Pack.SI > 0 {
			c.add(Load{Name: "pack of " + w.Name, Mass: w.Pack.SI, Source: thisPlan})
		}
	}
	if len(c.Loads) == 0 {
		c.add(Load{Name: "full crate", Mass: usualCrate, Source: commonPractice})
	}
	slices.SortStableFunc(c.Loads, func(a, b Load) int { return cmp.Compare(b.Mass, a.Mass) })
}

func (c *Care) add(l Load) {
	l.Index = theLift().Index(l.Mass)
	c.Loads = append(c.Loads, l)
}

func packName(c *farm.Crop) string { return "usual pack of " + c.Name }

// rangeSource says where a value of the crop table is from.
func rangeSource(r *crops.Range) string {
	if r.Grade == crops.GradeMemory {
		return "memory"
	}
	return r.Source + " (grade " + string(r.Grade) + ")"
}
