package report

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"io"

	"haulm/lang/diff"
	"haulm/stdlib/quantity"
)

// DiffSchema is the JSON Schema (draft 2020-12) of what DiffJSON writes.
//
//go:embed diff.schema.json
var DiffSchema string

type (
	jsonDiff struct {
		Version int           `json:"version"`
		Old     jsonFarm      `json:"old"`
		New     jsonFarm      `json:"new"`
		Same    bool          `json:"same"`
		Changes []jsonChange  `json:"changes"`
		Totals  []jsonTotal   `json:"totals"`
		ToBuy   []jsonGood    `json:"to_buy"`
		Gained  []jsonFinding `json:"findings_gained"`
		Lost    []jsonFinding `json:"findings_lost"`
	}
	jsonFarm struct {
		Farm  *string `json:"farm"`
		Year  *int    `json:"year"`
		Units string  `json:"units"`
	}
	jsonChange struct {
		Types   []string      `json:"types"`
		Kind    string        `json:"kind"`
		Plot    *string       `json:"plot"`
		Old     *jsonThing    `json:"old"`
		New     *jsonThing    `json:"new"`
		Grounds *string       `json:"grounds"`
		Values  []jsonAspect  `json:"values"`
		Effects []jsonTotal   `json:"effects"`
		Gained  []jsonFinding `json:"findings_gained"`
		Lost    []jsonFinding `json:"findings_lost"`
	}
	jsonThing struct {
		Title string `json:"title"`
	}
	jsonAspect struct {
		Type string  `json:"type"`
		Name string  `json:"name"`
		Old  *string `json:"old"`
		New  *string `json:"new"`
	}
	jsonTotal struct {
		Name   string  `json:"name"`
		Unit   string  `json:"unit"`
		Old    float64 `json:"old"`
		New    float64 `json:"new"`
		Change float64 `json:"change"`
		Text   string  `json:"text"`
	}
	jsonGood struct {
		Name string `json:"name"`
		Old  string `json:"old"`
		New  string `json:"new"`
	}
	jsonFinding struct {
		Code     string  `json:"code"`
		Severity string  `json:"severity"`
		Message  string  `json:"message"`
		About    *string `json:"about"`
	}
)

// DiffJSON writes what changed between two farms as one JSON object of the form that DiffSchema describes.
func DiffJSON(d *diff.Diff, w io.Writer) error {
	t := &diffText{d: d}
	out := jsonDiff{
		Version: jsonVersion, Old: farmJSON(d.Old), New: farmJSON(d.New), Same: d.Same(), Changes: []jsonChange{},
		Totals: []jsonTotal{}, ToBuy: []jsonGood{}, Gained: findingsJSON(d.Gained), Lost: findingsJSON(d.Lost),
	}
	for _, c := range d.Changes {
		x := jsonChange{
			Types: []string{}, Kind: c.Thing().Kind, Old: thingJSON(c.Old), New: thingJSON(c.New), Grounds: known(c.Grounds),
			Values: []jsonAspect{}, Effects: []jsonTotal{}, Gained: findingsJSON(c.Gained), Lost: findingsJSON(c.Lost),
		}
		if c.Plot != nil {
			x.Plot = known(c.Plot.Decl.Name.Value)
		}
		for _, typ := range c.Types {
			x.Types = append(x.Types, typ.String())
		}
		for _, a := range c.Aspects {
			x.Values = append(x.Values, jsonAspect{a.Type.String(), a.Name, known(a.Old), known(a.New)})
		}
		for _, e := range c.Effects {
			x.Effects = append(x.Effects, t.totalJSON(e.Total, e.Old, e.New))
		}
		out.Changes = append(out.Changes, x)
	}
	for _, total := range d.Totals {
		out.Totals = append(out.Totals, t.totalJSON(total, total.Old, total.New))
	}
	for _, g := range d.Goods {
		out.ToBuy = append(out.ToBuy, jsonGood{g.Name, t.goodText(g, g.Old), t.goodText(g, g.New)})
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(out); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

// known is nil for what is not known.
func known(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}

func farmJSON(s diff.Side) jsonFarm {
	f := jsonFarm{Units: quantity.US.String()}
	if s.Facts != nil && s.Facts.Farm != nil {
		f.Farm, f.Units = known(s.Facts.Farm.Name.Value), s.Facts.Farm.Units.String()
		if y := s.Facts.Farm.Year.Value; y != 0 {
			f.Year = &y
		}
	}
	return f
}

func thingJSON(t *diff.Thing) *jsonThing {
	if t == nil {
		return nil
	}
	return &jsonThing{Title: t.Title}
}

// totalJSON gives amounts in the SI unit of their dimension, counts and money as they are.
func (t *diffText) totalJSON(total *diff.Total, old, now int64) jsonTotal {
	x := jsonTotal{Name: total.Name, Unit: "1", Text: t.by(total, now-old),
		Old: rounded(total.Value(old), 6), New: rounded(total.Value(now), 6), Change: rounded(total.Value(now-old), 6)}
	switch {
	case total.Money:
		x.Unit = "money"
	case total.Dim != quantity.Ratio:
		x.Unit = jsonUnits[total.Dim].name
	}
	return x
}

func findingsJSON(list []*diff.Finding) []jsonFinding {
	out := []jsonFinding{}
	for _, f := range list {
		x := jsonFinding{Code: f.Code(), Severity: f.Rule.Severity.String(), Message: f.Message}
		if f.Thing != nil {
			x.About = known(f.Thing.Title)
		}
		out = append(out, x)
	}
	return out
}
