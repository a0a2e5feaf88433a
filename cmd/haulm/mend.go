package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lsp/disk"
)

// maxRounds bounds how often a mended plan is mended again: a fix may uncover what another mends.
const maxRounds = 20

// mend applies the safe fixes of a plan until none is left, writes the files that changed, all or none,
// and says on w what was done. It gives the plan as it then is.
func mend(ctx context.Context, p *place, s *plan.Snapshot, w io.Writer) (*plan.Snapshot, error) {
	if p.stdin {
		return nil, errors.New("--fix needs a file to write to, and standard input is none; save the plan first")
	}
	texts := map[string]string{} // by path in the root
	var order, done []string
	name := p.fromHere(stdinTitle)
	for range maxRounds {
		after, applied := diag.ApplySafe(own(s.Findings))
		if len(applied) == 0 {
			break
		}
		for _, a := range applied {
			at := a.Fix.Edits[0].Span
			done = append(done, fmt.Sprintf("%s:%d: %s (%s)", name(at.File.Path), at.Start.Line, a.Fix.Title, a.Finding.Code()))
		}
		for _, f := range sorted(after) {
			if _, known := texts[f.Path]; !known {
				order = append(order, f.Path)
			}
			texts[f.Path] = after[f]
		}
		mended := *p
		mended.FS = disk.Overlay{FS: p.FS, Texts: texts}
		var err error
		if s, err = checkPlan(ctx, &mended); err != nil {
			return nil, err
		}
	}
	files := make(map[string]string, len(texts))
	for i, path := range order {
		order[i] = p.onDisk(path)
		files[order[i]] = texts[path]
	}
	if err := writeWhole(files, order); err != nil {
		return nil, err
	}
	for _, line := range done {
		fmt.Fprintln(w, line)
	}
	return s, nil
}

// own leaves out findings whose safe fix would change a module of the standard library.
func own(ds []diag.Diagnostic) []diag.Diagnostic {
	return slices.DeleteFunc(slices.Clone(ds), func(d diag.Diagnostic) bool {
		return slices.ContainsFunc(d.Fixes, func(f diag.Fix) bool {
			return slices.ContainsFunc(f.Edits, func(e diag.Edit) bool {
				return e.Span.File != nil && eval.IsLibrary(e.Span.File.Path)
			})
		})
	})
}

func sorted(texts map[*source.File]string) []*source.File {
	var files []*source.File
	for f := range texts {
		files = append(files, f)
	}
	slices.SortFunc(files, func(a, b *source.File) int {
		if a.Path < b.Path {
			return -1
		}
		return 1
	})
	return files
}
