package water

import "cmp"

// Stages are the lengths in days of a crop's four stages of growth (FAO-56 Fig. 25): initial, from planting
// to a tenth of the ground covered; development, to full cover; mid, to the start of ripening; late, to
// harvest or death. A fraction of a day is a part of the day.
type Stages struct{ Initial, Development, Mid, Late float64 }

// Days is the length of them all.
func (s Stages) Days() float64 { return s.Initial + s.Development + s.Mid + s.Late }

// Fit stretches or shortens every stage by the same factor until together they last the days from planting
// to clearing (common practice: FAO-56 asks for local lengths and gives no rule to fit them).
func (s Stages) Fit(days float64) (Stages, error) {
	err := cmp.Or(s.check(),
		above("time in the ground", days, "days", 0, 4000, "let the clearing day follow the planting day"))
	if err != nil {
		return Stages{}, err
	}
	return s.times(days / s.Days()), nil
}

func (s Stages) times(f float64) Stages {
	return Stages{s.Initial * f, s.Development * f, s.Mid * f, s.Late * f}
}

func (s Stages) check() error {
	const advice = "give each of the four stages its days"
	return cmp.Or(
		within("initial stage", s.Initial, "days", 0, 2000, advice),
		within("development stage", s.Development, "days", 0, 2000, advice),
		within("mid stage", s.Mid, "days", 0, 2000, advice),
		within("late stage", s.Late, "days", 0, 2000, advice),
		above("sum of the stages", s.Days(), "days", 0, 8000, advice))
}
