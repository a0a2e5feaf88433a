package lsp

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// settings are what a grower can switch in the editor. They do not change after they are made.
type settings struct {
	hints map[string]bool // kinds of inlay hints, by name
}

// hintKinds are the kinds of hints by the names of their settings, with what each shows.
func hintKinds() []hintKind {
	return []hintKind{
		{"counts", "what plantings, trays, the nursery and trellises come to"},
		{"feetLeft", "how much of a row nothing is planted in"},
		{"dates", "days that the plan does not say: of sowing, of harvest, of picking after a spraying"},
		{"flow", "how much water a zone or row takes"},
		{"need", "how much water plantings need in the week that needs most"},
		{"food", "how much a feeding puts on, and from when"},
	}
}

type hintKind struct{ name, about string }

func defaultSettings() settings {
	s := settings{hints: map[string]bool{}}
	for _, k := range hintKinds() {
		s.hints[k.name] = true
	}
	return s
}

// readSettings reads {"inlayHints": {"counts": false, ...}}, also inside {"haulm": ...}; what is not said is
// as by default. The problems are sentences about what could not be understood.
func readSettings(text json.RawMessage) (s settings, problems []string) {
	s = defaultSettings()
	var outer struct {
		Haulm      json.RawMessage            `json:"haulm"`
		InlayHints map[string]json.RawMessage `json:"inlayHints"`
	}
	if len(text) == 0 || string(text) == "null" {
		return s, nil
	}
	if err := json.Unmarshal(text, &outer); err != nil {
		return s, []string{`settings are an object such as {"inlayHints": {"counts": false}}`}
	}
	if outer.Haulm != nil {
		return readSettings(outer.Haulm)
	}
	for _, name := range slices.Sorted(maps.Keys(outer.InlayHints)) {
		var on bool
		switch _, known := s.hints[name]; {
		case !known:
			problems = append(problems, fmt.Sprintf("there is no inlay hint called %q; there are %s", name, hintNames()))
		case json.Unmarshal(outer.InlayHints[name], &on) != nil:
			problems = append(problems, fmt.Sprintf("inlayHints.%s is true or false", name))
		default:
			s.hints[name] = on
		}
	}
	return s, problems
}

func hintNames() string {
	var names []string
	for _, k := range hintKinds() {
		names = append(names, k.name)
	}
	return strings.Join(names, ", ")
}

// configure takes settings that the client sent. The caller does not hold mu.
func (s *server) configure(text json.RawMessage) {
	set, problems := readSettings(text)
	s.mu.Lock()
	changed := !maps.Equal(set.hints, s.settings.hints)
	s.settings = set
	if changed {
		s.owe(refreshHints)
	}
	s.mu.Unlock()
	for _, p := range problems {
		s.log(logWarning, p)
	}
	if changed {
		s.refresh()
	}
}
