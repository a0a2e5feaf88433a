package source

import "slices"

// As gives the same text under another path. What is known of its lines is shared.
func (f *File) As(path string) *File {
	return &File{Path: path, Text: f.Text, shared: f.ownIndex()}
}

// Edit gives the file with what stands between two byte offsets replaced. Only the lines around the edit
// are looked through again, so the next question about a place costs about the same in a long text as in
// a short one.
func (f *File) Edit(start, end int, text string) *File {
	start = min(max(start, 0), len(f.Text))
	end = min(max(end, start), len(f.Text))
	g := &File{Path: f.Path, Text: f.Text[:start] + text + f.Text[end:], shared: &lineIndex{}}
	g.shared.once.Do(func() { g.shared.edit(f, start, end, g.Text) })
	return g
}

// edit builds the index of the text that an edit of f gave. The lines before and after those of the edit
// are looked through too, for a "\r" and a "\n" may have come together or apart there.
func (x *lineIndex) edit(f *File, start, end int, text string) {
	old := f.lines()
	first := max(int(f.Point(start).Line)-2, 0)
	last := min(int(f.Point(end).Line), len(old.starts)-1) // the line after that of end, from 0
	from, to := old.starts[first], len(f.Text)
	if last+1 < len(old.starts) {
		to = old.starts[last+1]
	}
	by := len(text) - len(f.Text)
	var part lineIndex
	part.build(text[from : to+by])
	if last+1 < len(old.starts) { // where the part ends, the next line begins
		part.starts = part.starts[:len(part.starts)-1]
	}
	x.starts = make([]int, 0, first+len(part.starts)+len(old.starts)-last-1)
	x.starts = append(x.starts, old.starts[:first]...)
	for _, s := range part.starts {
		x.starts = append(x.starts, from+s)
	}
	for _, s := range old.starts[last+1:] {
		x.starts = append(x.starts, s+by)
	}
	if old.wide == nil && part.wide == nil {
		return
	}
	x.wide = make([]bool, len(x.starts))
	copy(x.wide, old.wide[:min(first, len(old.wide))])
	copy(x.wide[first:first+len(part.starts)], part.wide)
	if old.wide != nil {
		copy(x.wide[first+len(part.starts):], old.wide[last+1:])
	}
	if !slices.Contains(x.wide, true) {
		x.wide = nil
	}
}
