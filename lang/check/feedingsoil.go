package check

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/season"
)

var soilTestTooOld = &diag.Rule{
	Code: "soil-test-too-old", Severity: diag.Warning,
	Summary: "a soil test is older than three years",
	Explain: `What a soil test says of phosphorus, potassium and pH holds for about three years. Reported is a test whose sample was
taken more than three years before the season's first planting in its plots, or before the year begins where nothing is planted.

Take a new sample, at the same time of year as the one before.`,
	Example: strings.Replace(fedGround, `"2026-10-20"`, `"2022-10-20"`, 1),
	Source:  "common practice: every two to three years",
}

var methodUnknown = &diag.Rule{
	Code: "method-unknown", Severity: diag.Warning,
	Summary: "no table rates this soil test",
	Explain: `A rating belongs to a laboratory and its extractant: the same soil gives other figures by another method, and one cannot be
turned into the other. Reported is a test with a laboratory or in a plot that is fed, that no table is known for.

Name the laboratory if another of the list fits, or give what the report itself recommends (` + "`n`, `p2o5`, `k2o`" + `): that rules.`,
	Example: fedGround + `meal = fertilizer("feather meal", analysis = "12-0-0")
other = plot("Upper bench", length = 52 * ft, width = 40 * ft, soil = soil(texture = "loam", test = soil_test(method = "morgan", p = 4 * ppm, k = 90 * ppm)))
second = row(other, at = 20 * ft)
plant(second, bell_pepper, fill = True, spacing = 18 * inch, on = "2027-05-15")
feed(second, meal, rate = 200 * lb / acre)
`,
	Source: "the laboratories' own tables, as `haulm show feeding --by plot` names them",
}

var phOutOfRange = &diag.Rule{
	Code: "ph-out-of-range", Severity: diag.Warning,
	Summary: "the soil's pH is not one that the crop likes",
	Explain: `The soil test's pH is set against the range of the crop, or of vegetables in general (6.0 to 7.0) where it has none of its
own. Reported is a pH outside both. Lime raises it over months: spread it the fall before, and by the laboratory's rate.`,
	Example: strings.Replace(fedGround, "ph = 6.4", "ph = 5.3", 1),
	Source:  "Mississippi State University IS1584 for vegetables in general; ranges of single crops are from memory: " + feeding.Unverified,
}

// testYears is how long a soil test holds.
const testYears = 3

// soilTests judges the tests, their methods and pH.
func (p *pass) soilTests() {
	if len(p.farm.SoilTests) == 0 {
		return
	}
	first := map[*farm.SoilTest]season.Date{}
	type grown struct {
		crop *farm.Crop
		plot *derive.Plot
	}
	judged := map[grown]bool{}
	for _, pl := range p.facts.Plantings {
		t := testOf(pl.Row.Plot.Decl)
		if t == nil {
			continue
		}
		if day, ok := first[t]; pl.Plant.IsSet() && (!ok || pl.Plant < day) {
			first[t] = pl.Plant
		}
		if here := (grown{pl.Decl.Crop, pl.Row.Plot}); !judged[here] {
			judged[here] = true
			p.acidity(pl, t)
		}
	}
	for _, t := range p.farm.SoilTests {
		day, ok := first[t]
		if !ok && p.farm.Year.Value > 0 {
			day, ok = season.On(p.farm.Year.Value, time.January, 1), true
		}
		if ok && t.On.Given {
			p.oldTest(t, day)
		}
	}
	p.unrated()
}

func testOf(pl *farm.Plot) *farm.SoilTest {
	if pl == nil || pl.Soil == nil {
		return nil
	}
	return pl.Soil.Test
}

func (p *pass) oldTest(t *farm.SoilTest, day season.Date) {
	if until := season.On(t.On.Value.Year()+testYears, t.On.Value.Month(), t.On.Value.Day()); until >= day {
		return
	}
	years := float64(day.DaysSince(t.On.Value)) / 365.25
	p.report(&t.Decl, "", diag.Diagnostic{
		Rule: soilTestTooOld,
		Message: fmt.Sprintf("this soil test is of %s, %.1f years before %s; it holds for about %d. Take a new sample", p.day(t.On.Value),
			years, p.day(day), testYears),
		Primary: diag.Label{Span: t.On.Span, Text: "too old"},
		Values:  []diag.Value{{Name: "years", Text: fmt.Sprintf("%.1f", years)}},
	})
}

