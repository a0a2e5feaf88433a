package eval

import (
	"slices"
	"strings"
	"unicode/utf8"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"

	"go.starlark.net/starlark"
)

const (
	inch        = 0.0254
	metricUnits = quantity.Metric
	freezing    = 273.15
)

func farmBuiltins() []*Builtin {
	return []*Builtin{
		{
			Name: "farm", Group: "farm", Free: 1, Returns: "a farm",
			Summary: "names the farm and the season, once in a plan",
			Doc: "Sets what holds for the whole plan: the year, the units that every table and message uses, the " +
				"site with its frosts, and how much room people and machines need between beds and at the rows' ends.",
			Example: `farm("Ferry Bank", year = 2027, site = here, units = "us", access = 30 * inch)`,
			Params: []Param{
				text("name", "what the farm is called").required(),
				whole("year", "the year of the season").required().between(1900, 2200).also("season"),
				handle("site", "site", "where the farm lies; frost checks need it"),
				choice("units", "US customary or metric, in every output", "us", "metric").or(`"us"`, "us").also("unit", "system"),
				length("access", "clear width needed between beds to walk, kneel or push a cart").
					or("30 * inch", quantity.Meters(30*inch)).between(0, 10),
				length("spray_access", "clear width needed between the grown plants of tall rows, so that a sprayer reaches both faces; "+
					"not checked when not given").between(0, 10),
				length("turning", "room needed at the rows' ends to turn; as much as access when not given").between(0, 30),
				handle("crew", "crew", "the hands there are"),
			},
			build: buildFarm,
		},
		{
			Name: "site", Also: []string{"location", "place"}, Group: "farm", Returns: "a site",
			Summary: "says where the farm lies and when its frosts fall",
			Doc: "The frosts are the average dates of the last one in spring and the first one in fall, as your " +
				"weather service gives them. `here.last_frost` and `here.first_frost` are dates to plan from; south " +
				"of the equator the first frost may come before the last within one year.",
			Example: `here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")`,
			Params: []Param{
				number("latitude", "degrees, north positive").required().between(-90, 90).also("lat"),
				number("longitude", "degrees, east positive").between(-180, 180).also("lon", "lng", "long"),
				length("elevation", "above the sea").between(-450, 6000).also("altitude", "height"),
				date("last_frost", "average last frost before the season").required().also("spring_frost", "last_spring_frost"),
				date("first_frost", "average first frost after the season").required().also("fall_frost", "autumn_frost", "first_fall_frost"),
				handle("climate", "climate", "monthly normals"),
				handle("weather", "weather", "daily weather, which goes before the normals on the days it covers"),
				flag("coast", "the sea or a large lake is near: days and nights differ less there"),
				flag("arid", "dry land all around: the night brings no dew"),
			},
			build: buildSite,
		},
		{
			Name: "climate", Also: []string{"normals"}, Group: "farm", Returns: "a climate",
			Summary: "gives the monthly normals of a place",
			Doc: "From your weather service, or a station near by. Soil temperature is that at sowing depth. " +
				"Reference evapotranspiration is worked out from the least and greatest temperatures and whatever " +
				"else is given, unless `reference_et` gives it.",
			Example: `climate(soil_temperature = {"mar": degf(44), "apr": degf(54), "may": degf(63)})`,
			Params: []Param{
				months("soil_temperature", quantity.Temperature, "at sowing depth").between(freezing-40, freezing+60),
				months("tmin", quantity.Temperature, "mean least temperature of the air in a day").between(freezing-70, freezing+50),
				months("tmax", quantity.Temperature, "mean greatest temperature of the air in a day").between(freezing-70, freezing+60),
				months("humidity", quantity.Ratio, "mean relative humidity").between(0, 1).usually("percent"),
				months("wind", quantity.Speed, "mean speed at 2 m (6.5 ft) above the ground").between(0, 40),
				months("sunshine", quantity.Time, "bright sun in a day").between(0, 86400).usually("hours"),
				months("rain", quantity.Length, "in the month").between(0, 5),
				months("reference_et", quantity.Speed, "reference evapotranspiration for a day, such as 5 * mm / days").between(0, 25e-3/86400),
			},
			build: buildClimate,
		},
		{
			Name: "weather", Group: "farm", Free: 1, Returns: "weather",
			Summary: "reads daily weather from a file",
			Doc: "A comma-separated file below the plan's root, its path relative to the file that names it. The " +
				"first line names the columns, each with its unit: `date, tmin (degF), tmax (degF)` and, where " +
				"measured, `rain (in)`, `humidity (%)`, `wind (mph)`, `sunshine (h)`, `radiation (MJ/m2)`. A date a " +
				"line, in order; an empty cell where nothing was measured.",
			Example: `weather("./weather.csv")`,
			Params: []Param{
				text("file", "path of the file").required(),
			},
			build: buildWeather,
		},
	}
}

