package feature

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
)

// Renaming tells what a rename at a place would change: the text to type over and what it reads now. The
// error says why nothing there can be renamed.
func (d *Doc) Renaming(at source.Point) (span source.Span, text string, err error) {
	r, err := d.renamer(at)
	if err != nil {
		return source.Span{}, "", err
	}
	return r.span, r.span.Text(), nil
}

// Rename gives the edits that call what stands at a place by another name, in every file of the plan:
// names of the text, names of plots, rows and zones, words that declarations share. The error says what
// is in the way.
func (d *Doc) Rename(at source.Point, to string) ([]diag.Edit, error) {
	r, err := d.renamer(at)
	if err != nil {
		return nil, err
	}
	edits, err := r.edits(to)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(edits, func(a, b diag.Edit) int { return a.Span.Compare(b.Span) })
	return edits, nil
}

// renamer renames one thing: a name of the text, a shared word or the name of a thing of the farm.
type renamer struct {
	doc    *Doc
	span   source.Span
	name   *syntax.Name // of a name
	shared *shared      // of a shared word
	thing  *Call        // of a thing's name: the call that declares it
}

func (d *Doc) renamer(at source.Point) (*renamer, error) {
	part, offset := d.Part(at), d.File.Offset(at)
	tok, i, code := part.tokenAt(offset)
	name, site := d.Names().At(at)
	switch {
	case name != nil && name.Scope != syntax.Outside:
		return &renamer{doc: d, span: site.Span, name: name}, nil
	case tok.Kind == syntax.Text:
		return d.textRenamer(part, tok)
	case tok.Kind == syntax.Word && i > 0 && part.text(code[i-1]) == ".":
		return nil, errors.New("what is read of a value has its name from the language")
	case tok.Kind == syntax.Word && i+1 < len(code) && part.text(code[i+1]) == "=" && part.Call(offset) != nil:
		return nil, errors.New("the names of arguments cannot be changed here; rename the parameter where the function is defined")
	case tok.Kind == syntax.Word && (known(part.text(tok)) || syntax.IsKeyword(part.text(tok))):
		return nil, fmt.Errorf("%s is a word of the language", part.text(tok))
	case tok.Kind == syntax.Word:
		return nil, fmt.Errorf("nothing is called %s", part.text(tok))
	}
	return nil, errors.New("there is no name here")
}

func (d *Doc) textRenamer(part *Part, tok syntax.Token) (*renamer, error) {
	if !tok.Sound {
		return nil, errors.New("this text has no closing quote")
	}
	start, end := quotes(part.text(tok))
	span := d.between(tok.Start+start, tok.Start+end)
	if word := d.sharedAt(span.Start); word != nil {
		return &renamer{doc: d, span: span, shared: word}, nil
	}
	w := d.namesAt(part, tok.Start).wanted(part, tok.Start+1, tok.Start)
	if w.param == nil || w.param.Name != "name" {
		return nil, errors.New("this text names nothing")
	}
	return &renamer{doc: d, span: span, thing: w.call}, nil
}

func (r *renamer) edits(to string) ([]diag.Edit, error) {
	switch {
	case r.name != nil:
		return r.nameEdits(to)
	case strings.TrimSpace(to) == "":
		return nil, errors.New("a name needs at least one letter")
	case strings.ContainsAny(to, "\"'\\\r\n"):
		return nil, fmt.Errorf("%q cannot be a name: leave out quotes, backslashes and line ends", to)
	case r.shared != nil:
		var edits []diag.Edit
		for _, ref := range r.doc.sharedWords(r.shared) {
			edits = append(edits, diag.Edit{Span: ref.Span, Text: to})
		}
		return edits, nil
	}
	if err := r.thingClash(to); err != nil {
		return nil, err
	}
	return []diag.Edit{{Span: r.span, Text: to}}, nil
}

// thingClash tells when another thing of the kind has the name already.
func (r *renamer) thingClash(to string) error {
	p := r.doc.Plan
	if p == nil || p.Farm == nil || to == r.span.Text() {
		return nil
	}
	taken := func(kind, name string, at source.Span) error {
		if name != to {
			return nil
		}
		return fmt.Errorf("there is a %s %q already, at %s", kind, to, r.doc.Place(at))
	}
	var err error
	switch r.thing.Name {
	case kindPlot:
		for _, d := range p.Farm.Plots {
			err = errors.Join(err, taken("plot", d.Name.Value, d.Name.Span))
		}
	case kindZone:
		for _, d := range p.Farm.Zones {
			err = errors.Join(err, taken("zone", d.Name.Value, d.Name.Span))
		}
	case kindRow:
		then, _ := r.doc.Evaluated(r.thing.Span)
		for _, t := range p.Things(then) {
			if t.Row == nil || t.Through {
				continue
			}
			for _, d := range t.Row.Plot.Rows {
				err = errors.Join(err, taken("row", d.Decl.Name.Value, d.Decl.Name.Span))
			}
		}
	}
	return err
}

