package main

import (
	"os"
	"path/filepath"
	"slices"

	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/source"
	"haulm/lsp/disk"
)

// namer says how a file of a plan, given by its path in the root, is called in the output.
type namer func(path string) string

// fromHere names files as someone in the current folder would: below it by relative path, elsewhere in
// the way the plan itself was named.
func (p *place) fromHere(stdin string) namer {
	here, err := os.Getwd()
	return func(path string) string {
		if p.stdin && path == p.entry {
			return stdin
		}
		file := p.onDisk(path)
		if eval.IsLibrary(path) || err != nil {
			return path
		}
		rel, err := filepath.Rel(here, file)
		switch {
		case err != nil, disk.LeadsOut(rel) && filepath.IsAbs(p.arg):
			return filepath.ToSlash(file)
		}
		return filepath.ToSlash(rel)
	}
}

// fromRoot names files by their path in the root, as tools that look at a whole work tree want them.
func (p *place) fromRoot(path string) string { return path }

// renamed gives findings whose files are called as the namer says.
func renamed(ds []diag.Diagnostic, name namer) []diag.Diagnostic {
	files := map[*source.File]*source.File{}
	move := func(s source.Span) source.Span {
		if s.File == nil {
			return s
		}
		f, ok := files[s.File]
		if !ok {
			f = source.New(name(s.File.Path), s.File.Text)
			files[s.File] = f
		}
		s.File = f
		return s
	}
	out := slices.Clone(ds)
	for i := range out {
		d := &out[i]
		d.Primary.Span = move(d.Primary.Span)
		d.Related = slices.Clone(d.Related)
		for j := range d.Related {
			d.Related[j].Span = move(d.Related[j].Span)
		}
		d.Fixes = slices.Clone(d.Fixes)
		for j := range d.Fixes {
			d.Fixes[j].Edits = slices.Clone(d.Fixes[j].Edits)
			for k := range d.Fixes[j].Edits {
				d.Fixes[j].Edits[k].Span = move(d.Fixes[j].Edits[k].Span)
			}
		}
	}
	return out
}
