package diag

import (
	_ "embed"
	"encoding/json"
	"io"

	"haulm/lang/source"
)

// Schema is the JSON Schema (draft 2020-12) of what WriteJSON writes.
//
//go:embed findings.schema.json
var Schema string

// jsonVersion grows when a reader of the form before would misread the new one.
const jsonVersion = 1

// The JSON form. Lines and columns count from 1, columns in Unicode code points; ends are exclusive.
type (
	jsonReport struct {
		Version  int           `json:"version"`
		Findings []jsonFinding `json:"findings"`
	}
	jsonFinding struct {
		Code     string      `json:"code"`
		Severity string      `json:"severity"`
		Message  string      `json:"message"`
		File     string      `json:"file"`
		Range    jsonRange   `json:"range"`
		Label    string      `json:"label"`
		Related  []jsonLabel `json:"related"`
		Values   []jsonValue `json:"values"`
		Help     string      `json:"help"`
		Fixes    []jsonFix   `json:"fixes"`
	}
	jsonRange struct {
		Start jsonPoint `json:"start"`
		End   jsonPoint `json:"end"`
	}
	jsonPoint struct {
		Line   int32 `json:"line"`
		Column int32 `json:"column"`
	}
	jsonLabel struct {
		File  string    `json:"file"`
		Range jsonRange `json:"range"`
		Label string    `json:"label"`
	}
	jsonValue struct {
		Name string `json:"name"`
		Text string `json:"text"`
	}
	jsonFix struct {
		Title string     `json:"title"`
		Safe  bool       `json:"safe"`
		Edits []jsonEdit `json:"edits"`
	}
	jsonEdit struct {
		File  string    `json:"file"`
		Range jsonRange `json:"range"`
		Text  string    `json:"text"`
	}
)

// WriteJSON writes findings as one JSON object of the form that Schema describes.
func WriteJSON(w io.Writer, ds []Diagnostic) error {
	report := jsonReport{Version: jsonVersion, Findings: make([]jsonFinding, 0, len(ds))}
	for i := range ds {
		report.Findings = append(report.Findings, toJSON(&ds[i]))
	}
	return encode(w, report)
}

func encode(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

func toJSON(d *Diagnostic) jsonFinding {
	f := jsonFinding{
		Code:     d.Code(),
		Severity: d.Rule.Severity.String(),
		Message:  d.Message,
		Label:    d.Primary.Text,
		Related:  make([]jsonLabel, 0, len(d.Related)),
		Values:   make([]jsonValue, 0, len(d.Values)),
		Help:     d.Help,
		Fixes:    make([]jsonFix, 0, len(d.Fixes)),
	}
	f.File, f.Range = place(d.Primary.Span)
	for _, l := range d.Related {
		file, at := place(l.Span)
		f.Related = append(f.Related, jsonLabel{file, at, l.Text})
	}
	for _, v := range d.Values {
		f.Values = append(f.Values, jsonValue(v))
	}
	for _, fix := range d.Fixes {
		out := jsonFix{Title: fix.Title, Safe: fix.Safe, Edits: make([]jsonEdit, 0, len(fix.Edits))}
		for _, e := range fix.Edits {
			file, at := place(e.Span)
			out.Edits = append(out.Edits, jsonEdit{file, at, e.Text})
		}
		f.Fixes = append(f.Fixes, out)
	}
	return f
}

// place gives a span's file and range; no file and the empty range at 1:1 for a finding about no text.
func place(s source.Span) (string, jsonRange) {
	if !s.IsValid() {
		return "", jsonRange{jsonPoint{1, 1}, jsonPoint{1, 1}}
	}
	return s.File.Path, jsonRange{jsonPoint{s.Start.Line, s.Start.Col}, jsonPoint{s.End.Line, s.End.Col}}
}