func buildFarm(c *call) starlark.Value {
	f := c.ev.farm
	c.ev.farms++
	if c.ev.farms > 1 {
		c.ev.report(c.finding(secondFarm, c.callee, "a second farm is declared; the plan is for %s", f.Name.Value).
			related(f.Call, "the first one"))
		return c.ev.handle(farmHandle, f)
	}
	f.Decl = c.decl()
	f.Name, f.Year = c.text("name"), c.whole("year")
	f.Units, _ = quantity.ParseSystem(c.text("units").Value)
	c.ev.units = f.Units
	f.Access, f.SprayAccess, f.Turning = c.quantity("access"), c.quantity("spray_access"), c.quantity("turning")
	f.Site, f.Crew = handleArg[*farm.Site](c, "site"), handleArg[*farm.Crew](c, "crew")
	f.SiteSpan = c.spanOf("site")
	return c.ev.handle(farmHandle, f)
}

func buildSite(c *call) starlark.Value {
	d := &farm.Site{
		Decl: c.decl(), Latitude: c.number("latitude"), Longitude: c.number("longitude"),
		Elevation: c.quantity("elevation"), LastFrost: c.date("last_frost"), FirstFrost: c.date("first_frost"),
		Climate: handleArg[*farm.Climate](c, "climate"), Weather: handleArg[*farm.Weather](c, "weather"),
		Coast: c.flag("coast"), Arid: c.flag("arid"),
	}
	c.ev.farm.Sites = append(c.ev.farm.Sites, d)
	return c.ev.handle(siteHandle, d)
}

func buildClimate(c *call) starlark.Value {
	d := &farm.Climate{
		Decl: c.decl(), SoilTemperature: c.months("soil_temperature"), TMin: c.months("tmin"), TMax: c.months("tmax"),
		Humidity: c.months("humidity"), Wind: c.months("wind"), Sunshine: c.months("sunshine"), Rain: c.months("rain"),
		ReferenceET: c.months("reference_et"),
	}
	c.ev.farm.Climates = append(c.ev.farm.Climates, d)
	return c.ev.handle(climateHandle, d)
}

func buildWeather(c *call) starlark.Value {
	d := &farm.Weather{Decl: c.decl(), File: c.text("file")}
	text, problem := c.ev.readBeside(c.module, d.File.Value)
	if problem == nil {
		var err error
		if d.Days, err = season.ReadWeather(strings.NewReader(text)); err != nil {
			problem = finding(badWeather, source.Span{}, "%s: %s", d.File.Value, err)
		}
	}
	if problem != nil {
		problem.Primary.Span = d.File.Span
		c.ev.report(problem.chain(d.Chain))
		return poison{}
	}
	c.ev.farm.Weathers = append(c.ev.farm.Weathers, d)
	return c.ev.handle(weatherHandle, d)
}

// reportNoFarm points at the entry's first line, unless another finding says why there is no farm: its
// call was refused, a part of the text that could not be read may hold it, or the run did not come to it.
func (ev *evaluator) reportNoFarm() {
	unread := slices.ContainsFunc(ev.result.Findings, func(d diag.Diagnostic) bool {
		return d.Rule.Severity == diag.Error && slices.Contains(syntax.Rules(), d.Rule)
	})
	if len(ev.result.Files) == 0 || ev.noFarm || unread || ev.isSpent() {
		return
	}
	entry := ev.result.Files[0]
	f := finding(noFarm, firstLine(entry), "the plan never says which farm and year it is for")
	if strings.TrimSpace(entry.Text) == "" {
		f = finding(noFarm, firstLine(entry), "%s is empty", entry.Path)
	}
	ev.report(f.help("begin with farm(\"Name\", year = 2027, ...)"))
}

func firstLine(f *source.File) source.Span {
	start := source.Point{Line: 1, Col: 1}
	end := source.Point{Line: 1, Col: int32(utf8.RuneCountInString(f.Line(1))) + 1}
	return source.Span{File: f, Start: start, End: end}
}
