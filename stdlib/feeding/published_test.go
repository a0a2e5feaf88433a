package feeding

import (
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// given are the inputs of a published row: "need=3; share=21".
type given struct {
	t     *testing.T
	cell  map[string]string
	asked map[string]bool
}

func (g given) text(name string) string {
	require.Contains(g.t, g.cell, name)
	g.asked[name] = true
	return g.cell[name]
}

func (g given) n(name string) float64 { return number(g.t, g.text(name)) }

func number(t *testing.T, text string) float64 {
	n, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return n
}

// product of a single nutrient.
func (g given) product() Product {
	return Product{Name: "source", Analysis: Nutrients{N: g.n("share") / 100}}
}

const poundPer1000SquareFeet = pound / (1000 * foot * foot)

// numbers are the checks whose answer is a number.
var numbers = map[string]func(given) float64{
	"product mass": func(g given) float64 {
		mass, ok := g.product().MassFor(N, g.n("need")*pound)
		require.True(g.t, ok)
		return mass / pound
	},
	"nutrient mass":  func(g given) float64 { return g.product().Holds(g.n("mass")*pound).N / pound },
	"rate on ground": func(g given) float64 { return g.n("rate") * poundPer1000SquareFeet * g.ground() / pound },
	"rate from product": func(g given) float64 {
		return g.product().Holds(g.n("mass")*pound).N / g.ground() / poundPer1000SquareFeet
	},
	"rate on row": func(g given) float64 {
		return g.n("rate") * poundPerAcre * RowArea(g.n("feet")*foot, g.n("between")*inch) / pound
	},
	"untested": func(g given) float64 {
		return NeedUntested().Mid().Of(Nutrient(g.text("nutrient"))) / poundPer1000SquareFeet
	},
	"P to P2O5":       func(g given) float64 { return OxideOfP(g.n("mass")) },
	"P2O5 to P":       func(g given) float64 { return POfOxide(g.n("mass")) },
	"K to K2O":        func(g given) float64 { return OxideOfK(g.n("mass")) },
	"K2O to K":        func(g given) float64 { return KOfOxide(g.n("mass")) },
	"ppm to lb/ac":    func(g given) float64 { return SoilMass(g.n("ppm")*ppm, g.n("inches")*inch) / poundPerAcre },
	"lb/ac to ppm":    func(g given) float64 { return SoilShare(g.n("pounds")*poundPerAcre, g.n("inches")*inch) / ppm },
	"manganese index": func(g given) float64 { return ManganeseIndex(g.n("ppm")*ppm, g.n("ph")) },
	"volume": func(g given) float64 {
		volume, ok := Product{Density: g.n("density")}.Volume(g.n("mass"))
		require.True(g.t, ok)
		return volume * 1000
	},
	"measure mass": func(g given) float64 {
		return g.n("ounces") * ounce / pint * g.n("cups") * cup / pound
	},
	"cup of material": func(g given) float64 { return g.material().Density * cup / pound },
	"cover crop": func(g given) float64 {
		return CoverCrop(g.n("tons")*tonPerAcre, g.n("percent")/100, g.text("under") == "yes").N.Mid() / poundPerAcre
	},
	"lime by table": func(g given) float64 {
		for _, r := range Lime(g.text("texture"), g.n("from"), limeTop) {
			if strings.HasPrefix(r.Source.Title, g.text("table")) {
				if g.text("table") == "vcalc" {
					return r.Carbonate / poundPer1000SquareFeet
				}
				return r.Carbonate / poundPer100SquareFeet
			}
		}
		require.Fail(g.t, "no such table")
		return 0
	},
	"stock": func(g given) float64 {
		return Stock(g.n("ppm")*ppm, g.n("ratio"), g.n("share")/100, gallon) / ounce
	},
	"ppm in water": func(g given) float64 {
		mass, volume := 0.0, 0.0
		for name, unit := range map[string]float64{"ounces": ounce, "pounds": pound, "grams": 0.001} {
			if g.cell[name] != "" {
				mass = g.n(name) * unit
			}
		}
		for name, unit := range map[string]float64{"gallons": gallon, "liters": 0.001} {
			if g.cell[name] != "" {
				volume = g.n(name) * unit
			}
		}
		return Inject(Strength(mass, g.n("share")/100, volume), volume, 1, 1).Concentration / ppm
	},
	"injection rate": func(g given) float64 {
		volume, seconds := g.n("gallons")*gallon, g.n("hours")*3600
		in := Inject(1, volume, volume/seconds, 1)
		require.InDelta(g.t, seconds, in.Seconds, 1e-6)
		return in.Rate / gallon * 3600
	},
	"injector for ppm": func(g given) float64 {
		flow := g.n("gpm") * gallon / 60
		return InjectFor(g.n("ppm")*ppm, g.n("percent")/100*waterDensity, gallon, flow).Rate / gallon * 3600
	},
}

const (
	pint = gallon / 8
	cup  = gallon / 16
)

func (g given) ground() float64 { return g.n("length") * g.n("width") * foot * foot }

func (g given) material() Material {
	m, ok := MaterialNamed(g.text("material"))
	require.True(g.t, ok)
	return m
}

// texts are the checks whose answer is a text.
var texts = map[string]func(given) string{
	"mix": func(g given) string {
		var offers []Offer
		for analysis := range strings.SplitSeq(g.text("offers"), "|") {
			a, err := ParseAnalysis(analysis)
			require.NoError(g.t, err)
			offers = append(offers, Offer{Product: Product{Name: analysis, Analysis: a}, Price: 1, Buy: math.Inf(1)})
		}
		need, err := ParseAnalysis(g.text("need"))
		require.NoError(g.t, err)
		m, err := Blend(offers, need.Scale(100*pound), NoCaps())
		require.NoError(g.t, err)
		var parts []string
		for _, p := range m.Parts {
			parts = append(parts, fmt.Sprintf("%.2f lb %s", p.Mass()/pound, offers[p.Offer].Product.Name))
		}
		return strings.Join(parts, " and ")
	},
	"rating": func(g given) string {
		require.Equal(g.t, "lb/ac", g.text("unit"))
		var words []string
		for _, n := range []Nutrient{P, K} {
			v := quantity.Of(g.n(string(n))*poundPerAcre, quantity.AreaMass)
			r, err := Rate(g.text("lab"), g.text("method"), n, v, 0)
			require.NoError(g.t, err)
			words = append(words, r.Category)
		}
		return strings.Join(words, " / ")
	},
	"lime": func(g given) string {
		var rates []string
		for _, r := range Lime(g.text("texture"), g.n("from"), g.n("to")) {
			rates = append(rates, fmt.Sprintf("%.0f", r.Carbonate/poundPer1000SquareFeet))
		}
		return strings.Join(rates, " v ") + " lb/1000 sqft"
	},
	"lime passes": func(g given) string {
		passes := LimePasses(g.n("rate") * poundPer100SquareFeet)
		return fmt.Sprintf("%d of %g lb", passes, g.n("rate")/float64(passes))
	},
	"removal": func(g given) string {
		all := Removals(g.text("crop"), g.n("tons")*tonPerAcre)
		i := slices.IndexFunc(all, func(r Removal) bool { return r.Part == g.text("part") })
		require.GreaterOrEqual(g.t, i, 0)
		r := all[i]
		return fmt.Sprintf("%.3g,%.3g,%.3g", r.N.Mid()/poundPerAcre, r.P2O5.Mid()/poundPerAcre, r.K2O.Mid()/poundPerAcre)
	},
	"fresh release": func(g given) string {
		month, season := FreshRelease(g.n("percent") / 100)
		return fmt.Sprintf("%.3g / %.3g", month.Share.Mid(), season.Share.Mid())
	},
	"legume": func(g given) string {
		c, ok := LegumeNamed(g.text("what"))
		require.True(g.t, ok)
		return ends(c.N, poundPerAcre)
	},
	"manure nitrogen": func(g given) string {
		c, ok := FeedlotManure(int(g.n("year")))
		require.True(g.t, ok)
		return ends(c.N, 1.0/2000)
	},
	"release": func(g given) string {
		r, ok := ReleaseOf(g.text("kind"))
		require.True(g.t, ok)
		return ends(r.Share, 0.01)
	},
	"density": func(g given) string { return ends(g.material().Densities, pound/(foot*foot*foot)) },
	"need": func(g given) string {
		i := slices.Index(levelNames[:], g.text("level"))
		need, err := NeedOf(g.text("crop"), "loam", Rating{Level: Level(i)}, Rating{Level: Level(i)})
		require.NoError(g.t, err)
		require.True(g.t, need.Source.Unverified())
		return fmt.Sprintf("%s, %.4g, %.4g", ends(need.N, poundPerAcre), need.P2O5.Mid()/poundPerAcre, need.K2O.Mid()/poundPerAcre)
	},
	"latest manure": func(g given) string {
		harvest, err := season.Parse(g.text("harvest"))
		require.NoError(g.t, err)
		return LatestManure(harvest, g.text("soil") == "yes").String()
	},
	"compost": func(given) string { return fmt.Sprintf("%d days, %d turns", CompostDaysWindrow, CompostTurns) },
}

func ends(s Span, unit float64) string { return fmt.Sprintf("%.4g-%.4g", s.Low/unit, s.High/unit) }

// TestPublished holds every row of testdata/published/feeding.csv: what is named in check gives the published number within
// the row's tolerance, or the published text. A row that its source or the house contradicts gives the number in ours
// instead, and not the published one; its note says why.
func TestPublished(t *testing.T) {
	f, err := os.Open("../../testdata/published/feeding.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	counts, seen, used := map[string]int{}, map[string]bool{}, map[string]bool{}
	for _, row := range rows[1:] {
		id, check, inputs, expected, within, status, ours, how, source, note :=
			row[0], row[1], row[2], row[3], row[4], row[6], row[7], row[8], row[9], row[10]
		require.False(t, seen[id], "%s is there twice", id)
		seen[id], used[check] = true, true
		passed := t.Run(id, func(t *testing.T) {
			require.NotEmpty(t, source)
			require.Contains(t, []string{"seen", "seen-inputs", "memory", "computed"}, how)
			g := given{t, map[string]string{}, map[string]bool{}}
			for part := range strings.SplitSeq(inputs, "; ") {
				if name, value, ok := strings.Cut(part, "="); ok {
					g.cell[name] = value
				}
			}
			if say := texts[check]; say != nil {
				require.Equal(t, "met", status)
				require.Equal(t, expected, say(g))
			} else {
				work := numbers[check]
				require.NotNil(t, work, "no check is called %q", check)
				got, tolerance := work(g), number(t, within)*(1+1e-9)+1e-12
				if status == "contradicted" {
					require.Greater(t, math.Abs(got-number(t, expected)), tolerance)
					require.NotEmpty(t, note)
					require.InDelta(t, number(t, ours), got, 1e-4*got)
				} else {
					require.Equal(t, "met", status)
					require.InDelta(t, number(t, expected), got, tolerance)
				}
			}
			for name := range g.cell {
				require.True(t, g.asked[name], "the check does not use %s", name)
			}
		})
		if passed {
			counts[status+", "+how]++
		}
	}
	total := 0
	for _, kind := range slices.Sorted(maps.Keys(counts)) {
		t.Logf("%3d %s", counts[kind], kind)
		total += counts[kind]
	}
	t.Logf("%3d of %d rows hold", total, len(rows)-1)
	require.Equal(t, len(rows)-1, total)
	require.GreaterOrEqual(t, total, 120)
	for _, name := range append(slices.Collect(maps.Keys(numbers)), slices.Collect(maps.Keys(texts))...) {
		require.True(t, used[name], "no row uses the check %q", name)
	}
}
