package eval

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// recordReader reads a file of records line by line: what it cannot read it tells, and leaves that line out.
type recordReader struct {
	file    *source.File
	year    int  // of dates that have none
	metric  bool // the day stands before the month
	sep     byte
	columns []recordColumn
	at      []int // for each column of the file its place in recordColumns, -1 for what is not read
	unit    []float64
	records []*farm.Record
	found   []*found
	unread  []string // headings of columns that nothing is read from
	faults  int      // lines left out
	headed  bool     // the heading could be read
}

// mostRecordFaults bounds how many lines are told one by one.
const mostRecordFaults = 20

func newRecordReader(file *source.File, year int, units quantity.System) *recordReader {
	return &recordReader{file: file, year: year, metric: units == quantity.Metric, columns: recordColumns()}
}

// recordCell is a cell with its place in the text, without the blanks around it.
type recordCell struct {
	text       string
	start, end int
}

func (r *recordReader) span(c recordCell) source.Span {
	return r.file.Span(c.start, max(c.end, c.start))
}

func (r *recordReader) fault(c recordCell, format string, args ...any) *found {
	f := finding(badRecord, r.span(c), format, args...)
	if r.faults++; r.faults <= mostRecordFaults {
		r.found = append(r.found, f)
	}
	return f
}

// read goes through the file.
func (r *recordReader) read() {
	text, headed := r.file.Text, false // whether the heading is behind
	for at := len(text) - len(strings.TrimPrefix(text, "\ufeff")); at < len(text); {
		if line, rest, _ := strings.Cut(text[at:], "\n"); strings.TrimSpace(line) == "" || strings.HasPrefix(strings.TrimSpace(line), "#") {
			at = len(text) - len(rest)
			continue
		}
		if !headed {
			r.sep = separatorOf(text[at:])
		}
		var cells []recordCell
		cells, at = r.cells(at)
		if !headed {
			headed = true
			if r.headed = r.readHeading(cells); !r.headed {
				return
			}
		} else if !blank(cells) {
			if d := r.line(cells); d != nil {
				r.records = append(r.records, d)
			}
		}
	}
	if !headed {
		r.fault(recordCell{}, "%s is empty", r.file.Path).help("its first line names the columns: %s", recordColumnNames())
	}
	if more := r.faults - mostRecordFaults; more > 0 {
		last := r.found[len(r.found)-1]
		last.Message += ". " + counted(more, "1 more line of the file cannot be read", "%d more lines of the file cannot be read")
	}
}

func counted(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return fmt.Sprintf(many, n)
}

// cells cuts one line into its cells, and gives the place of the next. A cell in double quotes may hold the
// separator, line ends, and quotes that are doubled.
func (r *recordReader) cells(at int) (cells []recordCell, next int) {
	text := r.file.Text
	for {
		start := at
		for at < len(text) && (text[at] == ' ' || text[at] == '\t' && r.sep != '\t') {
			at++
		}
		var c recordCell
		if at < len(text) && text[at] == '"' {
			var b strings.Builder
			c.start = at
			for at++; at < len(text); at++ {
				if text[at] != '"' {
					b.WriteByte(text[at])
				} else if strings.HasPrefix(text[at+1:], `"`) {
					b.WriteByte('"')
					at++
				} else {
					at++
					break
				}
			}
			c.end = at
			from := at
			for at < len(text) && text[at] != r.sep && text[at] != '\n' {
				at++
			}
			c.text = strings.TrimSpace(b.String() + text[from:at])
		} else {
			for at < len(text) && text[at] != r.sep && text[at] != '\n' {
				at++
			}
			c.text = strings.TrimSpace(text[start:at])
			c.start = start + strings.Index(text[start:at], c.text)
			c.end = c.start + len(c.text)
		}
		cells = append(cells, c)
		if at >= len(text) || text[at] == '\n' {
			return cells, at + 1
		}
		at++
	}
}

func blank(cells []recordCell) bool {
	return !slices.ContainsFunc(cells, func(c recordCell) bool { return c.text != "" })
}

// line reads one record; nil when it cannot be read, which is then told.
func (r *recordReader) line(cells []recordCell) *farm.Record {
	if n := len(r.at); len(cells) > n && !blank(cells[n:]) {
		r.fault(cells[n], "the line has %d cells, the heading %d", len(cells), n).help("a cell with %q in it stands in double quotes", string(r.sep))
		return nil
	}
	var in [inNote + 1]recordCell
	var unit [inNote + 1]float64
	for i, c := range cells[:min(len(cells), len(r.at))] {
		if to := r.at[i]; to >= 0 {
			in[to], unit[to] = c, r.unit[i]
		}
	}
	whole := recordCell{start: cells[0].start, end: cells[len(cells)-1].end}
	d := &farm.Record{Decl: farm.Decl{Kind: farm.Done, Call: r.span(whole)}}
	before := r.faults
	r.readWhat(d, in[inWhat], whole)
	r.readWhere(d, in[inPlot], in[inRow], in[inCrop])
	r.readDate(d, in[inDate], whole)
	if v, span, ok := r.number(in[inPlants], 1e9); ok {
		d.Plants = farm.Count{Value: int(v), Span: span, Given: true}
		if v != math.Trunc(v) {
			r.fault(in[inPlants], "plants are counted whole, and this is %s", in[inPlants].text)
		}
	}
	if v, span, ok := r.number(in[inHours], 1e5); ok {
		d.Took = farm.Amount{Value: quantity.Of(v*unit[inHours], quantity.Time), Span: span, Given: true}
	}
	if v, span, ok := r.number(in[inWeight], 1e7); ok {
		d.Mass = farm.Amount{Value: quantity.Of(v*unit[inWeight], quantity.Mass), Span: span, Given: true}
	}
	if v, span, ok := r.number(in[inPieces], 1e9); ok {
		d.Count = farm.Number{Value: v, Span: span, Given: true}
	}
	if c := in[inNote]; c.text != "" {
		d.Note = farm.Text{Value: cut(c.text), Span: r.span(c), Given: true}
	}
	if r.faults == before {
		r.settle(d, in[inWhat], whole)
	}
	if r.faults > before {
		r.faults = before + 1 // one line, however much is wrong with it
		return nil
	}
	return d
}

