package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/source"
)

var unusualStart = &diag.Rule{
	Code:     "unusual-start",
	Severity: diag.Note,
	Summary:  "a crop is set out that is usually sown in place, or the other way round",
	Explain: `Carrots and their kind are sown where they grow, because moving harms the root; tomatoes and their kind are
set out as plants, because from seed in the row they would be ready weeks later. ` + "`plant`" + ` and ` + "`sow`" + ` decide how
days to maturity and the day of sowing are counted. Cloves, seed pieces and slips are planted, and that is
not remarked upon.`,
	Example: `load("crops", "carrot")
farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
plant(row(bench, at = 4 * ft), carrot, fill = True, on = "2027-04-20")
`,
	Source: "the crop table's way of starting, by the source that `haulm doc` names for it",
}

// starts sets how a planting begins against how its crop usually does.
func (p *pass) starts() {
	for _, pl := range p.facts.Plantings {
		d := pl.Decl
		if d == nil || d.Crop == nil || d.Crop.Transplant == d.Crop.Direct || d.Direct == d.Crop.Direct {
			continue
		}
		if d.Crop.Direct && !d.Crop.SeedsPerMass.Known() {
			continue // cloves, seed pieces, slips
		}
		word, message := "sow", fmt.Sprintf("%s is usually sown where it grows, not set out as plants", where(pl))
		if d.Direct {
			word, message = "plant", fmt.Sprintf("%s is usually set out as plants, not sown in the row", where(pl))
		}
		finding := diag.Diagnostic{
			Rule: unusualStart, Message: message,
			Primary: diag.Label{Span: d.CropSpan, Text: "usually " + startWord(pl)},
			Help:    fmt.Sprintf("started: %s (%s, grade %s)", startWord(pl), d.Crop.StartSource.Source, d.Crop.StartSource.Grade),
		}
		if name := calleeOf(d.Call, d.Kind); name.IsValid() && p.sole(&d.Decl) {
			finding.Fixes = []diag.Fix{{Title: "Write " + word, Edits: []diag.Edit{{Span: name, Text: word}}}}
		}
		p.report(&d.Decl, where(pl), finding)
	}
}

func startWord(pl *derive.Planting) string {
	if pl.Decl.Crop.Direct {
		return "sown in place"
	}
	return "set out as plants"
}

// calleeOf is the span of the built-in's name at the head of its call, invalid when another name stands there.
func calleeOf(call source.Span, name string) source.Span {
	head := call
	head.End = source.Point{Line: call.Start.Line, Col: call.Start.Col + int32(len(name))}
	if !call.IsValid() || head.Text() != name {
		return source.Span{}
	}
	return head
}
