package syntax

import (
	"cmp"
	"slices"

	"haulm/lang/source"

	"go.starlark.net/resolve"
	star "go.starlark.net/syntax"
)

// Scopes are the names of a file and what each of them means there.
type Scopes struct {
	File  *source.File
	Names []*Name // in the order of their first places
	sites []siteOf
}

// Name is one thing that a file calls by a name, with every place that does. The same word in two
// functions is two Names.
type Name struct {
	Text  string
	Scope Scope
	Sites []Site // in the order of the text
	In    source.Span
	Load  *Load // of a loaded name
}

// Scope tells where a name is known.
type Scope uint8

// The scopes of names.
const (
	Outside Scope = iota // not bound in the file: a built-in, a unit, or unknown
	Top                  // bound at the top of the file, so other files can load it
	Loaded               // bound by a load
	Local                // bound in a function, lambda or comprehension: that of Name.In
)

// Site is one place of a name.
type Site struct {
	Span  source.Span // the name itself; of a loaded name it lies inside the quotes
	Binds bool        // the name gets its meaning here
	// By is what binds it: *AssignStmt, *ForStmt, *ForClause, *DefStmt (its name or a parameter),
	// *LambdaExpr or *LoadStmt of go.starlark.net/syntax; nil for a use, and in a broken statement.
	By star.Node
}

// Load is what a load statement says of one name.
type Load struct {
	Module string      // as written: "crops" or "./west_field.star"
	Path   source.Span // the module's text, with its quotes
	Name   string      // what the module calls it
	Span   source.Span // of Name, inside its quotes
}

type siteOf struct {
	site *Site
	name *Name
}

// Resolve reads a file and finds what each of its names means. Names in statements that cannot be read
// count where they match a name of the whole file. known tells which names mean something without being
// bound, such as units; any other use before its name is bound counts as that name's.
func Resolve(f *source.File, known func(name string) bool) *Scopes {
	tree := Parse(f)
	everything := func(string) bool { return true }
	nothing := func(string) bool { return false }
	if len(tree.Root.Stmts) > 0 {
		// What does not hold together is evaluation's to report; the names are bound all the same.
		_ = resolve.File(tree.Root, everything, nothing)
	}
	s := &scoper{
		scopes: &Scopes{File: f}, tree: tree, known: known,
		names: map[*star.Ident]*Name{}, top: map[string]*Name{}, outside: map[string]*Name{},
		binds: map[*star.Ident]star.Node{}, loads: map[*star.Ident]*Load{},
	}
	s.walk(tree.Root)
	s.merge()
	s.broken()
	return s.finish()
}

// At gives the name at a place and the site there; a place just behind a name counts as the name's.
func (s *Scopes) At(p source.Point) (*Name, *Site) {
	i, found := slices.BinarySearchFunc(s.sites, p, func(e siteOf, p source.Point) int {
		if e.site.Span.Start == p {
			return 0
		}
		if e.site.Span.Start.Before(p) {
			return -1
		}
		return 1
	})
	if !found {
		if i--; i < 0 || s.sites[i].site.Span.End.Before(p) {
			return nil, nil
		}
	}
	return s.sites[i].name, s.sites[i].site
}

// TopNamed gives the name of the whole file, bound at its top or loaded, that a word means; nil for none.
func (s *Scopes) TopNamed(text string) *Name {
	for _, n := range s.Names {
		if n.Text == text && (n.Scope == Top || n.Scope == Loaded) {
			return n
		}
	}
	return nil
}

// scoper gathers the names of a resolved tree.
type scoper struct {
	scopes  *Scopes
	tree    *Tree
	known   func(string) bool
	names   map[*star.Ident]*Name // by the first place that binds
	top     map[string]*Name
	outside map[string]*Name
	binds   map[*star.Ident]star.Node
	loads   map[*star.Ident]*Load
	inside  []source.Span // functions, lambdas and comprehensions around the node
}

func (s *scoper) walk(root *star.File) {
	var nodes []bool
	star.Walk(root, func(n star.Node) bool {
		if n == nil {
			if last := len(nodes) - 1; nodes[last] {
				s.inside = s.inside[:len(s.inside)-1]
			}
			nodes = nodes[:len(nodes)-1]
			return false
		}
		nodes = append(nodes, s.enter(n))
		return true
	})
}

// enter visits a node; true when names inside it may be its own.
func (s *scoper) enter(n star.Node) bool {
	switch n := n.(type) {
	case *star.Ident:
		s.ident(n)
	case *star.AssignStmt:
		s.targets(n.LHS, n)
	case *star.ForStmt:
		s.targets(n.Vars, n)
	case *star.DefStmt:
		s.binds[n.Name] = n
		s.params(n.Params, n)
		s.ident(n.Name) // before its own span is entered: the name belongs to what is around
		s.inside = append(s.inside, SpanOf(s.tree.File, n))
		return true
	case *star.LambdaExpr:
		s.params(n.Params, n)
		s.inside = append(s.inside, SpanOf(s.tree.File, n))
		return true
	case *star.Comprehension:
		for _, c := range n.Clauses {
			if c, ok := c.(*star.ForClause); ok {
				s.targets(c.Vars, c)
			}
		}
		s.inside = append(s.inside, SpanOf(s.tree.File, n))
		return true
	case *star.LoadStmt:
		s.load(n)
	}
	return false
}

