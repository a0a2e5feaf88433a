package feature

import "haulm/lang/source"

// Linked gives the stretches of the file that must read alike and so are typed as one, that at the place
// among them: the name that plantings of one succession share, or zones that are open together. None when
// another file has the word too: then only Rename keeps them alike.
func (d *Doc) Linked(at source.Point) []source.Span {
	word := d.sharedAt(at)
	if word == nil {
		return nil
	}
	var spans []source.Span
	for _, r := range d.sharedWords(word) {
		if r.Span.File != d.File {
			return nil
		}
		spans = append(spans, r.Span)
	}
	if len(spans) < 2 {
		return nil
	}
	return spans
}
