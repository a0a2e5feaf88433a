package book

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"io"

	"haulm/lang/report"
)

// Schema is the JSON Schema (draft 2020-12) of the list of a book's files, book.json.
//
//go:embed book.schema.json
var Schema string

// ListName is the name of the list of a book's files, by which a folder is known for a book.
const ListName = "book.json"

// listVersion grows when a reader of the list before would misread the new one.
const listVersion = 1

// subject is a table that stands in the book's files for other programs, with the schema of its JSON.
type subject struct {
	name   string
	table  func() report.Table
	schema string
}

// subjects lists the tables that the plan has anything for.
func (b *Book) subjects() []subject {
	list := []subject{
		{"plots", func() report.Table { return report.Plots(b.Facts) }, report.PlotsSchema},
		{"calendar", func() report.Table { return report.Calendar(b.Facts) }, report.CalendarSchema},
	}
	for _, s := range b.sheets {
		if !s.has {
			continue
		}
		for _, t := range s.tables {
			if t.schema != "" {
				list = append(list, subject{t.name, func() report.Table { return t.fill(b.Facts) }, t.schema})
			}
		}
	}
	return list
}

// addData adds the files for other programs and the page that leads to them.
func (b *Book) addData() {
	file := func(name, title string, write func(io.Writer) error) {
		b.data = append(b.data, Page{Name: name, Title: title, raw: write})
	}
	file("book.xlsx", "All tables as a workbook", func(w io.Writer) error {
		var tables []report.Table
		for _, s := range b.subjects() {
			tables = append(tables, s.table())
		}
		return report.WriteXLSX(w, tables)
	})
	file("calendar.ics", "All dated events, for a calendar", func(w io.Writer) error { return report.CalendarICS(b.Facts, w) })
	if report.HasPlaces(b.Facts) {
		file("map.geojson", "Plots, rows and plantings on the earth", func(w io.Writer) error { return report.WriteGeoJSON(b.Facts, w) })
	}
	for _, s := range b.subjects() {
		file("data/"+s.name+".csv", "The table of "+s.name+", for a spreadsheet", func(w io.Writer) error { return s.table().WriteCSV(w) })
	}
	for _, s := range b.subjects() {
		file("data/"+s.name+".json", "The table of "+s.name+", for a program", func(w io.Writer) error { return compact(w, s.table().WriteJSON) })
		file("data/"+s.name+".schema.json", "What "+s.name+".json looks like", func(w io.Writer) error { return compact(w, text(s.schema)) })
	}
	file("data/book.schema.json", "What "+ListName+" looks like", func(w io.Writer) error { return compact(w, text(Schema)) })
	file(ListName, "The list of the book's files", b.list)
	b.add(Page{Name: "data.html", Title: "Files", write: func(w *paper) {
		w.raw("<p>The same figures for spreadsheets, calendars, maps and programs, in the book's folder:</p>\n")
		w.part("contents", b.data)
	}})
}

// text gives what writes a text.
func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// compact writes JSON without the blanks that are there for people.
func compact(w io.Writer, write func(io.Writer) error) error {
	var wide, tight bytes.Buffer
	if err := write(&wide); err != nil {
		return err
	}
	if err := json.Compact(&tight, wide.Bytes()); err != nil {
		return err
	}
	tight.WriteByte('\n')
	_, err := tight.WriteTo(w)
	return err
}

// list writes the names of all files.
func (b *Book) list(w io.Writer) error {
	type file struct {
		Name  string `json:"name"`
		Title string `json:"title"`
	}
	list := struct {
		Version int    `json:"version"`
		Farm    string `json:"farm"`
		Year    int    `json:"year"`
		Files   []file `json:"files"`
	}{Version: listVersion, Farm: b.Farm.Name.Value, Year: b.Farm.Year.Value, Files: []file{}}
	for _, p := range b.Files() {
		list.Files = append(list.Files, file{p.Name, p.Title})
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(list)
}

// Listed reads the list of a book's files; false when the text is no such list.
func Listed(text []byte) (names []string, ok bool) {
	var list struct {
		Version int `json:"version"`
		Files   []struct {
			Name string `json:"name"`
		} `json:"files"`
	}
	if json.Unmarshal(text, &list) != nil || list.Version < 1 || len(list.Files) == 0 {
		return nil, false
	}
	for _, f := range list.Files {
		names = append(names, f.Name)
	}
	return names, names[len(names)-1] == ListName
}
