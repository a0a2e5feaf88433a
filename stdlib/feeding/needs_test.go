package feeding

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func rated(lab string, l Level) Rating { return Rating{Lab: Lab{Name: lab}, Level: l} }

func TestNeedOf(t *testing.T) {
	rutgers := func(l Level) Rating { return rated("rutgers", l) }
	florida := func(l Level) Rating { return rated("florida before 2010", l) }
	for _, c := range []struct {
		name, crop, texture string
		p, k                Rating
		table               string
		n                   Span
		p2o5, k2o           float64 // lb/ac
		others              int
	}{
		{"P and K by their own ratings", "tomato", "loam", rutgers(Low), rutgers(High), "Southeast", Span{75, 80}, 200, 100, 0},
		{"more potash on sand", "tomato", "sandy loam", rutgers(Low), rutgers(Medium), "Southeast", Span{80, 90}, 200, 200, 0},
		{"very low as low", "sweet_corn", "loam", rutgers(VeryLow), rutgers(VeryLow), "Southeast", Span{110, 155}, 160, 160, 0},
		{"a starter where the soil is rich", "sweet_corn", "loam", rutgers(VeryHigh), rutgers(VeryHigh), "Southeast", Span{110, 155}, 20, 20, 0},
		{"the laboratory's own table first", "tomato", "loam", florida(VeryLow), florida(Medium), "Florida", Span{200, 200}, 150, 100, 1},
		{"two laboratories have no table together", "tomato", "loam", florida(Low), rutgers(Medium), "Southeast", Span{75, 80}, 200, 150, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			need, err := NeedOf(c.crop, c.texture, c.p, c.k)
			require.NoError(t, err)
			require.Equal(t, c.table, need.Table)
			require.InDelta(t, c.n.Low, need.Low().N/poundPerAcre, 1e-9)
			require.InDelta(t, c.n.High, need.High().N/poundPerAcre, 1e-9)
			require.InDelta(t, c.p2o5, need.Mid().P2O5/poundPerAcre, 1e-9)
			require.InDelta(t, c.k2o, need.Mid().K2O/poundPerAcre, 1e-9)
			require.Len(t, need.Others, c.others)
			require.True(t, need.Source.Unverified(), "no table of needs was read")
		})
	}
}

func TestNeedUnknown(t *testing.T) {
	for _, c := range []struct{ crop, want string }{
		{"zinnia", "no need is known for zinnia: no table has it; give the laboratory's own recommendation, or the need itself"},
		{"strawberry", `no need is known for strawberry: the Florida table is for the ratings of the laboratory "florida before 2010" alone; give the laboratory's own recommendation, or the need itself`},
	} {
		_, err := NeedOf(c.crop, "loam", rated("rutgers", Low), rated("rutgers", Low))
		require.EqualError(t, err, c.want)
	}
	_, err := NeedOf("tomato", "loam", Rating{}, rated("rutgers", Low))
	require.ErrorContains(t, err, "P and K must be rated first")
}

// TestNeedFalls: richer soil never needs more.
func TestNeedFalls(t *testing.T) {
	for crop := range needRows() {
		for _, lab := range []string{"rutgers", "florida before 2010"} {
			for _, texture := range []string{"loam", "sand"} {
				last := Nutrients{N: 1, P2O5: 1, K2O: 1}
				for l := VeryLow; l <= VeryHigh; l++ {
					need, err := NeedOf(crop, texture, rated(lab, l), rated(lab, l))
					if err != nil {
						require.Equal(t, "rutgers", lab, crop)
						continue
					}
					require.LessOrEqual(t, need.High().P2O5, last.P2O5, crop)
					require.LessOrEqual(t, need.High().K2O, last.K2O, crop)
					require.Positive(t, need.Low().N, crop)
					last = need.High()
				}
			}
		}
	}
}

func TestSplit(t *testing.T) {
	for crop := range splits() {
		portions, source, ok := Split(crop)
		require.True(t, ok)
		sum := 0.0
		for i, p := range portions {
			sum += p.Share
			require.Equal(t, i == 0, p.Stage == BeforePlanting, crop)
			require.Equal(t, p.Stage == AfterPlanting, p.Days.Low > 0, crop)
		}
		require.InDelta(t, 1, sum, 1e-12, crop)
		require.True(t, source.Unverified())
	}
	portions, _, _ := Split("broccoli")
	require.Equal(t, []Portion{
		{Share: 0.5, Stage: BeforePlanting}, {Share: 0.25, Stage: AfterPlanting, Days: Span{14, 21}},
		{Share: 0.25, Stage: AfterPlanting, Days: Span{35, 42}},
	}, portions)
	_, _, ok := Split("carrot")
	require.False(t, ok, "the tables do not split carrots' nitrogen")
}

