package crops

import (
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/stdlib/quantity"
)

func TestFormat(t *testing.T) {
	inch, foot := named("inch"), named("ft")
	for _, k := range []struct {
		kind       Kind
		low, high  float64
		grade      Grade
		us, metric string
	}{
		{Length, 12 * inch, 24 * inch, GradeC, "12 to 24 in", "30 to 61 cm"},
		{Length, 18 * inch, 18 * inch, GradeC, "18 in", "46 cm"},
		{Length, 0.125 * inch, 0.25 * inch, GradeC, "0.125 to 0.25 in", "3 to 6 mm"},
		{Length, 3 * foot, 6 * foot, GradeC, "3 to 6 ft", "91 cm to 1.83 m"},
		{Length, 5.5 * foot, 6.5 * foot, GradeC, "5 ft 6 in to 6 ft 6 in", "1.68 to 1.98 m"},
		{Length, 0.7, 1.5, GradeB, "2 ft 4 in to 4 ft 11 in", "70 cm to 1.5 m"},
		{Length, 6.25 * inch, 6.25 * inch, GradePlan, "6.25 in", "15.88 cm"},
		{Days, 70, 90, GradeB, "70 to 90 days", "70 to 90 days"},
		{Days, 1, 1, GradeB, "1 day", "1 day"},
		{Window, 7, 28, GradeMemory, "1 to 4 weeks", "1 to 4 weeks"},
		{Window, 10, 28, GradeMemory, "10 to 28 days", "10 to 28 days"},
		{Weeks, 5, 6, GradeA, "5 to 6 weeks", "5 to 6 weeks"},
		{Years, 1, 2, GradeA, "1 to 2 years", "1 to 2 years"},
		{Number, 0.7, 0.9, GradeB, "0.7 to 0.9", "0.7 to 0.9"},
		{Percent, 0.55, 0.55, GradeC, "55 %", "55 %"},
		{Temperature, quantity.Fahrenheit(70).SI, quantity.Fahrenheit(86).SI, GradeC, "70 to 86 °F", "21.1 to 30 °C"},
		{PerMass, 4500 / named("oz"), 4500 / named("oz"), GradeC, "4500 per oz", "159 per g"},
		{PerLength, 10 / (100 * foot), 10 / (100 * foot), GradeB, "10 per 100 ft", "3.28 per 10 m"},
		{LineMass, 100 * named("lb") / (100 * foot), 150 * named("lb") / (100 * foot), GradeB, "100 to 150 lb per 100 ft", "1.49 to 2.23 kg per m"},
		{FromFrost, -252, -168, GradeMemory, "24 to 36 weeks before the last frost", "24 to 36 weeks before the last frost"},
		{FromFrost, 0, 7, GradeMemory, "0 to 1 week after the last frost", "0 to 1 week after the last frost"},
		{FromFrost, 0, 0, GradeMemory, "on the last frost", "on the last frost"},
		{FromFrost, -7, 10, GradeMemory, "1 week before to 10 days after the last frost", "1 week before to 10 days after the last frost"},
	} {
		e := Entry{Kind: k.kind, Range: Range{Low: k.low, High: k.high, Grade: k.grade}}
		require.Equal(t, k.us, e.Format(quantity.US))
		require.Equal(t, k.metric, e.Format(quantity.Metric))
		require.Equal(t, k.us, e.FormatStated(Stated{Low: k.low, High: k.high, Grade: k.grade}, quantity.US))
	}
}

// TestValuesOfAPlansCrop: what a plan says is told as the plan's, and what nobody says is left out.
func TestValuesOfAPlansCrop(t *testing.T) {
	c := Crop{Name: "shiso", Direct: true, Frost: Tender, FrostSource: Stated{Grade: GradePlan, Source: "this plan"},
		InRow: Range{Low: 0.25, High: 0.25, Grade: GradePlan, Source: "this plan"}}
	var told []string
	for _, e := range c.Values() {
		told = append(told, e.Label+": "+e.Format(quantity.Metric))
	}
	require.Equal(t, []string{"started: direct", "frost class: tender", "goes out: on the last frost", "in the row: 25 cm"}, told)
}

func TestTold(t *testing.T) {
	foot := Range{Low: 0.3048, High: 0.762, Dim: quantity.Length, Grade: GradeC}
	metric := foot.Told(quantity.Metric)
	require.InDelta(t, 0.30, metric.Low, 1e-9)
	require.InDelta(t, 0.76, metric.High, 1e-9)
	us := foot.Told(quantity.US)
	require.InDelta(t, 0.3048, us.Low, 1e-9)
	require.InDelta(t, 0.762, us.High, 1e-9)
	foot.Grade = GradePlan
	require.Equal(t, foot, foot.Told(quantity.Metric))
	days := Range{Low: 60.4, High: 70, Grade: GradeA}
	require.Equal(t, days, days.Told(quantity.Metric))
}

func TestGradeWords(t *testing.T) {
	for _, g := range append([]Grade{GradePlan}, gradeOrder...) {
		require.NotEqual(t, Grade("").Words(), g.Words())
	}
}
