package water

import (
	_ "embed"
	"sync"

	"haulm/stdlib/table"
)

// Use is what FAO-56 says of a crop's use of water, beside the single coefficients and the roots that the
// crop table holds.
type Use struct {
	Stages      Stages  // each stage's mean over the regions printed, days; fit them to a planting's own dates
	Regions     int     // printed
	KcbInitial  float64 // basal coefficients
	KcbMid      Range
	KcbEnd      Range
	Height      Range   // at full growth, m
	KcMidTall   float64 // single coefficient of a crop held up to 1.5 to 2 m; 0 where there is none
	KcbMidTall  float64 // basal one
	Like        string  // the crop whose stages (and, where it has none of its own, figures) stand for it, by common practice; "" when they are its own
	StageSource string
	BasalSource string
	Note        string
}

// The tables: Table 11 of FAO-56, the basal part of its Tables 12 and 17, and the names that the crop table
// calls their crops by.
var (
	//go:embed stages.csv
	stagesCSV string
	//go:embed basal.csv
	basalCSV string
	//go:embed names.csv
	namesCSV string
)

// UseOf gives a crop's use of water by the name the crop table has for it, such as "bell pepper".
func UseOf(crop string) (Use, bool) {
	u, ok := uses()[crop]
	return u, ok
}

var uses = sync.OnceValue(func() map[string]Use {
	stages := map[string]*Use{}
	for _, r := range table.Read("stages.csv", stagesCSV) {
		u := stages[r.Text("crop")]
		if u == nil {
			u = &Use{StageSource: r.Text("source")}
			stages[r.Text("crop")] = u
		}
		u.Regions++
		s := &u.Stages
		s.Initial += r.Number("initial", 0)
		s.Development += r.Number("development", 0)
		s.Mid += r.Number("mid", 0)
		s.Late += r.Number("late", 0)
	}
	basal := map[string]table.Row{}
	for _, r := range table.Read("basal.csv", basalCSV) {
		basal[r.Text("crop")] = r
	}
	out := map[string]Use{}
	for _, r := range table.Read("names.csv", namesCSV) {
		u, b := *stages[r.Text("stages")], basal[r.Text("basal")]
		u.Stages = u.Stages.times(1 / float64(u.Regions))
		u.KcbInitial, u.KcbMid, u.KcbEnd, u.Height = b.Number("kcb_initial", 0), pair(b, "kcb_mid"), pair(b, "kcb_end"), pair(b, "height")
		u.KcMidTall, u.KcbMidTall = b.Number("kc_mid_tall", 0), b.Number("kcb_mid_tall", 0)
		u.Like, u.BasalSource, u.Note = r.Text("like"), b.Text("source"), b.Text("note")
		out[r.Text("crop")] = u
	}
	return out
})