// TestRemovalParts: where a crop's parts were printed, they add up to the whole plant, and twice the yield takes
// twice as much.
func TestRemovalParts(t *testing.T) {
	for _, crop := range []string{"broccoli", "carrot", "muskmelon"} {
		all := Removals(crop, 1)
		require.Equal(t, []bool{false, false, true}, []bool{all[0].Whole, all[1].Whole, all[2].Whole})
		require.InDelta(t, all[2].N.Mid(), all[0].N.Mid()+all[1].N.Mid(), 1e-12, crop)
		require.InDelta(t, 2*all[0].K2O.Low, Removals(crop, 2)[0].K2O.Low, 1e-12)
	}
	eggplant := Removals("eggplant", 1)[0]
	require.False(t, eggplant.KnowsK)
	require.Contains(t, eggplant.Source.Note, "left out")
	require.Empty(t, Removals("okra", 1))
}

func TestCredits(t *testing.T) {
	require.InDelta(t, 30, OrganicMatter(0.03).N.Low/poundPerAcre, 1e-9)
	require.InDelta(t, 60, OrganicMatter(0.03).N.High/poundPerAcre, 1e-9)
	require.InDelta(t, 56, CoverCrop(2*tonPerAcre, 0.035, false).N.Mid()/poundPerAcre, 1e-9)
	_, ok := FeedlotManure(3)
	require.False(t, ok)
	_, ok = LegumeNamed("rye")
	require.False(t, ok)
	require.Len(t, Legumes(), 5)
	_, ok = ReleaseOf("fresh residue, season")
	require.False(t, ok, "a curve is no single share")
}

// TestFreshReleaseRises: richer residues give more, in the season at least what they give in a month.
func TestFreshReleaseRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0, 0.1).Draw(t, "poorer"), rapid.Float64Range(0, 0.1).Draw(t, "richer")
		if a > b {
			a, b = b, a
		}
		month, season := FreshRelease(a)
		richMonth, richSeason := FreshRelease(b)
		require.LessOrEqual(t, month.Share.Mid(), richMonth.Share.Mid()+1e-12)
		require.LessOrEqual(t, season.Share.Mid(), richSeason.Share.Mid()+1e-12)
		require.LessOrEqual(t, month.Share.Mid(), season.Share.Mid()+1e-12)
		require.True(t, month.Share.Low >= 0 && richSeason.Share.High <= 0.75+1e-12)
	})
}

// TestLimeAddsUp: liming in two steps takes what one does, and every texture's rates fall with the pH.
func TestLimeAddsUp(t *testing.T) {
	require.Equal(t, []string{"clay", "clay loam", "loam", "sand", "sandy loam"}, LimeTextures())
	rapid.Check(t, func(t *rapid.T) {
		texture := rapid.SampledFrom(LimeTextures()).Draw(t, "texture")
		from := rapid.Float64Range(4, 6.3).Draw(t, "from")
		to := rapid.Float64Range(from+0.1, 6.5).Draw(t, "to")
		mid := (from + to) / 2
		whole, first, second := Lime(texture, from, to), Lime(texture, from, mid), Lime(texture, mid, to)
		for i := range whole {
			require.Positive(t, whole[i].Carbonate)
			require.InDelta(t, whole[i].Carbonate, first[i].Carbonate+second[i].Carbonate, 1e-9)
		}
	})
	require.Empty(t, Lime("loam", 6.5, 6.5))
	require.Empty(t, Lime("loam", 3.9, 6.5))
	require.Empty(t, Lime("loam", 6, 7), "the tables end at 6.5")
	require.Empty(t, Lime("silt", 5, 6.5))
	require.InDelta(t, 10/0.9, LimeProduct(10, 0.9), 1e-12)
}

func TestAcidity(t *testing.T) {
	require.Equal(t, Span{5, 5.5}, AcidityOf("potato").PH)
	require.Equal(t, Span{5.5, 6.8}, AcidityOf("seedless_watermelon").PH)
	general := AcidityOf("kale")
	require.Equal(t, Span{6, 7}, general.PH)
	require.True(t, general.General)
	require.False(t, general.Source.Unverified())
}
