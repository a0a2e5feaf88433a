// Package feeding is what is true of feeding any soil: ratings of soil tests by laboratory and extractant, what
// crops need by rating, what products, manures and cover crops give, the cheapest mix of the products at hand,
// and the amount to weigh or to scoop for a row. It knows no plan: in go plain numbers in SI units (kg, m², m³, s,
// kg/m² for rates), out come the same with their sources. Figures stand in the CSV files
// beside this text, each with its source and grade; those of grade M were recalled, not read, and Source.Unverified
// tells so wherever they are shown.
//
// P and K are the elements, P2O5 and K2O the oxides that labels and recommendations speak of; nothing here
// converts from one to the other unasked.
package feeding

import "slices"

// Grade tells how far a value can be trusted: "A" a standard, regulation or university page read itself; "B"
// the same through a copy; "C" trade charts and secondary pages; "M" memory or common practice; "X" arithmetic.
type Grade string

// Grades, the surest first.
const (
	GradeA      Grade = "A"
	GradeB      Grade = "B"
	GradeC      Grade = "C"
	GradeMemory Grade = "M"
	GradeX      Grade = "X"
)

// Unverified is what stands beside a value of grade M wherever it is shown.
const Unverified = "unverified: check your state's handbook"

// Source says where a value comes from.
type Source struct {
	Title string
	Grade Grade
	Note  string // what the source adds, or what is known against it
}

// Unverified tells whether the value was recalled and not read.
func (s Source) Unverified() bool { return s.Grade == GradeMemory }

// Span is a value as its source gives it; Low equals High where it gives one number.
type Span struct{ Low, High float64 }

// Mid is the middle of the span.
func (s Span) Mid() float64 { return (s.Low + s.High) / 2 }

// Scale gives the span f times as large, f >= 0.
func (s Span) Scale(f float64) Span { return Span{s.Low * f, s.High * f} }

// Plus adds two spans end by end.
func (s Span) Plus(o Span) Span { return Span{s.Low + o.Low, s.High + o.High} }

// Nutrient is what a soil test or a label speaks of.
type Nutrient string

// Nutrients of labels and needs, and those that only soil tests speak of.
const (
	N    Nutrient = "N"
	P2O5 Nutrient = "P2O5"
	K2O  Nutrient = "K2O"

	P  Nutrient = "P"
	K  Nutrient = "K"
	Mg Nutrient = "Mg"
	Ca Nutrient = "Ca"
	Zn Nutrient = "Zn"
	B  Nutrient = "B"
	Mn Nutrient = "Mn" // rated by its activity index, see ManganeseIndex
	Cu Nutrient = "Cu"
	Fe Nutrient = "Fe"
	EC Nutrient = "EC" // salts in the saturated paste
)

// Fed lists the nutrients of labels in their order.
func Fed() []Nutrient { return slices.Clone(fed[:]) }

var fed = [...]Nutrient{N, P2O5, K2O}

// Nutrients are amounts of the three nutrients of a label: kg, kg/m² or shares, as the user says.
type Nutrients struct{ N, P2O5, K2O float64 }

// Of gives one of the three, and 0 of any other nutrient.
func (n Nutrients) Of(which Nutrient) float64 {
	switch which {
	case N:
		return n.N
	case P2O5:
		return n.P2O5
	case K2O:
		return n.K2O
	}
	return 0
}

// Scale gives f times the amounts.
func (n Nutrients) Scale(f float64) Nutrients { return Nutrients{n.N * f, n.P2O5 * f, n.K2O * f} }

// Plus adds amounts.
func (n Nutrients) Plus(o Nutrients) Nutrients {
	return Nutrients{n.N + o.N, n.P2O5 + o.P2O5, n.K2O + o.K2O}
}
