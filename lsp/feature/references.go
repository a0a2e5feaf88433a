package feature

import (
	"slices"
	"strings"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Reference is one place of a name or of a word that declarations share.
type Reference struct {
	Span   source.Span
	Writes bool // the name gets its meaning there
}

// References gives every place of what stands at a place: of a name over all files of the plan, of a
// word that declarations share (a succession) wherever it is given. Places in other files are those of
// the text last evaluated. They come sorted by file and place.
func (d *Doc) References(at source.Point) []Reference {
	if word := d.sharedAt(at); word != nil {
		return d.sharedWords(word)
	}
	name, _ := d.Names().At(at)
	if name == nil {
		return nil
	}
	if owner, ok := d.owner(d.File.Path, name); ok {
		return d.across(owner)
	}
	list := here(name)
	for _, span := range d.namedArguments(name) {
		list = append(list, Reference{Span: span})
	}
	slices.SortStableFunc(list, func(a, b Reference) int { return a.Span.Compare(b.Span) })
	return list
}

// Highlights gives the places of what stands at a place within this file.
func (d *Doc) Highlights(at source.Point) []Reference {
	if word := d.sharedAt(at); word != nil {
		return slices.DeleteFunc(d.sharedWords(word), func(r Reference) bool { return r.Span.File != d.File })
	}
	name, _ := d.Names().At(at)
	if name == nil {
		return nil
	}
	return here(name)
}

func here(name *syntax.Name) []Reference {
	list := make([]Reference, len(name.Sites))
	for i, s := range name.Sites {
		list[i] = Reference{Span: s.Span, Writes: s.Binds}
	}
	return list
}

// export is a name bound at the top of a file, which others may load.
type export struct{ path, name string }

// owner follows a name to the file that binds it; false for a name that no other file can have.
func (d *Doc) owner(path string, name *syntax.Name) (export, bool) {
	for range maxHops {
		switch {
		case name.Scope == syntax.Top:
			return export{path, name.Text}, true
		case name.Load == nil:
			return export{}, false
		case !strings.ContainsAny(name.Load.Module, "./"):
			return export{"", name.Load.Module + "." + name.Load.Name}, true
		}
		path = loadPath(path, name.Load.Module)
		scopes := d.scopesOf(path)
		if scopes == nil {
			return export{path, name.Load.Name}, true
		}
		next := scopes.TopNamed(name.Load.Name)
		if next == nil {
			return export{path, name.Load.Name}, true
		}
		name = next
	}
	return export{}, false
}

// across gathers the places of an exported name in every file of the plan.
func (d *Doc) across(of export) []Reference {
	var list []Reference
	for _, path := range d.paths() {
		if !d.mayName(path, of) {
			continue
		}
		for _, n := range d.scopesOf(path).Names {
			if n.Scope != syntax.Top && n.Scope != syntax.Loaded {
				continue
			}
			if own, ok := d.owner(path, n); !ok || own != of {
				continue
			}
			list = append(list, here(n)...)
			if n.Load != nil && n.Load.Span != n.Sites[0].Span {
				list = append(list, Reference{Span: n.Load.Span}) // the name it has there, beside the one it has here
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Reference) int { return a.Span.Compare(b.Span) })
	return slices.CompactFunc(list, func(a, b Reference) bool { return a.Span == b.Span })
}

// mayName tells by a glance whether a file has places of an exported name.
func (d *Doc) mayName(path string, of export) bool {
	f := d.File
	if path != f.Path {
		f = d.Plan.File(path)
	}
	return f != nil && strings.Contains(f.Text, of.name[strings.LastIndexByte(of.name, '.')+1:])
}

// paths lists the plan's files and this one, sorted.
func (d *Doc) paths() []string {
	list := []string{d.File.Path}
	if d.Plan != nil {
		for _, f := range d.Plan.Files {
			list = append(list, f.Path)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// shared is a word that declarations share, or a text that names a thing.
type shared struct {
	param string
	text  string
	span  source.Span // its content, without the quotes
}

// sharedAt gives the shared word at a place; nil when there is none.
func (d *Doc) sharedAt(at source.Point) *shared {
	part, offset := d.Part(at), d.File.Offset(at)
	tok, _, _ := part.tokenAt(offset)
	if tok.Kind != syntax.Text || !tok.Sound {
		return nil
	}
	w := d.namesAt(part, offset).wanted(part, tok.Start+1, tok.Start)
	if w.param == nil || !isShared(w.param) {
		return nil
	}
	start, end := quotes(part.text(tok))
	return &shared{w.param.Name, unquoted(part.text(tok)), d.between(tok.Start+start, tok.Start+end)}
}

// sharedWords finds the texts that give a shared word, in every file of the plan.
func (d *Doc) sharedWords(word *shared) []Reference {
	var list []Reference
	for _, path := range d.paths() {
		f := d.File
		if path != f.Path {
			f = d.Plan.File(path)
		}
		for _, span := range textsGiven(f, word.param, word.text) {
			list = append(list, Reference{Span: span})
		}
	}
	return list
}

// textsGiven finds, in a file, the contents of the texts that are given for a parameter and read so.
func textsGiven(f *source.File, param, text string) []source.Span {
	var spans []source.Span
	if !strings.Contains(f.Text, text) {
		return nil
	}
	whole := &Part{File: f, End: len(f.Text), Tokens: syntax.Tokens(f, 0, len(f.Text))}
	code := whole.code()
	for i := 2; i < len(code); i++ {
		t := code[i]
		if t.Kind != syntax.Text || whole.text(code[i-1]) != "=" || whole.text(code[i-2]) != param || unquoted(whole.text(t)) != text {
			continue
		}
		start, end := quotes(whole.text(t))
		spans = append(spans, f.Span(t.Start+start, t.Start+end))
	}
	return spans
}

// namedArguments gives the places that call a function of the plan with one of its parameters by name:
// they have to change with the parameter. None for any other name.
func (d *Doc) namedArguments(n *syntax.Name) []source.Span {
	if n.Scope != syntax.Local || !n.In.IsValid() || !n.Sites[0].Binds {
		return nil
	}
	part := d.Part(n.In.Start)
	var def *binding
	for _, b := range part.bindings() {
		if b.kind == defined && b.value == d.File.Offset(n.In.Start) {
			def = &b
		}
	}
	if def == nil || !slices.ContainsFunc(parametersOf(def), func(p binding) bool { return p.at == d.File.Offset(n.Sites[0].Span.Start) }) {
		return nil
	}
	of := export{d.File.Path, def.name}
	var spans []source.Span
	for _, path := range d.paths() {
		if !d.mayName(path, of) {
			continue
		}
		scopes := d.scopesOf(path)
		for _, m := range scopes.Names {
			if own, ok := d.owner(path, m); !ok || own != of {
				continue
			}
			for _, s := range m.Sites {
				spans = append(spans, keysOf(scopes.File, s.Span.Start, n.Text)...)
			}
		}
	}
	return spans
}

// keysOf gives the names of the arguments called so in a call that begins at a place.
func keysOf(f *source.File, at source.Point, name string) []source.Span {
	var spans []source.Span
	call := callFrom(f, f.Offset(at))
	if call == nil {
		return nil
	}
	for _, a := range call.Args {
		if a.Name == name {
			spans = append(spans, a.Key)
		}
	}
	return spans
}
