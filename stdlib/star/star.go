// Package star holds the modules that any plan can load by name, written as plans themselves. In goes a
// module's name; out comes its text.
package star

import (
	"embed"
	"slices"
	"strings"
)

//go:embed *.star
var files embed.FS

// Module gives the text of the module called name.
func Module(name string) (string, bool) {
	text, err := files.ReadFile(name + ".star")
	return string(text), err == nil
}

// Names lists the modules, sorted.
func Names() []string {
	entries, _ := files.ReadDir(".") // an embedded folder can always be read
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = strings.TrimSuffix(e.Name(), ".star")
	}
	slices.Sort(names)
	return names
}

// Offers lists the functions that a module defines, sorted.
func Offers(module string) []string {
	text, _ := Module(module)
	var names []string
	for line := range strings.Lines(text) {
		if head, ok := strings.CutPrefix(line, "def "); ok {
			name, _, _ := strings.Cut(head, "(")
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}
