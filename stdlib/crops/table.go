package crops

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"haulm/stdlib/quantity"
)

// The table, one fact a row: crop,value,low,high,unit,grade,source,how,aside,note. The crop is a name of
// names.csv or a group of groups.csv; the value is a name of the list in value.go; source is a key of
// sources.csv; how is seen or memory; aside says why a statement is told but does not set the value. A
// crop is added by a row in names.csv and its facts in the other files. families.csv has the names that
// families go by: name,family,source.
var (
	//go:embed family.csv
	familyCSV string
	//go:embed spacing.csv
	spacingCSV string
	//go:embed timing.csv
	timingCSV string
	//go:embed seed.csv
	seedCSV string
	//go:embed yield.csv
	yieldCSV string
	//go:embed water.csv
	waterCSV string
	//go:embed emergence.csv
	emergenceCSV string
	//go:embed names.csv
	namesCSV string
	//go:embed groups.csv
	groupsCSV string
	//go:embed families.csv
	familiesCSV string
	//go:embed sources.csv
	sourcesCSV string
)

// index is the table as read: the crops by name, and by every name they go by.
type index struct {
	crops    []*Crop
	byName   map[string]*Crop
	families map[string]string // by every name they go by
}

// table reads the embedded files once; that they read is tested, so failing here cannot happen.
var table = sync.OnceValue(func() index {
	t, err := read()
	if err != nil {
		panic(err)
	}
	return t
})

func mustRows(text string) [][]string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(err)
	}
	return rows[1:]
}

// reader gathers what the sources say of each crop until all files are read.
type reader struct {
	index
	members map[string][]*Crop // of a group, or of the crop's own name
	sources map[string]string
	said    map[*Crop]map[string][]statement
}

func read() (index, error) {
	r := &reader{members: map[string][]*Crop{}, sources: map[string]string{}, said: map[*Crop]map[string][]statement{}}
	r.byName, r.families = map[string]*Crop{}, map[string]string{}
	for _, row := range mustRows(sourcesCSV) {
		r.sources[row[0]] = row[1]
	}
	if err := r.readNames(); err != nil {
		return index{}, err
	}
	if err := r.readFamilies(); err != nil {
		return index{}, err
	}
	files := []struct{ name, text string }{
		{"family.csv", familyCSV}, {"spacing.csv", spacingCSV}, {"timing.csv", timingCSV},
		{"seed.csv", seedCSV}, {"yield.csv", yieldCSV}, {"water.csv", waterCSV},
	}
	for _, f := range files {
		for i, row := range mustRows(f.text) {
			if err := r.fact(row); err != nil {
				return index{}, fmt.Errorf("%s: row %d: %w", f.name, i+2, err)
			}
		}
	}
	for i, row := range mustRows(emergenceCSV) {
		if err := r.cell(row); err != nil {
			return index{}, fmt.Errorf("emergence.csv: row %d: %w", i+2, err)
		}
	}
	for _, c := range r.crops {
		if err := r.settle(c); err != nil {
			return index{}, fmt.Errorf("%s: %w", c.Name, err)
		}
	}
	return r.index, nil
}

func (r *reader) readNames() error {
	for _, row := range mustRows(namesCSV) {
		c := &Crop{Name: row[0], Ident: ident(row[0])}
		r.crops = append(r.crops, c)
		r.members[c.Name] = []*Crop{c}
		r.said[c] = map[string][]statement{}
		names := []string{c.Name}
		if row[1] != "" {
			names = append(names, strings.Split(row[1], "|")...)
		}
		for _, n := range names {
			if other := r.byName[fold(n)]; other != nil {
				return fmt.Errorf("names.csv: %q names both %s and %s", n, other.Name, c.Name)
			}
			r.byName[fold(n)] = c
		}
	}
	slices.SortFunc(r.crops, func(a, b *Crop) int { return strings.Compare(a.Ident, b.Ident) })
	for _, row := range mustRows(groupsCSV) {
		if r.members[row[0]] != nil {
			return fmt.Errorf("groups.csv: %q is there already", row[0])
		}
		for _, name := range strings.Split(row[1], "|") {
			m := r.members[name]
			if len(m) != 1 {
				return fmt.Errorf("groups.csv: %q of %q is not a crop", name, row[0])
			}
			r.members[row[0]] = append(r.members[row[0]], m[0])
		}
	}
	return nil
}

