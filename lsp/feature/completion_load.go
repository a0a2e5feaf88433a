package feature

import (
	"io/fs"
	"path"
	"slices"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/crops"
)

// toLoad offers names that a load would bring in, with that load.
func (c *completer) toLoad(w want) {
	kind, any := "", true
	if w.param != nil {
		kind, any = kindOf(w.param.Type), false
	}
	if kind == kindCrop || any && c.typed != "" {
		on := c.plantingDay(w)
		for _, crop := range crops.All() {
			if !matches(crop.Ident, c.typed) {
				continue
			}
			item := Completion{Label: crop.Ident, Kind: CompleteCrop, Key: keyCrop + crop.Ident}
			r := unloaded
			if c.judgeCrop(crop, w, on, &item) != fits && kind == kindCrop {
				r = unfit
			}
			c.offerLoad(r, cropModule, crop.Ident, item)
		}
	}
	if c.typed == "" {
		return
	}
	for _, m := range eval.Modules() {
		if m.Name != cropModule {
			for _, name := range m.Names {
				c.offerLoad(other, m.Name, name, Completion{Label: name, Kind: CompleteFunction})
			}
		}
	}
	c.otherFiles(kind)
}

// otherFiles offers what other files of the plan bind at their top.
func (c *completer) otherFiles(kind string) {
	if c.doc.Plan == nil {
		return
	}
	for _, f := range c.doc.Plan.Files {
		if f.Path == c.doc.File.Path || c.doc.reaches(f.Path, map[string]bool{}) {
			continue
		}
		there := &names{doc: c.doc, own: newNameTable(), top: c.doc.topOf(f.Path)}
		for _, i := range there.top.candidates(0, c.typed, kind) {
			b := &there.top.list[i]
			if b.kind == loaded || strings.HasPrefix(b.name, "_") {
				continue
			}
			m := there.follow(b, b.name, maxHops)
			r := other
			if kind != "" && m.kind == kind && !m.list {
				r = unloaded
			}
			item := Completion{Label: b.name, Kind: CompleteName, Note: m.words()}
			if m.kind == kindFunction {
				item.Kind = CompleteFunction
			}
			c.offerLoad(r, relative(c.doc.File.Path, f.Path), b.name, item)
		}
	}
}

func (c *completer) offerLoad(r rank, module, name string, item Completion) {
	if c.names.named(name) != nil || !matches(name, c.typed) {
		return
	}
	item.Detail = "load from " + module
	item.Extra = []diag.Edit{c.doc.LoadEdit(module, name)}
	c.add(r, item)
}

// reaches tells whether a file of the plan loads this one, by whatever way: it cannot be loaded here.
func (d *Doc) reaches(from string, seen map[string]bool) bool {
	if seen[from] {
		return false
	}
	seen[from] = true
	top := d.topOf(from)
	for _, i := range top.loads {
		b := &top.list[i]
		if !strings.ContainsAny(b.load.module, "./") {
			continue
		}
		if to := loadPath(from, b.load.module); to == d.File.Path || d.reaches(to, seen) {
			return true
		}
	}
	return false
}

// relative is the path by which one file of a plan loads another: "./fields/bench.star".
func relative(from, to string) string {
	dir := path.Dir(from)
	up := ""
	for dir != "." && !strings.HasPrefix(to, dir+"/") {
		dir = path.Dir(dir)
		up += "../"
	}
	if dir != "." {
		to = strings.TrimPrefix(to, dir+"/")
	}
	if up == "" {
		return "./" + to
	}
	return up + to
}

// LoadEdit adds a name to the load of a module, in the order of the alphabet when the names there are in
// it, or a new load where loads stand.
func (d *Doc) LoadEdit(module, name string) diag.Edit {
	var last *Call
	for _, call := range d.loads() {
		if len(call.Args) > 0 && unquoted(call.Args[0].Value.Text()) == module && call.Close >= 0 {
			return intoLoad(call, name)
		}
		if isFile := strings.ContainsAny(module, "./"); last == nil || isFile {
			last = call
		}
	}
	text := "load(\"" + module + "\", \"" + name + "\")" + d.lineEnd()
	if last == nil {
		at := d.afterDocstring()
		return diag.Edit{Span: source.Span{File: d.File, Start: at, End: at}, Text: text}
	}
	at := source.Point{Line: last.Span.Start.Line, Col: 1}
	if strings.ContainsAny(module, "./") {
		at = source.Point{Line: last.Span.End.Line + 1, Col: 1}
	}
	return diag.Edit{Span: source.Span{File: d.File, Start: at, End: at}, Text: text}
}

