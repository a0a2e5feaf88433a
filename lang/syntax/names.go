package syntax

import (
	"slices"
	"strings"

	star "go.starlark.net/syntax"
)

var keywords = []string{
	"and", "break", "continue", "def", "elif", "else", "for", "if", "in", "lambda", "load", "not", "or",
	"pass", "return", "while",
}

var reserved = []string{
	"as", "async", "await", "class", "del", "except", "finally", "from", "global", "import", "is",
	"nonlocal", "raise", "try", "with", "yield",
}

func (r *reader) isName(i int) bool {
	return i < len(r.tokens) && r.tokens[i].kind == word &&
		!slices.Contains(keywords, r.textOf(i)) && !slices.Contains(reserved, r.textOf(i))
}

// names gathers what a broken statement would have bound: targets of assignments and loops, the names of
// functions and of loaded values. Names bound inside a function's body are left out. Of more than one
// statement, any that begins at the margin counts, whatever is open before it.
func (r *reader) names(from, to int, many bool) []string {
	var found []string
	add := func(i int) {
		if i < to && r.isName(i) {
			found = append(found, r.textOf(i))
		}
	}
	var b brackets
	function := -1 // the indent of the function that the line stands in
	for i := from; i < to; i++ {
		if r.tokens[i].first && (len(b.open) == 0 || many && r.indent(i) == 0 && r.looksLikeStatement(i, to)) {
			if indent := r.indent(i); indent <= function {
				function = -1
			}
			if function >= 0 {
				continue
			}
			switch s := r.textOf(i); {
			case s == "def":
				add(i + 1)
				function = r.indent(i)
			case s == "for":
				for j := i + 1; j < to && !r.tokens[j].first && !r.is(j, "in"); j++ {
					add(j)
				}
			case s == "from":
				for j := i + 1; j < to && !r.tokens[j].first; j++ {
					if r.is(j-1, "import") || r.is(j-1, ",") {
						add(j)
					}
				}
			case s == "load":
				for j := i + 1; j < to && (!r.tokens[j].first || r.indent(j) > 0); j++ {
					if r.is(j+1, "=") {
						add(j)
					} else if name, ok := r.loadedName(i, j); ok {
						found = append(found, name)
					} else if j > i+2 && !r.is(j-1, "=") {
						add(j) // its quotes are missing
					}
				}
			default:
				if name := r.spaced(i, to); name != "" {
					found = append(found, name)
				} else {
					r.targets(i, to, add)
				}
			}
		}
		b.step(r, i)
	}
	return unique(found)
}

// spaced gives the words that a line has before its equals sign, joined as one name: "" unless there are
// several.
func (r *reader) spaced(i, to int) string {
	name := ""
	end := i
	for end < to && r.isName(end) && (end == i || !r.tokens[end].first) {
		name += "_" + r.textOf(end)
		end++
	}
	if end-i < 2 || end == to || r.tokens[end].first || !r.is(end, "=") {
		return ""
	}
	return name[1:]
}

// targets adds the names before an equals sign: a = , a, b = , (a, b) = ; and that of a line whose
// equals sign is missing: a plot( .
func (r *reader) targets(i, to int, add func(int)) {
	end := i
	for end < to && (end == i || !r.tokens[end].first) && (r.isName(end) || strings.Contains(",()[]", r.textOf(end))) {
		if end > i && r.isName(end-1) && !r.is(end, ",") && r.tokens[end].kind != closer {
			break // a call, or two names beside each other
		}
		end++
	}
	if end < to && strings.HasSuffix(r.textOf(end), "=") && r.textOf(end) != "==" {
		for j := i; j < end; j++ {
			add(j)
		}
	} else if r.isName(i) && i+1 < to && !r.tokens[i+1].first &&
		(r.isName(i+1) || r.tokens[i+1].kind == text || r.tokens[i+1].kind == number) {
		add(i)
		if r.is(i+2, "(") {
			add(i + 1)
		}
	}
}

// loadedName is the value of a text after the first in a load; the first names the file.
func (r *reader) loadedName(load, j int) (string, bool) {
	if r.tokens[j].kind != text || r.tokens[j].fault != sound || j <= load+2 || r.is(j-1, "=") {
		return "", false
	}
	x, err := Options().ParseExpr("", r.textOf(j), 0)
	if err != nil {
		return "", false
	}
	lit, ok := x.(*star.Literal)
	if !ok {
		return "", false
	}
	name, ok := lit.Value.(string)
	return name, ok
}

func unique(names []string) []string {
	slices.Sort(names)
	return slices.Compact(names)
}
