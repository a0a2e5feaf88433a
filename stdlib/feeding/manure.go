package feeding

import "haulm/stdlib/season"

// Days from raw manure worked in to harvest, 7 CFR 205.203(c)(1): for what touches soil or soil particles, and for what
// does not.
const (
	ManureDaysTouching = 120
	ManureDaysAbove    = 90
)

// ManureRule names the rule that ManureDays follows.
func ManureRule() Source {
	return Source{
		Title: "7 CFR 205.203(c)(1)", Grade: GradeA,
		Note: "the organic rule, common practice elsewhere; your certifier, your buyers and local rules come first",
	}
}

// ManureDays gives the days from working raw manure in to harvest.
func ManureDays(touchesSoil bool) int {
	if touchesSoil {
		return ManureDaysTouching
	}
	return ManureDaysAbove
}

// LatestManure gives the last day on which raw manure may be worked in before a harvest.
func LatestManure(harvest season.Date, touchesSoil bool) season.Date {
	return harvest.Add(-ManureDays(touchesSoil))
}

// Composting by the same rule, 7 CFR 205.203(c)(2): what makes manure compost, without an interval to harvest.
const (
	CompostDaysVessel  = 3 // 131 to 170 °F in a vessel or a static aerated pile
	CompostDaysWindrow = 15
	CompostTurns       = 5
)
