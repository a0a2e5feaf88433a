package diag

import (
	"io"
	"net/url"
	"slices"
	"strings"

	"haulm/lang/source"
)

// The parts of SARIF 2.1.0 (OASIS Standard, 27 March 2020) that findings need.
type (
	sarifLog struct {
		Schema  string     `json:"$schema"`
		Version string     `json:"version"`
		Runs    []sarifRun `json:"runs"`
	}
	sarifRun struct {
		Tool       sarifTool     `json:"tool"`
		ColumnKind string        `json:"columnKind"`
		Results    []sarifResult `json:"results"`
	}
	sarifTool struct {
		Driver sarifDriver `json:"driver"`
	}
	sarifDriver struct {
		Name  string      `json:"name"`
		Rules []sarifRule `json:"rules"`
	}
	sarifRule struct {
		ID      string       `json:"id"`
		Short   sarifText    `json:"shortDescription"`
		Full    sarifText    `json:"fullDescription"`
		Help    sarifText    `json:"help"`
		Default sarifDefault `json:"defaultConfiguration"`
	}
	sarifText struct {
		Text     string `json:"text"`
		Markdown string `json:"markdown,omitempty"`
	}
	sarifDefault struct {
		Level string `json:"level"`
	}
	sarifResult struct {
		RuleID    string          `json:"ruleId"`
		RuleIndex int             `json:"ruleIndex"`
		Level     string          `json:"level"`
		Message   sarifText       `json:"message"`
		Locations []sarifLocation `json:"locations"`
		Related   []sarifLocation `json:"relatedLocations,omitempty"`
		Fixes     []sarifFix      `json:"fixes,omitempty"`
	}
	sarifLocation struct {
		ID       int           `json:"id,omitempty"`
		Physical sarifPhysical `json:"physicalLocation"`
		Message  *sarifText    `json:"message,omitempty"`
	}
	sarifPhysical struct {
		Artifact sarifArtifact `json:"artifactLocation"`
		Region   sarifRegion   `json:"region"`
	}
	sarifArtifact struct {
		URI string `json:"uri"`
	}
	sarifRegion struct {
		StartLine   int32 `json:"startLine"`
		StartColumn int32 `json:"startColumn"`
		EndLine     int32 `json:"endLine"`
		EndColumn   int32 `json:"endColumn"`
	}
	sarifFix struct {
		Description sarifText     `json:"description"`
		Changes     []sarifChange `json:"artifactChanges"`
	}
	sarifChange struct {
		Artifact     sarifArtifact      `json:"artifactLocation"`
		Replacements []sarifReplacement `json:"replacements"`
	}
	sarifReplacement struct {
		Deleted  sarifRegion `json:"deletedRegion"`
		Inserted sarifText   `json:"insertedContent"`
	}
)

const sarifSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json"

// WriteSARIF writes findings as a SARIF 2.1.0 log with one run, its rules those that found something.
func WriteSARIF(w io.Writer, ds []Diagnostic) error {
	run := sarifRun{
		Tool:       sarifTool{sarifDriver{Name: "haulm", Rules: []sarifRule{}}},
		ColumnKind: "unicodeCodePoints",
		Results:    []sarifResult{},
	}
	var codes []string
	for i := range ds {
		if r := ds[i].Rule; !slices.Contains(codes, r.Code) {
			codes = append(codes, r.Code)
			run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, ruleToSARIF(r))
		}
	}
	for i := range ds {
		run.Results = append(run.Results, toSARIF(&ds[i], slices.Index(codes, ds[i].Code())))
	}
	return encode(w, sarifLog{Schema: sarifSchema, Version: "2.1.0", Runs: []sarifRun{run}})
}

func ruleToSARIF(r *Rule) sarifRule {
	help := r.Explain
	if help == "" {
		help = r.Summary
	}
	if r.Source != "" {
		help += "\n\nSource: " + r.Source
	}
	return sarifRule{
		ID:      r.Code,
		Short:   sarifText{Text: r.Summary},
		Full:    sarifText{Text: r.Summary},
		Help:    sarifText{Text: help, Markdown: help},
		Default: sarifDefault{r.Severity.String()},
	}
}

func toSARIF(d *Diagnostic, rule int) sarifResult {
	out := sarifResult{
		RuleID: d.Code(), RuleIndex: rule, Level: d.Rule.Severity.String(),
		Message: sarifText{Text: d.Message}, Locations: []sarifLocation{},
	}
	if d.Primary.Span.IsValid() {
		out.Locations = append(out.Locations, location(d.Primary, 0))
	}
	if d.Help != "" {
		out.Message.Text += "\n" + d.Help
	}
	for _, l := range d.Related {
		if l.Span.IsValid() {
			out.Related = append(out.Related, location(l, len(out.Related)+1))
		}
	}
	for _, f := range d.Fixes {
		if fix := fixToSARIF(f); len(fix.Changes) > 0 {
			out.Fixes = append(out.Fixes, fix)
		}
	}
	return out
}

func location(l Label, id int) sarifLocation {
	out := sarifLocation{ID: id, Physical: sarifPhysical{artifact(l.Span.File), region(l.Span)}}
	if l.Text != "" {
		out.Message = &sarifText{Text: l.Text}
	}
	return out
}

func region(s source.Span) sarifRegion {
	return sarifRegion{s.Start.Line, s.Start.Col, s.End.Line, s.End.Col}
}

// artifact names a file by URI: relative as the paths of plans are, or file: for an absolute path.
func artifact(f *source.File) sarifArtifact {
	uri := (&url.URL{Path: f.Path}).String()
	if strings.HasPrefix(f.Path, "/") {
		uri = "file://" + uri
	}
	return sarifArtifact{uri}
}

// fixToSARIF gathers a fix's edits by file, files in the order of their first edit.
func fixToSARIF(f Fix) sarifFix {
	out := sarifFix{Description: sarifText{Text: f.Title}}
	for _, e := range f.Edits {
		if !e.Span.IsValid() {
			continue
		}
		a := artifact(e.Span.File)
		at := slices.IndexFunc(out.Changes, func(c sarifChange) bool { return c.Artifact == a })
		if at < 0 {
			at = len(out.Changes)
			out.Changes = append(out.Changes, sarifChange{Artifact: a})
		}
		out.Changes[at].Replacements = append(out.Changes[at].Replacements,
			sarifReplacement{region(e.Span), sarifText{Text: e.Text}})
	}
	return out
}
