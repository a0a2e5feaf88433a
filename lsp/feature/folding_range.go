package feature

import (
	"cmp"
	"slices"
	"strings"

	"haulm/lang/syntax"
)

// Fold is a stretch of lines, from 1, that an editor can show as its first one.
type Fold struct {
	From, To int32
	Kind     FoldKind
}

// FoldKind tells what a Fold hides.
type FoldKind uint8

// The kinds of folds.
const (
	FoldCode FoldKind = iota
	FoldComment
	FoldLoads
)

// Folds gives what can be folded: brackets over several lines, blocks, texts, remarks and loads that
// follow each other. Of two that begin on one line the longer stands.
func (d *Doc) Folds() []Fold {
	f := &folder{part: d.whole()}
	f.statements = f.part.statements()
	f.brackets()
	f.blocks()
	f.comments()
	slices.SortStableFunc(f.folds, func(a, b Fold) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(b.To, a.To))
	})
	return slices.CompactFunc(f.folds, func(a, b Fold) bool { return a.From == b.From })
}

type folder struct {
	part       *Part
	statements []statement
	folds      []Fold
}

func (f *folder) line(offset int) int32 { return f.part.File.Point(offset).Line }

func (f *folder) add(from, to int32, kind FoldKind) {
	if to > from {
		f.folds = append(f.folds, Fold{from, to, kind})
	}
}

// brackets folds calls and lists up to the line before the one that closes them, and texts.
func (f *folder) brackets() {
	for _, s := range f.statements {
		var open []syntax.Token
		for _, t := range s.code {
			switch {
			case t.Kind == syntax.Opener:
				open = append(open, t)
			case t.Kind == syntax.Closer && len(open) > 0:
				to := f.line(t.Start)
				if t.First {
					to--
				}
				f.add(f.line(open[len(open)-1].Start), to, FoldCode)
				open = open[:len(open)-1]
			case t.Kind == syntax.Text:
				f.add(f.line(t.Start), f.line(t.End), FoldComment)
			}
		}
	}
}

// blocks folds what functions, loops and conditions hold, and loads.
func (f *folder) blocks() {
	for i := 0; i < len(f.statements); i++ {
		s := &f.statements[i]
		if last := blockEnd(f.statements, i) - 1; s.heads && last > i {
			f.add(f.line(s.end()), f.line(f.statements[last].end()), FoldCode)
		}
		last := i
		for last < len(f.statements) && f.part.text(f.statements[last].code[0]) == "load" {
			last++
		}
		if last > i+1 {
			f.add(f.line(s.start()), f.line(f.statements[last-1].end()), FoldLoads)
			i = last - 1
		}
	}
}

// comments folds remarks on lines of their own that follow each other.
func (f *folder) comments() {
	text := f.part.File.Text
	var from, to int32
	for _, t := range f.part.Tokens {
		if t.Kind != syntax.Comment || strings.Trim(text[beginOfLine(text, t.Start):t.Start], " \t") != "" {
			continue
		}
		if line := f.line(t.Start); line == to+1 && from > 0 {
			to = line
			continue
		}
		f.add(from, to, FoldComment)
		from = f.line(t.Start)
		to = from
	}
	f.add(from, to, FoldComment)
}
