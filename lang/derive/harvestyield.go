package derive

import (
	"math"
	"strings"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

type system = quantity.System

// yield is what a planting gives over a whole window of harvest, and how that is known.
type yield struct {
	unknown  string
	unit     SaleUnit
	amount   float64
	kg       float64 // of the amount; NaN where only pieces are known
	equation string
	inputs   []yieldInput
	from     *crops.Range // that it hangs on; nil when the plan gives it or every plant gives one
}

// yieldInput is a number of the reckoning, told in words only when asked for.
type yieldInput struct {
	name string
	q    quantity.Quantity // pieces are a plain ratio
	of   *crops.Range
	span source.Span // of what the plan gives
}

// yield looks for what the plan says, then for one head of every plant, then for pieces and mass by the length of
// the lines, then for mass by plant and by area; each is for the middle of its range.
func (p *Planting) yield(units system) yield {
	c := p.Decl.Crop
	unit := saleUnit(c.SaleUnit, &c.UnitMass)
	if u, ok := quantity.UnitNamed(unit.Name); ok && u.Dim == quantity.Mass && c.SaleSource.Grade != crops.GradePlan {
		unit = MassUnit(units) // the table counts in pounds; a metric farm in kilograms
	}
	plants := yieldInput{name: "plants", q: pieces(p.Plants)}
	lines := yieldInput{name: "length of its lines", q: quantity.Meters(p.lineLength())}
	byMass := func(kg float64, equation string, inputs ...yieldInput) yield {
		y := yield{unit: unit, kg: kg, equation: equation, inputs: inputs}
		if unit.Mass == 0 {
			y.unit = MassUnit(units)
		}
		y.amount = kg / y.unit.Mass
		if y.unit.Name != unit.Name {
			y.inputs = append(y.inputs, yieldInput{name: "mass of a " + unit.Name + " is not known, so that it is counted by mass"})
		} else if y.unit.Mass != MassUnit(units).Mass {
			y.inputs = append(y.inputs, yieldInput{name: "mass of a " + unit.Name, q: quantity.Of(unit.Mass, quantity.Mass)})
		}
		return y
	}
	own := p.Decl.Yield
	perLength, perPlant, perArea := &c.YieldPerLength, &c.YieldPerPlant, &c.YieldPerArea
	switch {
	case own.Given && own.Value.Dim == quantity.LineMass:
		return byMass(own.Value.SI*lines.q.SI, "yield of each length of line × length of its lines", yieldInput{name: "yield", q: own.Value, span: own.Span}, lines)
	case perPlant.Grade == crops.GradePlan:
		return byMass(perPlant.Mid()*plants.q.SI, "yield of a plant × plants", yieldInput{name: "yield of a plant", of: perPlant}, plants)
	case perLength.Grade == crops.GradePlan:
	case unit.Name == "head":
		y := yield{unit: unit, amount: plants.q.SI, kg: math.NaN(), equation: oneHead, inputs: []yieldInput{plants}}
		if unit.Mass > 0 {
			y.kg = y.amount * unit.Mass
		}
		return y
	case c.UnitsPerLength.Known() && countedAs(c.UnitsPerLength.Note, unit.Name):
		y := yield{unit: unit, amount: c.UnitsPerLength.Mid() * lines.q.SI, kg: math.NaN(), from: &c.UnitsPerLength,
			equation: "yield of each length of line (middle of the range) × length of its lines",
			inputs:   []yieldInput{{name: c.UnitsPerLength.Note, of: &c.UnitsPerLength}, lines}}
		if unit.Mass > 0 {
			y.kg = y.amount * unit.Mass
		}
		return y
	}
	switch {
	case perLength.Known():
		y := byMass(perLength.Mid()*lines.q.SI, "yield of each length of line (middle of the range) × length of its lines", yieldInput{name: "yield", of: perLength}, lines)
		y.from = perLength
		return y
	case perPlant.Known():
		y := byMass(perPlant.Mid()*plants.q.SI, "yield of a plant (middle of the range) × plants", yieldInput{name: "yield of a plant", of: perPlant}, plants)
		y.from = perPlant
		return y
	case perArea.Known():
		width := p.strip()
		if width == 0 {
			return yield{unknown: "its yield is known by area only, and its ground is not"}
		}
		area := yieldInput{name: "its ground", q: quantity.Of(width*p.stretch(), quantity.Area)}
		y := byMass(perArea.Mid()*area.q.SI, "yield of an area (middle of the range) × its ground", yieldInput{name: "yield", of: perArea}, area)
		y.from = perArea
		return y
	}
	return yield{unknown: "no yield of " + c.Name + " is known; give one with yield_per_length"}
}

const oneHead = "one head of every plant"

// lineLength is that of all its lines together: yields by length are for a single line.
func (p *Planting) lineLength() float64 { return p.stretch() * float64(len(p.Row.Lines)) }

// countedAs tells whether what the crop table counts along a row is what the crop is sold by.
func countedAs(note, unit string) bool {
	return strings.Contains(note, unit) || unit == "each" && (strings.Contains(note, "fruit") || strings.Contains(note, "buds"))
}

// saleUnit gives a unit by its name, with the mass that the plan gives to one that is no unit of mass.
func saleUnit(name string, mass *farm.Amount) SaleUnit {
	u := SaleUnit{Name: name}
	if known, ok := quantity.UnitNamed(name); ok && known.Dim == quantity.Mass {
		u.Mass = known.SI
	} else if mass.Given && mass.Value.SI > 0 {
		u.Mass = mass.Value.SI
	}
	return u
}

// MassUnit is what a farm weighs its harvest in.
func MassUnit(units system) SaleUnit {
	name := "lb"
	if units == quantity.Metric {
		name = "kg"
	}
	return saleUnit(name, &farm.Amount{})
}
