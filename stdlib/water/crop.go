package water

import (
	_ "embed"
	"sync"
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
	for _, r := range records("stages.csv", stagesCSV) {
		u := stages[r.text("crop")]
		if u == nil {
			u = &Use{StageSource: r.text("source")}
			stages[r.text("crop")] = u
		}
		u.Regions++
		s := &u.Stages
		s.Initial += r.number("initial")
		s.Development += r.number("development")
		s.Mid += r.number("mid")
		s.Late += r.number("late")
	}
	basal := map[string]record{}
	for _, r := range records("basal.csv", basalCSV) {
		basal[r.text("crop")] = r
	}
	out := map[string]Use{}
	for _, r := range records("names.csv", namesCSV) {
		u, b := *stages[r.text("stages")], basal[r.text("basal")]
		u.Stages = u.Stages.times(1 / float64(u.Regions))
		u.KcbInitial, u.KcbMid, u.KcbEnd, u.Height = b.number("kcb_initial"), b.pair("kcb_mid"), b.pair("kcb_end"), b.pair("height")
		u.KcMidTall, u.KcbMidTall = b.number("kc_mid_tall"), b.number("kcb_mid_tall")
		u.Like, u.BasalSource, u.Note = r.text("like"), b.text("source"), b.text("note")
		out[r.text("crop")] = u
	}
	return out
})