// loadCalls gives the load statements of the text now, those that the last evaluation knew of.
func (d *Doc) loadCalls() []*Call {
	var calls []*Call
	seen := map[int32]bool{}
	top := d.topOf(d.File.Path)
	for _, i := range top.loads {
		b := &top.list[i]
		at := b.file.Span(b.at, b.at)
		if b.file != d.File {
			at = d.Place(at)
		}
		if !at.IsValid() {
			continue
		}
		part := d.Part(at.Start)
		for _, c := range part.Calls() {
			if c.Name == "load" && !seen[c.Span.Start.Line] {
				seen[c.Span.Start.Line] = true
				calls = append(calls, c)
			}
		}
	}
	slices.SortFunc(calls, func(a, b *Call) int { return a.Span.Compare(b.Span) })
	return calls
}

func intoLoad(call *Call, name string) diag.Edit {
	place := len(call.Args)
	for i, a := range call.Args[1:] {
		if a.Name == "" && unquoted(a.Value.Text()) > name {
			place = i + 1
			break
		}
	}
	quoted := "\"" + name + "\""
	if place < len(call.Args) {
		at := call.Args[place].Value.Start
		if k := call.Args[place].Key; k.IsValid() {
			at = k.Start
		}
		return diag.Edit{Span: source.Span{File: call.Span.File, Start: at, End: at}, Text: quoted + ", "}
	}
	at := call.Args[len(call.Args)-1].Value.End
	return diag.Edit{Span: source.Span{File: call.Span.File, Start: at, End: at}, Text: ", " + quoted}
}

// afterDocstring is where the first load of a file goes.
func (d *Doc) afterDocstring() source.Point {
	first := source.Point{Line: 1, Col: 1}
	if strings.HasPrefix(d.File.Text, "\ufeff") {
		first.Col = 2
	}
	part := partAt(d.File, 1, 2)
	if code := part.code(); len(code) > 0 && code[0].Kind == syntax.Text {
		return source.Point{Line: d.File.Point(code[0].End).Line + 1, Col: 1}
	}
	return first
}

// lineEnd is how the file's lines end.
func (d *Doc) lineEnd() string {
	if i := strings.IndexByte(d.File.Text, '\n'); i > 0 && d.File.Text[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// paths offers the modules and files that a load can name, in place of the text at a span.
func (c *completer) paths(content source.Span) {
	for _, m := range eval.Modules() {
		c.add(fits, Completion{Label: m.Name, Kind: CompleteModule, Replace: content, Key: keyModule + m.Name})
	}
	for _, p := range c.doc.planFiles() {
		if p != c.doc.File.Path && !c.doc.reaches(p, map[string]bool{}) {
			c.add(fits, Completion{Label: relative(c.doc.File.Path, p), Kind: CompleteFile, Replace: content})
		}
	}
}

// maxFiles bounds a search for files.
const maxFiles = 500

// planFiles lists the files below the plan's root that could be loaded, sorted.
func (d *Doc) planFiles() []string {
	var list []string
	if d.Plan == nil || d.Plan.FS == nil {
		return nil
	}
	seen := 0
	// A folder that cannot be read offers nothing.
	_ = fs.WalkDir(d.Plan.FS, ".", func(p string, e fs.DirEntry, err error) error {
		seen++
		switch {
		case err != nil:
			return fs.SkipDir
		case seen > 20*maxFiles || len(list) >= maxFiles:
			return fs.SkipAll
		case e.IsDir() && p != "." && strings.HasPrefix(e.Name(), "."):
			return fs.SkipDir
		case !e.IsDir() && strings.HasSuffix(p, ".star"):
			list = append(list, p)
		}
		return nil
	})
	return list
}

// offered offers what a module has that the load does not name yet.
func (c *completer) offered(call *Call, content source.Span) {
	module := unquoted(call.Args[0].Value.Text())
	given := map[string]bool{}
	for i, a := range call.Args {
		if i != call.Arg {
			given[unquoted(a.Value.Text())] = true
		}
	}
	add := func(item Completion) {
		if !given[item.Label] {
			item.Replace = content
			c.add(fits, item)
		}
	}
	if !strings.ContainsAny(module, "./") {
		for _, m := range eval.Modules() {
			if m.Name != module {
				continue
			}
			for _, name := range m.Names {
				if crop := cropOf(name); module == cropModule && crop != nil {
					add(Completion{Label: name, Kind: CompleteCrop, Note: cropLine(crop, c.doc.units()), Key: keyCrop + name})
				} else {
					add(Completion{Label: name, Kind: CompleteFunction})
				}
			}
		}
		return
	}
	target := loadPath(c.doc.File.Path, module)
	top := c.doc.topOf(target)
	if c.doc.Plan.File(target) == nil && c.doc.hasFile(target) {
		if text, err := fs.ReadFile(c.doc.Plan.FS, target); err == nil {
			top = topTable(source.New(target, string(text)))
		}
	}
	there := &names{doc: c.doc, own: newNameTable(), top: top}
	for i := len(top.list) - 1; i >= 0; i-- {
		b := &top.list[i]
		if b.kind != loaded && !strings.HasPrefix(b.name, "_") {
			m := there.follow(b, b.name, maxHops)
			add(Completion{Label: b.name, Kind: CompleteName, Note: m.words()})
		}
	}
}