func (p *pass) unrated() {
	wanted := len(p.farm.Feeds) > 0
	for _, t := range p.farm.SoilTests {
		wanted = wanted || t.Lab.Given
	}
	if !wanted {
		return
	}
	fed := map[*derive.Plot]bool{}
	fd := p.facts.Feeding()
	for _, d := range fd.Doses {
		fed[d.Row.Plot] = true
	}
	for _, f := range p.farm.Feeds {
		if f.ToNeed.Value {
			for _, pl := range p.facts.Plots {
				fed[pl] = fed[pl] || f.Plot == pl.Decl || f.Row != nil && f.Row.Plot == pl.Decl || f.Planting != nil && f.Planting.Row != nil && f.Planting.Row.Plot == pl.Decl
			}
		}
	}
	for _, pf := range fd.Plots {
		t := pf.Test
		if t == nil || pf.Unrated == nil || t.N.Given || t.P2O5.Given || t.K2O.Given || !fed[pf.Plot] && !t.Lab.Given {
			continue
		}
		at := t.Method.Span
		if t.Lab.Given {
			at = t.Lab.Span
		}
		f := diag.Diagnostic{
			Rule:    methodUnknown,
			Message: fmt.Sprintf("%s. Give what the report recommends, or the need by need(...)", pf.Unrated.Error()),
			Primary: diag.Label{Span: at, Text: "no table"},
		}
		var none *feeding.UnknownTableError
		if errors.As(pf.Unrated, &none) {
			f.Message = fmt.Sprintf("no table rates %s by %s; there are tables of %s. Name one of those if it did the test, or give what the report recommends",
				none.Nutrient, asked(t), some(tables(none.Known)))
			f.Help = "results by one extractant cannot be read in the table of another"
		}
		var unit *feeding.UnitError
		if errors.As(pf.Unrated, &unit) {
			f.Message = unit.Error()
			f.Primary.Text = "prints an index"
			f.Help = "give it by p_index and k_index"
		}
		p.report(&t.Decl, "", f)
	}
}

// acidity sets the soil's pH against what a crop likes.
func (p *pass) acidity(pl *derive.Planting, t *farm.SoilTest) {
	if !t.PH.Given {
		return
	}
	own, general := feeding.AcidityOf(pl.Decl.Crop.Ident), feeding.AcidityOf("")
	low, high := min(own.PH.Low, general.PH.Low), max(own.PH.High, general.PH.High)
	ph := t.PH.Value
	if ph > low-0.049 && ph < high+0.049 {
		return
	}
	crop := cropName(pl)
	plot := plotName(pl.Row.Plot.Decl)
	f := diag.Diagnostic{
		Rule:    phOutOfRange,
		Message: fmt.Sprintf("%s in %s stands in soil of pH %.3g; it likes %.3g to %.3g", crop, plot, ph, low, high),
		Primary: diag.Label{Span: t.PH.Span, Text: fmt.Sprintf("pH %.3g", ph)},
		Values:  []diag.Value{{Name: "ph", Text: fmt.Sprintf("%.3g", ph)}, {Name: "low", Text: fmt.Sprintf("%.3g", low)}, {Name: "high", Text: fmt.Sprintf("%.3g", high)}},
		Help:    own.Source.Title,
	}
	if own.Source.Unverified() {
		f.Help += "; " + feeding.Unverified
	}
	if ph < low {
		f.Message += ". Lime it the fall before, at the laboratory's rate"
		target := min(6.5, high)
		if rates := feeding.Lime(pl.Row.Plot.Decl.Soil.Texture.Value, ph, target); len(rates) > 0 {
			f.Help = fmt.Sprintf("to pH %.3g a table has %s of pure limestone (%s); %s", target, p.perArea(rates[0].Carbonate), rates[0].Source.Title, f.Help)
		}
	} else {
		f.Message += ". Leave lime and wood ash out, and ask the laboratory about sulfur"
	}
	p.report(&t.Decl, crop+" in "+plot, f)
}

// asked says whose test it is.
func asked(t *farm.SoilTest) string {
	if t.Lab.Given {
		return fmt.Sprintf("%q, %s", t.Lab.Value, t.Method.Value)
	}
	return t.Method.Value
}

func tables(labs []feeding.Lab) []string {
	names := make([]string, len(labs))
	for i, l := range labs {
		names[i] = fmt.Sprintf("%q (%s)", l.Name, l.Method)
	}
	return names
}
