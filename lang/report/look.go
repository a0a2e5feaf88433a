package report

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"haulm/lang/derive"
)

// Colours of the map's ground and print.
const (
	paperColor = "#fdfbf5"
	plotColor  = "#f1eadb"
	bedColor   = "#eae1d0"
	pathColor  = "#fbf8f0"
	inkColor   = "#262626"
	paleInk    = "#5d5648"
)

// familyColors tell families apart, also for eyes that mix red and green (the nearest two are 20 apart
// in CIE L*a*b* as such eyes see them, which is tested), and stand out from the beds' ground. In print without
// colour the bands' patterns and the crops' letters do that work.
var familyColors = [...]string{"#1a6fd6", "#b3634f", "#668710", "#4a3a05", "#471372", "#00708c", "#262626"}

// bandPatterns fill a square of 8 by 8 px.
var bandPatterns = [...]string{
	"M-1 1L1 -1M-1 9L9 -1M7 9L9 7",             // rising
	"M0 2H8M0 6H8",                             // level
	"M-1 7L1 9M-1 -1L9 9M7 -1L9 1",             // falling
	"M2 0V8M6 0V8",                             // upright
	"M0 4H8M4 0V8",                             // squares
	"M1 2h2M5 6h2",                             // dashes
	"M0 3L2 1L4 3L6 1L8 3M0 7L2 5L4 7L6 5L8 7", // waves
	"M2 1v2M1 2h2M6 5v2M5 6h2",                 // crosses
}

// knownFamilies keep their look from farm to farm and from year to year; any other takes the next one.
var knownFamilies = []string{
	"Solanaceae", "Brassicaceae", "Cucurbitaceae", "Fabaceae", "Asteraceae", "Amaryllidaceae", "Poaceae",
	"Apiaceae", "Amaranthaceae", "Lamiaceae", "Rosaceae", "Convolvulaceae", "Malvaceae", "Asparagaceae",
	"Polygonaceae", "Boraginaceae",
}

// family is a botanical family on the map.
type family struct {
	name  string // "" for crops whose family is not known
	color string
	fill  string // address of the pattern of its bands
	index int
	crops []*mapCrop
}

// mapCrop is a crop on the map: all its varieties together.
type mapCrop struct {
	name   string
	code   string // a few letters that stand for it
	family *family
	plants int
}

// look gives every crop of the farm its letters and every family its colour and pattern.
type look struct {
	families []*family // by name, the unknown one last
	crops    map[string]*mapCrop
}

func newLook(facts *derive.Facts) *look {
	l := &look{crops: map[string]*mapCrop{}}
	byFamily := map[string]*family{}
	var names []string
	for _, p := range facts.Plantings {
		c := p.Decl.Crop
		if c == nil {
			continue
		}
		m := l.crops[c.Name]
		if m == nil {
			f := byFamily[c.Family]
			if f == nil {
				f = &family{name: c.Family}
				byFamily[c.Family] = f
				l.families = append(l.families, f)
			}
			m = &mapCrop{name: c.Name, family: f}
			f.crops = append(f.crops, m)
			l.crops[c.Name] = m
			names = append(names, c.Name)
		}
		m.plants += p.Plants
	}
	slices.SortFunc(l.families, func(a, b *family) int {
		if (a.name == "") != (b.name == "") {
			return strings.Compare(b.name, a.name)
		}
		return strings.Compare(a.name, b.name)
	})
	next := len(knownFamilies)
	for _, f := range l.families {
		f.index = slices.Index(knownFamilies, f.name)
		if f.index < 0 {
			f.index = next
			next++
		}
		f.color = familyColors[f.index%len(familyColors)]
		f.fill = "url(#f" + strconv.Itoa(f.index) + ")"
		slices.SortFunc(f.crops, func(a, b *mapCrop) int { return strings.Compare(a.name, b.name) })
	}
	slices.Sort(names)
	taken := map[string]bool{}
	for _, name := range names {
		l.crops[name].code = cropCode(name, taken)
	}
	return l
}

// cropCode gives letters for a crop that no other has: the first letters of its words, else its first
// letter with a later one, else with a number.
func cropCode(name string, taken map[string]bool) string {
	letters := func(text string) []rune {
		return []rune(strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) || unicode.IsDigit(r) {
				return r
			}
			return -1
		}, text))
	}
	var tries []string
	var initials []rune
	for word := range strings.FieldsSeq(name) {
		if w := letters(word); len(w) > 0 && len(initials) < 3 {
			initials = append(initials, unicode.ToUpper(w[0]))
		}
	}
	if len(initials) > 1 {
		tries = append(tries, string(initials))
	}
	all := letters(name)
	first := "X"
	if len(all) > 0 {
		first = string(unicode.ToUpper(all[0]))
		for _, r := range all[1:min(len(all), 40)] {
			tries = append(tries, first+string(unicode.ToLower(r)))
		}
	}
	for _, code := range tries {
		if !taken[code] {
			taken[code] = true
			return code
		}
	}
	for n := 1; ; n++ {
		if code := first + strconv.Itoa(n); !taken[code] {
			taken[code] = true
			return code
		}
	}
}