func cut(text string) string {
	if letters := []rune(text); len(letters) > longestName {
		return string(letters[:longestName])
	}
	return text
}

// readWhat tells the kind of record.
func (r *recordReader) readWhat(d *farm.Record, c, whole recordCell) {
	switch word := strings.ToLower(c.text); word {
	case "lost", "loss", "losses", "died", "dead":
		d.Kind = farm.Lost
		return
	case "harvested", "harvest", "harvesting", "picked", "cut", "":
		d.Kind = farm.Harvested
		d.What = farm.Text{Value: "picking", Span: r.span(c), Given: true}
		if c.text == "" {
			d.What.Span = r.span(whole)
		}
	case "picking":
		d.Kind = farm.Harvested
		d.What = farm.Text{Value: word, Span: r.span(c), Given: true}
	default:
		d.What = farm.Text{Value: cut(c.text), Span: r.span(c), Given: true}
	}
}

func (r *recordReader) readWhere(d *farm.Record, plot, row, crop recordCell) {
	if row.text != "" && plot.text == "" {
		r.fault(row, "the row %q has no plot", row.text).help("a row is found by its plot: name that too")
		return
	}
	var parts []string
	first, last := recordCell{}, recordCell{}
	for _, c := range []recordCell{plot, row, crop} {
		if c.text == "" {
			continue
		}
		if len(parts) == 0 {
			first = c
		}
		last = c
		parts = append(parts, c.text)
	}
	if len(parts) == 0 {
		d.WhereSpan = d.Call
		return
	}
	span := r.span(first)
	if last.start > first.start {
		span.End = r.span(last).End
	}
	d.Where = farm.Text{Value: cut(strings.Join(parts, "/")), Span: span, Given: true}
	d.WhereSpan = span
}

func (r *recordReader) readDate(d *farm.Record, c, whole recordCell) {
	d.On = farm.DateArg{Value: season.None, Span: d.Call}
	if c.text == "" {
		if d.Kind != farm.Lost {
			r.fault(whole, "the line has no date").help("write the day, such as %d-05-24", max(r.year, 2000))
		}
		return
	}
	day, err := season.Parse(c.text)
	if err != nil {
		w, ok := syntax.ReadDate(c.text, r.metric)
		iso := ""
		if ok {
			iso = w.ISO(r.year)
		}
		switch {
		case iso == "":
			r.fault(c, "%q is not a date", shown(c.text)).help("write year, month and day: %d-05-24", max(r.year, 2000))
			return
		case !w.Sure:
			r.fault(c, "%q can be two days", c.text).help("write the year first, then month and day, such as %s", iso)
			return
		}
		day, _ = season.Parse(iso)
	}
	d.On = farm.DateArg{Value: day, Span: r.span(c), Given: true}
}

func shown(text string) string {
	if len(text) > 40 {
		return strings.ToValidUTF8(text[:40], "") + "…"
	}
	return text
}

// number reads a number of 0 or more; false for an empty cell and for one that is none, which is told.
func (r *recordReader) number(c recordCell, most float64) (float64, source.Span, bool) {
	if c.text == "" {
		return 0, source.Span{}, false
	}
	text := c.text
	if r.sep != ',' {
		text = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil || math.IsNaN(v):
		r.fault(c, "%q is not a number", shown(c.text)).help("write digits only, such as 12.5; the unit stands in the heading")
		return 0, source.Span{}, false
	case v < 0:
		r.fault(c, "%s is less than nothing", shown(c.text))
		return 0, source.Span{}, false
	case v > most:
		r.fault(c, "%s is more than any farm has", shown(c.text))
		return 0, source.Span{}, false
	}
	return v, r.span(c), true
}

// settle holds that the line says what its kind needs and nothing that does not belong there.
func (r *recordReader) settle(d *farm.Record, what, whole recordCell) {
	amount := d.Mass.Given || d.Count.Given
	switch {
	case d.Kind == farm.Lost && !d.Plants.Given:
		r.fault(what, "how many plants were lost is not said").help("write their number in the column plants")
	case d.Kind == farm.Lost && d.Where.Value == "", d.Kind == farm.Harvested && d.Where.Value == "":
		r.fault(whole, "the line does not say of which planting").help("write plot, row and crop")
	case d.Kind == farm.Harvested && !amount && what.text == "":
		r.fault(whole, "the line does not say what was done").help("write a job in the column what, or lost, or harvested")
	case d.Kind == farm.Harvested && !amount && d.Took.Given:
		d.Kind = farm.Done // the hours of picking alone
	case d.Kind == farm.Harvested && !amount:
		r.fault(what, "how much was harvested is not said").help("write it in the column weight or pieces")
	case d.Kind == farm.Harvested && d.Mass.Given && d.Count.Given:
		d.Count = farm.Number{} // the weight says more
	case d.Kind != farm.Harvested && amount:
		r.fault(what, "something was weighed or counted on a line of %s", orLost(d)).help("a line of its own says that it was harvested")
	case d.Kind == farm.Lost && d.Plants.Value == 0:
		r.fault(what, "no plants were lost").help("leave the line out")
	}
}

func orLost(d *farm.Record) string {
	if d.Kind == farm.Lost {
		return "losses"
	}
	return d.What.Value
}
