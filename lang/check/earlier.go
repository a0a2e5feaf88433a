package check

import (
	"fmt"

	"haulm/lang/diag"
	"haulm/lang/farm"
)

var yearOutOfOrder = &diag.Rule{
	Code: "year-out-of-order", Severity: diag.Error,
	Summary: "a plan looks back to one that is not of an earlier year",
	Explain: `What ` + "`previous`" + ` names must be the plan of a year before this one: rotation counts the years between. A copy
of this year's folder, or a year that was not changed after copying, is the usual cause. Write the right year
in the earlier plan's ` + "`farm`" + `, or name another folder.`,
	Example: `-- farm.star --
load("crops", "tomato")
farm("Ferry Bank", year = 2027)
previous("copy")
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
plant(row(bench, at = 4 * ft), tomato, fill = True)
-- copy/farm.star --
farm("Ferry Bank", year = 2027)
`,
	Source: "arithmetic",
}

var yearMissing = &diag.Rule{
	Code: "year-missing", Severity: diag.Note,
	Summary: "the plan of a year between is not known",
	Explain: `The plans that this one looks back to, one through the other, leave out a year. What grew then is not known, so
rotation may be judged too mildly. Keep the missing year's plan and name it with ` + "`previous`" + ` in the plan that
followed it, or say what grew with ` + "`history`" + `.`,
	Example: `-- farm.star --
load("crops", "tomato")
farm("Ferry Bank", year = 2027)
previous("2025")
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
plant(row(bench, at = 4 * ft), tomato, fill = True)
-- 2025/farm.star --
farm("Ferry Bank", year = 2025)
`,
	Source: "arithmetic",
}

var earlierPlanBroken = &diag.Rule{
	Code: "earlier-plan-broken", Severity: diag.Warning,
	Summary: "the plan of an earlier year could only be read in part",
	Explain: `The earlier plan has errors, and what stands behind them is not known here: rotation may be judged too mildly.
They are not told again in this plan. Run ` + "`haulm check`" + ` on the earlier plan and mend it.`,
	Example: `-- farm.star --
load("crops", "tomato")
farm("Ferry Bank", year = 2027)
previous("2026")
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
plant(row(bench, at = 4 * ft), tomato, fill = True)
-- 2026/farm.star --
farm("Ferry Bank", year = 2026)
plot("Lower bench", length = 52, width = 40 * ft)
`,
	Source: "Haulm's own language",
}

// earlier judges the chain of plans that this one looks back to.
func (p *pass) earlier() {
	for _, d := range p.farm.Earlier {
		p.earlierPlan(d)
	}
	if len(p.farm.Earlier) > 0 {
		p.missingYears()
	}
}

func (p *pass) earlierPlan(d *farm.Previous) {
	year := d.Farm.Year.Value
	if year > 0 && p.farm.Year.Given && year >= p.farm.Year.Value {
		p.report(&d.Decl, d.Path.Value, diag.Diagnostic{
			Rule: yearOutOfOrder,
			Message: fmt.Sprintf("%s is the plan of %d, and this is the plan of %d. Name the plan of an earlier year",
				d.Entry, year, p.farm.Year.Value),
			Primary: diag.Label{Span: d.Path.Span, Text: fmt.Sprintf("for %d", year)},
			Related: labels(diag.Label{Span: d.Farm.Year.Span, Text: "the year it is for"}, d.Path.Span),
		})
	}
	if d.Errors > 0 {
		p.report(&d.Decl, d.Path.Value, diag.Diagnostic{
			Rule: earlierPlanBroken,
			Message: fmt.Sprintf("%s has %s, so what it grew is known in part only. `haulm check` on it says which",
				d.Entry, count(d.Errors, "an error", "%d errors")),
			Primary: diag.Label{Span: d.Path.Span, Text: "read in part"},
		})
	}
}

// missingYears reports the years that the chain leaves out, unless the plan's own history fills them.
func (p *pass) missingYears() {
	told := map[int]bool{}
	for _, h := range p.farm.Histories {
		told[h.Year.Value] = true
	}
	oldest := p.farm.Year.Value
	for _, e := range p.facts.Earlier {
		told[e.Year] = true
		if e.Year > 0 {
			oldest = min(oldest, e.Year)
		}
	}
	d := p.farm.Earlier[0]
	for year := p.farm.Year.Value - 1; year > oldest; year-- {
		if !told[year] {
			p.report(&d.Decl, fmt.Sprint(year), diag.Diagnostic{
				Rule: yearMissing,
				Message: fmt.Sprintf("what grew in %d is not known: no plan of that year is reached from here. Name it with previous, or say it with history",
					year),
				Primary: diag.Label{Span: d.Path.Span, Text: fmt.Sprintf("nothing of %d", year)},
			})
		}
	}
}