func checkName(to string) error {
	for i, c := range to {
		if c != '_' && !unicode.IsLetter(c) && (i == 0 || c < '0' || c > '9') {
			return fmt.Errorf("%q cannot be a name: use letters, digits and _, a letter first", to)
		}
	}
	switch {
	case to == "":
		return errors.New("a name needs at least one letter")
	case syntax.IsKeyword(to):
		return fmt.Errorf("%s is a word of the language", to)
	}
	if u, ok := quantity.UnitNamed(to); ok {
		return fmt.Errorf("%s is a unit (%s); choose another name", to, u.Dim.Name())
	}
	if builtinNamed(to) != nil {
		return fmt.Errorf("%s is a built-in function; choose another name", to)
	}
	return nil
}

func (r *renamer) nameEdits(to string) ([]diag.Edit, error) {
	if err := checkName(to); err != nil {
		return nil, err
	}
	d, n := r.doc, r.name
	owner, exported := d.owner(d.File.Path, n)
	switch {
	case to == n.Text:
		return nil, nil
	case !exported || n.Scope == syntax.Loaded && isAlias(n):
		edits, err := renameHere(d.Names(), n, to)
		for _, span := range d.namedArguments(n) {
			edits = append(edits, diag.Edit{Span: span, Text: to})
		}
		return edits, err
	case n.Scope == syntax.Loaded && (owner.path == "" || d.scopesOf(owner.path) == nil):
		edits, err := renameHere(d.Names(), n, to)
		return aliased(edits, n, to), err // what it is called where it comes from stays
	}
	var edits []diag.Edit
	for _, path := range d.paths() {
		if !d.mayName(path, owner) {
			continue
		}
		scopes := d.scopesOf(path)
		for _, m := range scopes.Names {
			if m.Scope != syntax.Top && m.Scope != syntax.Loaded {
				continue
			}
			if own, ok := d.owner(path, m); !ok || own != owner {
				continue
			}
			more, err := renameExported(scopes, m, to)
			if err != nil {
				return nil, err
			}
			edits = append(edits, more...)
		}
	}
	return edits, nil
}

// isAlias tells whether a loaded name has another name where it comes from.
func isAlias(n *syntax.Name) bool { return n.Load.Span != n.Sites[0].Span }

// renameHere renames a name within its file, as long as no other of that name gets in its way.
func renameHere(scopes *syntax.Scopes, n *syntax.Name, to string) ([]diag.Edit, error) {
	if other := clash(scopes, n, to); other != nil {
		return nil, fmt.Errorf("%s is taken already, at %s", to, other.Sites[0].Span)
	}
	var edits []diag.Edit
	for _, s := range n.Sites {
		edits = append(edits, diag.Edit{Span: s.Span, Text: to})
	}
	return edits, nil
}

// aliased changes the edit inside the quotes of a load to one that keeps what is loaded: "tomato" becomes
// to = "tomato".
func aliased(edits []diag.Edit, n *syntax.Name, to string) []diag.Edit {
	for i := range edits {
		if edits[i].Span == n.Load.Span {
			at := n.Load.Span.Start
			at.Col--
			edits[i] = diag.Edit{Span: source.Span{File: n.Load.Span.File, Start: at, End: at}, Text: to + " = "}
		}
	}
	return edits
}

// renameExported renames, in one file, a name that files share. A file that has another use for the new
// name, or an own name for the thing, keeps what it has and only loads the thing by its new name.
func renameExported(scopes *syntax.Scopes, n *syntax.Name, to string) ([]diag.Edit, error) {
	if n.Scope == syntax.Loaded {
		if isAlias(n) {
			return []diag.Edit{{Span: n.Load.Span, Text: to}}, nil
		}
		if clash(scopes, n, to) != nil {
			at := n.Load.Span.Start
			at.Col--
			keep := source.Span{File: scopes.File, Start: at, End: at}
			return []diag.Edit{{Span: keep, Text: n.Text + " = "}, {Span: n.Load.Span, Text: to}}, nil
		}
	}
	return renameHere(scopes, n, to)
}

// clash finds a name of the file that the new name would be mixed up with: one known at some place of
// the name, or one whose places would come to mean the renamed thing.
func clash(scopes *syntax.Scopes, n *syntax.Name, to string) *syntax.Name {
	for _, other := range scopes.Names {
		if other.Text != to || other == n {
			continue
		}
		switch {
		case n.Scope == syntax.Local:
			if other.In == n.In || anyWithin(other, n.In) || other.Scope == syntax.Local && anyWithin(n, other.In) {
				return other
			}
		case other.Scope != syntax.Local || anyWithin(n, other.In):
			return other
		}
	}
	return nil
}

// anyWithin tells whether any place of a name lies in a stretch.
func anyWithin(n *syntax.Name, in source.Span) bool {
	return slices.ContainsFunc(n.Sites, func(s syntax.Site) bool { return in.Contains(s.Span.Start) })
}
