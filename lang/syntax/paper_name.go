package syntax

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"haulm/stdlib/crops"
)

// nameFirst are the built-ins whose first argument is what something is called.
var nameFirst = []string{"farm", "plot", "zone", "water_source", "crop", "variety", "weather"}

// name reads words beside each other that are one name, or a text without its quotes.
func (p *paper) name(i int) (reading, bool) {
	if !p.isNameAt(i) {
		return reading{}, false
	}
	last := i
	for p.goesOn(last+1) && p.isNameAt(last+1) {
		last++
	}
	if last == i {
		return reading{}, false
	}
	words := p.unitText(i, last)
	own := strings.ReplaceAll(words, " ", "_")
	r := reading{first: i, last: last}
	if p.toks[i].first && p.textAt(last+1) == "=" {
		r.text, r.message = own, "a name has no spaces: write "+own
		return r, true
	}
	if !p.ends(last+1) && (p.kindAt(last+1) != sign || p.textAt(last+1) == "=") {
		return reading{}, false
	}
	if crop, ok := crops.Named(words); ok && !p.isOwnName(own) {
		r.text, r.message = crop.Ident, "the crop "+words+" is written "+crop.Ident
		return r, true
	}
	if p.isOwnName(own) {
		r.text, r.message = own, words+" is one name: write "+own
		return r, true
	}
	if !p.isUnquoted(i, last) {
		return reading{}, false
	}
	r.text = strconv.Quote(words)
	r.message = "texts and the names of things stand in quotes: " + r.text
	return r, true
}

// isUnquoted tells whether words that stand where a value belongs are rather a text: after an equals
// sign, as what a thing is called, or with a capital.
func (p *paper) isUnquoted(i, last int) bool {
	switch p.textAt(i - 1) {
	case "=":
		return true
	case "(":
		if slices.Contains(nameFirst, p.textAt(i-2)) {
			return true
		}
	case ",", "[":
	default:
		return false
	}
	for ; i <= last; i++ {
		if r, _ := utf8.DecodeRuneInString(p.textAt(i)); unicode.IsUpper(r) {
			return true
		}
	}
	return false
}

// isOwnName tells whether some line of the file gives the words a meaning, joined to one name.
func (p *paper) isOwnName(own string) bool {
	r := p.reader
	if r.joined == nil {
		r.joined = map[string]bool{}
		for i, t := range r.tokens {
			if !t.first || !r.isName(i) {
				continue
			}
			if name := r.spaced(i, len(r.tokens)); name != "" {
				r.joined[name] = true
			} else if r.is(i+1, "=") {
				r.joined[r.textOf(i)] = true
			}
		}
	}
	return r.joined[own]
}
