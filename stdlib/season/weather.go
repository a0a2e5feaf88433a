package season

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Weather is a series of days in order, without two of one date; days may be missing between them.
type Weather []WeatherDay

// WeatherDay is what was measured on a day. All but Date may be NaN.
type WeatherDay struct {
	Date       Date
	TMin, TMax float64 // of the air, °C
	Rain       float64 // mm
	Humidity   float64 // mean, percent
	Wind       float64 // mean at 2 m, m/s
	Sunshine   float64 // hours of bright sun
	Radiation  float64 // of the sun on the ground, MJ/m2
}

// weatherColumn is a column that a weather file may have: its name, the field it fills, and the factor and
// offset that bring each unit to the field's: value = (number + offset) * factor.
type weatherColumn struct {
	name  string
	field func(*WeatherDay) *float64
	units map[string][2]float64 // unit to offset and factor
	least float64
	most  float64
}

var weatherColumns = []weatherColumn{
	{"tmin", func(d *WeatherDay) *float64 { return &d.TMin }, temperatureUnits, -90, 60},
	{"tmax", func(d *WeatherDay) *float64 { return &d.TMax }, temperatureUnits, -90, 60},
	{"rain", func(d *WeatherDay) *float64 { return &d.Rain }, map[string][2]float64{"mm": {0, 1}, "in": {0, 25.4}, "inch": {0, 25.4}}, 0, 2000},
	{"humidity", func(d *WeatherDay) *float64 { return &d.Humidity }, map[string][2]float64{"percent": {0, 1}, "%": {0, 1}, "pct": {0, 1}}, 0, 100},
	{"wind", func(d *WeatherDay) *float64 { return &d.Wind }, map[string][2]float64{"m/s": {0, 1}, "mps": {0, 1}, "mph": {0, 0.44704}, "km/h": {0, 1 / 3.6}, "kmh": {0, 1 / 3.6}}, 0, 120},
	{"sunshine", func(d *WeatherDay) *float64 { return &d.Sunshine }, map[string][2]float64{"h": {0, 1}, "hours": {0, 1}}, 0, 24},
	{"radiation", func(d *WeatherDay) *float64 { return &d.Radiation }, map[string][2]float64{"mj/m2": {0, 1}, "mj": {0, 1}, "w/m2": {0, 0.0864}}, 0, 60},
}

var temperatureUnits = map[string][2]float64{
	"c": {0, 1}, "degc": {0, 1}, "°c": {0, 1},
	"f": {-32, 5.0 / 9}, "degf": {-32, 5.0 / 9}, "°f": {-32, 5.0 / 9},
}

// ReadWeather reads a file of daily weather: comma-separated, a heading of the names date, tmin, tmax and,
// as far as they were measured, rain, humidity, wind, sunshine and radiation, each but date with its unit
// in brackets or after an underscore ("tmin (degF)", "rain_mm"); a date a line in order, an empty cell
// where nothing was measured. The error says the line, the column and what belongs there.
func ReadWeather(r io.Reader) (Weather, error) {
	in := csv.NewReader(r)
	in.TrimLeadingSpace = true
	head, err := in.Read()
	if err != nil {
		return nil, errors.New("the file is empty; its first line names the columns: date, tmin (degF), tmax (degF), rain (in)")
	}
	columns, err := readHeading(head)
	if err != nil {
		return nil, err
	}
	var days Weather
	for {
		cells, err := in.Read()
		if err == io.EOF {
			return days, nil
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) && errors.Is(err, csv.ErrFieldCount) {
			return nil, fmt.Errorf("line %d has not as many cells as the heading, %d", bad.Line, len(head))
		} else if err != nil {
			return nil, fmt.Errorf("the file cannot be read as comma-separated text: %w", err)
		}
		line, _ := in.FieldPos(0)
		day, err := readDay(cells, columns)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		if n := len(days); n > 0 && day.Date <= days[n-1].Date {
			return nil, fmt.Errorf("line %d: %s does not come after %s; list the days in order, each once", line, day.Date, days[n-1].Date)
		}
		days = append(days, day)
	}
}

// headed is one column of a file; a nil column is the date.
type headed struct {
	column *weatherColumn
	title  string
	unit   [2]float64
}

func readHeading(head []string) ([]headed, error) {
	var out []headed
	seen := map[string]bool{}
	for _, title := range head {
		title = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(title, "\ufeff")))
		name, unit, _ := strings.Cut(strings.NewReplacer("(", "_", "[", "_", ")", "", "]", "", " ", "").Replace(title), "_")
		if seen[name] {
			return nil, fmt.Errorf("the column %s stands twice in the heading", name)
		}
		seen[name] = true
		if name == "date" {
			out = append(out, headed{title: name})
			continue
		}
		i := slices.IndexFunc(weatherColumns, func(c weatherColumn) bool { return c.name == name })
		if i < 0 {
			return nil, fmt.Errorf("there is no use for a column called %q; columns are date, tmin, tmax, rain, humidity, wind, sunshine and radiation", title)
		}
		c := &weatherColumns[i]
		factor, ok := c.units[unit]
		if !ok {
			return nil, fmt.Errorf("the column %s has the unit %q; write it as one of %s", name, unit, unitsOf(c))
		}
		out = append(out, headed{c, name, factor})
	}
	for _, name := range []string{"date", "tmin", "tmax"} {
		if !seen[name] {
			return nil, fmt.Errorf("the heading has no column %s", name)
		}
	}
	return out, nil
}

func unitsOf(c *weatherColumn) string {
	var names []string
	for u := range c.units {
		names = append(names, c.name+" ("+u+")")
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

func readDay(cells []string, columns []headed) (WeatherDay, error) {
	nan := math.NaN()
	day := WeatherDay{TMin: nan, TMax: nan, Rain: nan, Humidity: nan, Wind: nan, Sunshine: nan, Radiation: nan}
	for i, h := range columns {
		cell := strings.TrimSpace(cells[i])
		if h.column == nil {
			d, err := Parse(cell)
			if err != nil {
				return day, err
			}
			day.Date = d
			continue
		}
		if cell == "" {
			continue
		}
		n, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			return day, fmt.Errorf("%s is %q; a number belongs there, or nothing", h.title, cell)
		}
		v := (n + h.unit[0]) * h.unit[1]
		if !(v >= h.column.least && v <= h.column.most) {
			return day, fmt.Errorf("%s is %s, which is beyond anything measured on earth; is its unit right?", h.title, cell)
		}
		*h.column.field(&day) = v
	}
	if day.TMin > day.TMax {
		return day, fmt.Errorf("tmin is above tmax")
	}
	return day, nil
}