// fact reads one row and gives it to the crops that it speaks of.
func (r *reader) fact(row []string) error {
	members := r.members[row[0]]
	if members == nil {
		return fmt.Errorf("no crop or group is called %q", row[0])
	}
	s := statement{aside: row[8] != "", Stated: Stated{Grade: Grade(row[5]), Note: joined(row[8], row[9])}}
	var err error
	if s.Source, err = r.source(row[5], row[6]); err != nil {
		return err
	}
	if slices.Contains(words, row[1]) {
		s.Text = row[2]
	} else if s.Low, s.High, err = numbers(row); err != nil {
		return err
	}
	for _, c := range members {
		r.said[c][row[1]] = append(r.said[c][row[1]], s)
	}
	return nil
}

func (r *reader) source(grade, key string) (title string, err error) {
	title, ok := r.sources[key]
	switch {
	case !ok:
		return "", fmt.Errorf("no source has the key %q", key)
	case !slices.Contains(gradeOrder, Grade(grade)):
		return "", fmt.Errorf("%q is not a grade", grade)
	}
	return title, nil
}

// numbers reads the two ends of a fact in SI, or in days, weeks or years as its value is counted.
func numbers(row []string) (low, high float64, err error) {
	i := slices.IndexFunc(values, func(v value) bool { return v.name == row[1] })
	if i < 0 {
		return 0, 0, fmt.Errorf("no value is called %q", row[1])
	}
	read, ok := units()[unitKey{values[i].kind, row[4]}]
	if !ok {
		return 0, 0, fmt.Errorf("%s is not counted in %q", row[1], row[4])
	}
	if low, err = strconv.ParseFloat(row[2], 64); err != nil {
		return 0, 0, err
	}
	if high, err = strconv.ParseFloat(row[3], 64); err != nil {
		return 0, 0, err
	}
	if low > high {
		return 0, 0, fmt.Errorf("%s of %s: %g is above %g", row[1], row[0], low, high)
	}
	return read(low), read(high), nil
}

type unitKey struct {
	kind Kind
	unit string
}

// units tells how a number in a file's unit is read.
var units = sync.OnceValue(func() map[unitKey]func(float64) float64 {
	return map[unitKey]func(float64) float64{
		{Length, "in"}:          times(named("inch")),
		{Length, "m"}:           times(1),
		{Days, "days"}:          times(1),
		{Window, "weeks"}:       times(7),
		{FromFrost, "weeks"}:    times(7),
		{Weeks, "weeks"}:        times(1),
		{Years, "years"}:        times(1),
		{Number, "1"}:           times(1),
		{Percent, "%"}:          times(named("percent")),
		{Temperature, "F"}:      func(f float64) float64 { return quantity.Fahrenheit(f).SI },
		{PerMass, "1/oz"}:       times(1 / named("oz")),
		{PerLength, "1/100 ft"}: times(1 / (100 * named("ft"))),
		{Mass, "lb"}:            times(named("lb")),
		{LineMass, "lb/100 ft"}: times(named("lb") / (100 * named("ft"))),
		{Warmth, "F days"}:      times(named("degf_days")),
		{AreaMass, "cwt/ac"}:    times(100 * named("lb") / named("acre")), // the short hundredweight
	}
})

func times(factor float64) func(float64) float64 {
	return func(n float64) float64 { return n * factor }
}

func named(unit string) float64 {
	u, _ := quantity.UnitNamed(unit)
	return u.SI
}