// of gives the look of a planting's crop.
func (l *look) of(p *derive.Planting) *mapCrop {
	if p.Decl.Crop == nil {
		return &mapCrop{family: &family{color: inkColor, fill: "none"}}
	}
	return l.crops[p.Decl.Crop.Name]
}

// only keeps the families and crops of some plantings, with what they count there.
func (l *look) only(plantings []*derive.Planting) *look {
	few := &look{crops: map[string]*mapCrop{}}
	families := map[*family]*family{}
	plants := map[string]int{}
	for _, p := range plantings {
		if p.Decl.Crop != nil {
			plants[p.Decl.Crop.Name] += p.Plants
		}
	}
	for _, f := range l.families {
		for _, c := range f.crops {
			n, grown := plants[c.name]
			if !grown {
				continue
			}
			g := families[f]
			if g == nil {
				g = &family{name: f.name, color: f.color, fill: f.fill, index: f.index}
				families[f] = g
				few.families = append(few.families, g)
			}
			m := &mapCrop{name: c.name, code: c.code, family: g, plants: n}
			g.crops = append(g.crops, m)
			few.crops[c.name] = m
		}
	}
	return few
}

const mapStyle = `
.map text{font-family:"Gill Sans","Trebuchet MS","DejaVu Sans",sans-serif;fill:` + inkColor + `}
.map .farm{font-family:Georgia,"DejaVu Serif",serif;font-weight:bold}
.map .plotname,.map .code,.map .rowname{font-weight:bold}
.map .fine{fill:` + paleInk + `}
.map .family{font-style:italic}
.map .page{fill:` + paperColor + `}
.map .frame{fill:none;stroke:` + inkColor + `;stroke-width:1.5}
.map .plot{fill:` + plotColor + `;stroke:` + inkColor + `;stroke-width:1.4}
.map .headland{fill:url(#headland)}
.map .path{fill:` + pathColor + `}
.map .row{fill:` + bedColor + `;stroke:` + paleInk + `;stroke-width:.7}
.map .empty{stroke-dasharray:4 3}
.map .plant{fill:none;stroke-linecap:round}
.map .band{stroke-width:.8}
.map .middle{text-anchor:middle}
.map .rule{fill:none;stroke:` + paleInk + `;stroke-width:.8}
.map .plate{fill:` + paperColor + `;fill-opacity:.95}
.map .mark{fill:none;stroke:` + inkColor + `;stroke-width:1.1}
.map .needle{fill:` + inkColor + `}
.map .bar{stroke:` + inkColor + `;stroke-width:1}
.map .tape{fill:none;stroke:#1f5f8b;stroke-width:1.1;stroke-dasharray:7 2.5 1.5 2.5}
.map .zone{fill:none;stroke:#1f5f8b;stroke-width:1.4}
.map .trellis{fill:none;stroke:` + inkColor + `;stroke-width:1.5}
.map .post{fill:` + paperColor + `;stroke:` + inkColor + `;stroke-width:1.1}
.map .key{fill:` + plotColor + `;stroke:` + inkColor + `;stroke-width:1}
`

// writeDefs writes the styles and the patterns that the map uses.
func (d *drawing) writeDefs(l *look) {
	d.WriteString("<style>" + mapStyle + "</style>\n<defs>\n")
	d.WriteString(`<pattern id="headland" width="7" height="7" patternUnits="userSpaceOnUse"><path d="M-1 1L1 -1M-1 8L8 -1M6 8L8 6" stroke="#cdc1a8" stroke-width="1"/></pattern>` + "\n")
	for _, f := range l.families {
		d.WriteString(`<pattern id="f` + strconv.Itoa(f.index) + `" width="8" height="8" patternUnits="userSpaceOnUse">` +
			`<rect width="8" height="8" fill="` + f.color + `" fill-opacity=".14"/>` +
			`<path d="` + bandPatterns[f.index%len(bandPatterns)] + `" fill="none" stroke="` + f.color + `" stroke-width="1.1"/></pattern>` + "\n")
	}
	d.WriteString("</defs>\n")
}
