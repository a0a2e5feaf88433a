package feature

import (
	"io/fs"
	"path"
	"slices"
	"strings"

	"haulm/lang/eval"
	"haulm/lang/source"
)

// Link is a text that names a file of the plan.
type Link struct {
	Span source.Span // of the path, without its quotes
	Path string      // slash-separated, from the plan's root
}

// linked are the built-ins whose first argument names a file.
var linked = []string{"load", "weather", "previous", "record"}

// Links gives the files that the file loads, reads its weather or record from, or looks back to, as far as they are there.
func (d *Doc) Links() []Link {
	var links []Link
	for n := 1; n <= d.File.Lines(); n++ {
		line := d.File.Line(n)
		if !slices.ContainsFunc(linked, func(name string) bool { return strings.Contains(line, name+"(") }) {
			continue
		}
		for _, call := range partAt(d.File, n, n+1).Calls() {
			if link, ok := d.link(call); ok && int(call.NameSpan.Start.Line) == n {
				links = append(links, link)
			}
		}
	}
	return links
}

func (d *Doc) link(call *Call) (Link, bool) {
	if !slices.Contains(linked, call.Name) || call.Receiver != "" || len(call.Args) == 0 {
		return Link{}, false
	}
	value := call.Args[0].Value
	text := value.Text()
	start, end := quotes(text)
	module := text[start:end]
	if call.Name == "load" && !strings.ContainsAny(module, "./") {
		return Link{}, false
	}
	target := loadPath(d.File.Path, module)
	if call.Name == "previous" && !d.hasFile(target) {
		target = path.Join(target, eval.EntryName)
	}
	if !d.hasFile(target) {
		return Link{}, false
	}
	at := d.File.Offset(value.Start)
	return Link{Span: d.between(at+start, at+end), Path: target}, true
}

// hasFile tells whether a path of the plan leads to a file.
func (d *Doc) hasFile(path string) bool {
	if d.Plan.File(path) != nil {
		return true
	}
	if d.Plan == nil || d.Plan.FS == nil || !fs.ValidPath(path) {
		return false
	}
	info, err := fs.Stat(d.Plan.FS, path)
	return err == nil && info.Mode().IsRegular()
}
