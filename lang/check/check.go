// Package check judges a farm: rules over the declared farm and the facts worked out from it. In go
// derive.Facts; out come findings, each at the very argument, with its numbers and what would mend it.
//
// One file holds one subject: the rule as `haulm explain` shows it, then the code that finds it. A rule
// never works a fact out anew: places, counts and dates come from lang/derive. Nothing here changes the
// farm, and a finding never stops another: a declaration that lacks what a rule needs is passed over.
package check

import (
	"haulm/lang/derive"
	"haulm/lang/diag"
)

// Run gives the findings of all rules, in no useful order. It accepts facts with gaps: a pointer that
// is nil after a bad argument only silences the rules that need it.
func Run(facts *derive.Facts) []diag.Diagnostic {
	if facts == nil || facts.Farm == nil {
		return nil
	}
	p := newPass(facts)
	for _, s := range subjects() {
		s.run(p)
	}
	return p.findings()
}

// Rules gives every rule of this package in reading order: the plan's names, the ground, the plants in
// it, the calendar, the years.
func Rules() []*diag.Rule {
	var all []*diag.Rule
	for _, s := range subjects() {
		all = append(all, s.rules...)
	}
	return all
}

// subject is one file's worth of rules and the walk that applies them.
type subject struct {
	rules []*diag.Rule
	run   func(*pass)
}

func subjects() []subject {
	return []subject{
		{[]*diag.Rule{duplicateName, UnusedDeclaration}, (*pass).names},
		{[]*diag.Rule{plotsOverlap}, (*pass).positions},
		{[]*diag.Rule{rowOutsidePlot}, (*pass).outside},
		{[]*diag.Rule{rowsTooClose, pathTooNarrow}, (*pass).rows},
		{[]*diag.Rule{headlandTooShort}, (*pass).headlands},
		{[]*diag.Rule{spacingTooTight, spacingTooWide}, (*pass).spacings},
		{[]*diag.Rule{linesTooClose}, (*pass).beds},
		{[]*diag.Rule{plantingPastRowEnd, rowFeetLeftOver}, (*pass).rowEnds},
		{[]*diag.Rule{plantingsOverlap}, (*pass).overlaps},
		{[]*diag.Rule{tallCropShadesShort}, (*pass).shade},
		{[]*diag.Rule{dateOutsideSeason, frostsOutOfOrder}, (*pass).calendar},
		{[]*diag.Rule{unusualStart}, (*pass).starts},
		{[]*diag.Rule{plantedBeforeLastFrost, maturesAfterFirstFrost}, (*pass).frosts},
		{[]*diag.Rule{sownAfterPlanting}, (*pass).sowings},
		{[]*diag.Rule{soilTooColdToSprout}, (*pass).soils},
		{[]*diag.Rule{successionGap}, (*pass).successions},
		{[]*diag.Rule{yearOutOfOrder, yearMissing, earlierPlanBroken}, (*pass).earlier},
		{[]*diag.Rule{sameFamilyTooSoon}, (*pass).rotations},
		{[]*diag.Rule{weekOverbooked, taskOutOfOrder, taskNotPlaced}, (*pass).labor},
		{[]*diag.Rule{notInStockInTime}, (*pass).stocks},
		{[]*diag.Rule{lessThanWanted, moreThanWanted, unlikeSaleUnits}, (*pass).wants},
		{[]*diag.Rule{recordOfNothing, moreLostThanPlanted, recordOutOfOrder, recordedAhead, hoursWithoutWork}, (*pass).records},
		{[]*diag.Rule{weatherHasGaps}, (*pass).weather},
		{[]*diag.Rule{zoneOverSupply, zoneNotReckoned, waterNotBalanced, notEnoughHours, sourceShortForSeason, fertigationWithoutBackflow}, (*pass).supply},
		{[]*diag.Rule{pressureTooLow, pressureTooHigh, supplyLineTooFast}, (*pass).pressures},
		{[]*diag.Rule{rowTooLong, unevenWatering, dryGap, spacingBeyondSoil, foldHoldsEmitter, rowWithoutWater, zoneWithoutRows}, (*pass).emitters},
		{[]*diag.Rule{unlikeNeeds}, (*pass).valves},
		{[]*diag.Rule{benchFull, seedTooLate, transplantOvergrown, matTooCold}, (*pass).nurseries},
		{[]*diag.Rule{trellisTooLate, trellisTooShort, sunScald}, (*pass).supports},
		{[]*diag.Rule{harvestInside, entryInside, sameGroup, overLabel, nothingToProtect}, (*pass).protections},
		{[]*diag.Rule{soilTestTooOld, methodUnknown, phOutOfRange}, (*pass).soilTests},
		{[]*diag.Rule{nutrientShort, nutrientOver, phosphorusOnRich, cannotMeet, notEnoughStock, manureTooNear, saltNearSeed, sideDressAfterHarvest, feedsOtherRows}, (*pass).feedings},
	}
}
