package next

import (
	"strconv"
	"strings"

	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/lang/report"
	"haulm/stdlib/quantity"
)

// reserved are names that a plan's own must not hide: those of the language, the built-ins and the units, and the
// loop variables of what is written here.
func reserved() map[string]bool {
	taken := map[string]bool{}
	for _, word := range strings.Fields(`and break continue def elif else for if in lambda load not or pass return while
		as assert async await class del except finally from global import is nonlocal raise try with yield
		None True False abs all any bool bytes dict dir enumerate fail float getattr hasattr hash int len list max min
		print range repr reversed set sorted str tuple type zip at n r`) {
		taken[word] = true
	}
	for _, b := range eval.Builtins() {
		taken[b.Name] = true
	}
	for _, u := range quantity.Units() {
		taken[u.Name] = true
	}
	for _, m := range eval.Modules() {
		for _, name := range m.Names {
			taken[name] = true
		}
	}
	return taken
}

// take gives a name of plan text made of words, unlike all others.
func (w *writer) take(words, otherwise string) string {
	base := report.Ident(words)
	if base == "" {
		base = otherwise
	}
	name := base
	for i := 2; w.taken[name]; i++ {
		name = base + "_" + strconv.Itoa(i)
	}
	w.taken[name] = true
	return name
}

// speaking gives the words that a declaration's variable is made of, and a word for when there are none.
func speaking(c *eval.Call, thing any) (words, otherwise string) {
	switch t := thing.(type) {
	case *farm.Site:
		return "here", ""
	case *farm.Crew:
		return "hands", ""
	case *farm.DripTape:
		return "tape", ""
	case *farm.Pipe:
		return "line", ""
	case *farm.Climate:
		return "normals", ""
	case *farm.Soil:
		return t.Texture.Value, "ground"
	case *farm.SoilTest:
		return "tested", ""
	case *farm.Crop:
		if t.Variety != "" {
			return t.Variety, t.Ident + "_variety"
		}
		return t.Name, "own_crop"
	case *farm.Tray:
		return words2(t.Name.Value, "cells_"+strconv.Itoa(t.Cells.Value))
	case *farm.Pot:
		return words2(t.Name.Value, "pots")
	}
	if a := c.Arg("name"); a != nil {
		return a.Text, "the_" + c.Of.Name
	}
	return "the_" + c.Of.Name, ""
}

func words2(name, otherwise string) (string, string) {
	if name != "" {
		return name, otherwise
	}
	return otherwise, otherwise
}
