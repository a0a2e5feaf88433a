package crops

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// words are the values that are told in a word.
var words = []string{"family", "started", "frost", "sale_unit"}

// settle fills a crop in from what was said of it.
func (r *reader) settle(c *Crop) error {
	said := r.said[c]
	for _, v := range values {
		if rows := said[v.name]; rows != nil {
			*v.field(c) = settle(rows, v.joins)
			v.field(c).Dim = v.kind.dim()
		}
	}
	if c.DegreeUpper.Known() {
		c.DegreeMethod = season.CappedDegrees
	}
	c.FamilySource, _ = settleWord(said["family"])
	c.Family = c.FamilySource.Text
	c.SaleSource, _ = settleWord(said["sale_unit"])
	c.SaleUnit = c.SaleSource.Text
	c.StartSource, c.StartOthers = settleWord(said["started"])
	c.FrostSource, c.FrostOthers = settleWord(said["frost"])
	switch c.StartSource.Text {
	case "transplant":
		c.Transplant = true
	case "direct":
		c.Direct = true
	case "transplant or direct":
		c.Transplant, c.Direct = true, true
	default:
		return fmt.Errorf("started as %q", c.StartSource.Text)
	}
	var ok bool
	if c.Frost, ok = ParseFrost(c.FrostSource.Text); !ok {
		return fmt.Errorf("%q is not a frost class", c.FrostSource.Text)
	}
	slices.SortFunc(c.Emergence, func(a, b Emergence) int { return cmp.Compare(a.Celsius, b.Celsius) })
	return nil
}

// settleWord takes the first word of the best grade.
func settleWord(said []statement) (Stated, []Stated) {
	var open []statement
	for _, s := range said {
		if !s.aside {
			open = append(open, s)
		}
	}
	if len(open) == 0 {
		return Stated{}, others(said, nil, -1)
	}
	slices.SortStableFunc(open, func(a, b statement) int { return byGrade(a.Grade, b.Grade) })
	return open[0].Stated, others(said, open, 0)
}

// cell reads one row of the germination trial: crop,fahrenheit,days,normal_percent,grade,source,how.
// "NG" did not germinate; temperatures that were not tested have no row.
func (r *reader) cell(row []string) error {
	members := r.members[row[0]]
	if members == nil {
		return fmt.Errorf("no crop or group is called %q", row[0])
	}
	title, err := r.source(row[4], row[5])
	if err != nil {
		return err
	}
	e := Emergence{Days: math.NaN(), NormalPct: math.NaN(), Source: title, Grade: Grade(row[4])}
	f, err := strconv.ParseFloat(row[1], 64)
	if err != nil {
		return err
	}
	e.Celsius = quantity.Fahrenheit(f).Celsius()
	if row[2] != "NG" {
		e.Sprouts = true
		if e.Days, err = strconv.ParseFloat(row[2], 64); err != nil {
			return err
		}
	}
	if row[3] != "" {
		if e.NormalPct, err = strconv.ParseFloat(row[3], 64); err != nil {
			return err
		}
	}
	for _, c := range members {
		c.Emergence = append(c.Emergence, e)
	}
	return nil
}