// targets notes the names that an assignment or a loop binds.
func (s *scoper) targets(x star.Expr, by star.Node) {
	switch x := x.(type) {
	case *star.Ident:
		s.binds[x] = by
	case *star.ParenExpr:
		s.targets(x.X, by)
	case *star.TupleExpr:
		for _, e := range x.List {
			s.targets(e, by)
		}
	case *star.ListExpr:
		for _, e := range x.List {
			s.targets(e, by)
		}
	}
}

func (s *scoper) params(params []star.Expr, by star.Node) {
	for _, p := range params {
		switch p := p.(type) {
		case *star.Ident:
			s.binds[p] = by
		case *star.BinaryExpr:
			s.targets(p.X, by)
		case *star.UnaryExpr:
			if p.X != nil {
				s.targets(p.X, by)
			}
		}
	}
}

// load notes the names that a load binds. Its identifiers are walked here, for the tree holds them twice.
func (s *scoper) load(n *star.LoadStmt) {
	for i, to := range n.To {
		module, _ := n.Module.Value.(string)
		from := n.From[i]
		s.loads[to] = &Load{Module: module, Path: SpanOf(s.tree.File, n.Module), Name: from.Name, Span: SpanOf(s.tree.File, from)}
		s.binds[to] = n
		s.ident(to)
	}
}

// ident puts a place with its name. Names of arguments and attributes have no binding and are none.
func (s *scoper) ident(id *star.Ident) {
	b, ok := id.Binding.(*resolve.Binding)
	if !ok {
		return
	}
	name := s.nameOf(id, b)
	span := SpanOf(s.tree.File, id)
	if n := len(name.Sites); n > 0 && name.Sites[n-1].Span == span {
		return // walked twice: a function's own name, or a loaded one
	}
	by := s.binds[id]
	if name.Load == nil && s.loads[id] != nil {
		name.Load = s.loads[id]
	}
	name.Sites = append(name.Sites, Site{Span: span, Binds: by != nil, By: by})
}

func (s *scoper) nameOf(id *star.Ident, b *resolve.Binding) *Name {
	if b.First == nil {
		if s.outside[id.Name] == nil {
			s.outside[id.Name] = &Name{Text: id.Name, Scope: Outside}
			s.scopes.Names = append(s.scopes.Names, s.outside[id.Name])
		}
		return s.outside[id.Name]
	}
	name := s.names[b.First]
	if name == nil {
		name = &Name{Text: id.Name, Scope: Top}
		switch {
		case s.loads[b.First] != nil:
			name.Scope = Loaded
		case b.Scope != resolve.Global:
			name.Scope = Local
		}
		s.names[b.First] = name
		s.scopes.Names = append(s.scopes.Names, name)
		if name.Scope != Local {
			s.top[id.Name] = name
		}
	}
	if id == b.First && name.Scope == Local && !name.In.IsValid() && len(s.inside) > 0 {
		name.In = s.inside[len(s.inside)-1]
	}
	return name
}

// merge gives uses that stand before the name is bound at the top of the file to that name: the grower
// means it, although evaluation does not know it yet.
func (s *scoper) merge() {
	s.scopes.Names = slices.DeleteFunc(s.scopes.Names, func(n *Name) bool {
		top := s.top[n.Text]
		if n.Scope != Outside || top == nil || s.known(n.Text) {
			return false
		}
		top.Sites = append(top.Sites, n.Sites...)
		return true
	})
}

// broken adds the places in statements that cannot be read.
func (s *scoper) broken() {
	f := s.tree.File
	for _, piece := range s.tree.Bad {
		tokens := Tokens(f, f.Offset(piece.Span.Start), f.Offset(piece.Span.End))
		for i, t := range tokens {
			if t.Kind != Word {
				continue
			}
			text := f.Text[t.Start:t.End]
			next := ""
			if i+1 < len(tokens) {
				next = f.Text[tokens[i+1].Start:tokens[i+1].End]
			}
			previous := ""
			if i > 0 {
				previous = f.Text[tokens[i-1].Start:tokens[i-1].End]
			}
			if IsKeyword(text) || previous == "." || next == "=" && !t.First {
				continue
			}
			binds := slices.Contains(piece.Names, text) && (t.First || previous == "def")
			s.brokenSite(text, f.Span(t.Start, t.End), binds)
		}
	}
}

func (s *scoper) brokenSite(text string, span source.Span, binds bool) {
	name := s.top[text]
	switch {
	case name != nil:
	case binds:
		name = &Name{Text: text, Scope: Top}
		s.top[text] = name
		s.scopes.Names = append(s.scopes.Names, name)
		s.merge()
	case s.outside[text] != nil:
		name = s.outside[text]
	default:
		name = &Name{Text: text, Scope: Outside}
		s.outside[text] = name
		s.scopes.Names = append(s.scopes.Names, name)
	}
	name.Sites = append(name.Sites, Site{Span: span, Binds: binds})
}

// finish puts everything in the order of the text.
func (s *scoper) finish() *Scopes {
	out := s.scopes
	for _, n := range out.Names {
		slices.SortStableFunc(n.Sites, func(a, b Site) int { return a.Span.Compare(b.Span) })
		for i := range n.Sites {
			out.sites = append(out.sites, siteOf{&n.Sites[i], n})
		}
	}
	bySpan := func(a, b siteOf) int { return a.site.Span.Compare(b.site.Span) }
	slices.SortStableFunc(out.sites, bySpan)
	slices.SortStableFunc(out.Names, func(a, b *Name) int {
		return cmp.Or(a.Sites[0].Span.Compare(b.Sites[0].Span), cmp.Compare(a.Text, b.Text))
	})
	return out
}
