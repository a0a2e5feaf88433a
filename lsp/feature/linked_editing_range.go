package feature

import (
	"slices"
	"strings"

	"haulm/lang/eval"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Linked gives the stretches of the file that must read alike and so are typed as one, that at the place
// among them: the name that plantings of one succession share, or zones that are open together, and the
// name of a crop with its mentions in histories. None when another file has the word too: then only
// Rename keeps them alike.
func (d *Doc) Linked(at source.Point) []source.Span {
	if word := d.sharedAt(at); word != nil {
		return d.alone(d.sharedWords(word))
	}
	part, offset := d.Part(at), d.File.Offset(at)
	tok, _, _ := part.tokenAt(offset)
	if tok.Kind != syntax.Text || !tok.Sound || d.cropMention(part, tok) == noMention {
		return nil
	}
	return d.cropMentions(unquoted(part.text(tok)))
}

// alone gives the places when there are several and all are in this file.
func (d *Doc) alone(refs []Reference) []source.Span {
	var spans []source.Span
	for _, r := range refs {
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

// mention tells how a text speaks of a crop.
type mention uint8

const (
	noMention mention = iota
	declared          // crop("...")
	mentioned         // history(crops = ["..."])
)

func (d *Doc) cropMention(part *Part, tok syntax.Token) mention {
	w := d.namesAt(part, tok.Start).wanted(part, tok.Start+1, tok.Start)
	switch {
	case w.param == nil:
		return noMention
	case w.param.Type.Kind == eval.KindCrops:
		return mentioned
	case w.builtin.Name == kindCrop && w.param.Name == "name":
		return declared
	}
	return noMention
}

// cropMentions gives the places of the name of a crop that the file declares, if it mentions it elsewhere.
func (d *Doc) cropMentions(name string) []source.Span {
	var spans []source.Span
	isDeclared := false
	text := d.File.Text
	for from := 0; name != ""; {
		n := strings.Index(text[from:], name)
		if n < 0 {
			break
		}
		at := from + n
		from = at + len(name)
		part := d.Part(d.File.Point(at))
		tok, _, _ := part.tokenAt(at)
		if tok.Kind != syntax.Text || unquoted(part.text(tok)) != name {
			continue
		}
		m := d.cropMention(part, tok)
		isDeclared = isDeclared || m == declared
		if m != noMention {
			spans = append(spans, d.between(at, from))
		}
	}
	if !isDeclared || len(spans) < 2 || d.mentionedElsewhere(name) {
		return nil
	}
	return spans
}

// mentionedElsewhere tells whether a history in another file has a crop of the name.
func (d *Doc) mentionedElsewhere(name string) bool {
	if d.Plan == nil || d.Plan.Farm == nil {
		return false
	}
	for _, h := range d.Plan.Farm.Histories {
		if h.Call.IsValid() && h.Call.File.Path != d.File.Path && slices.Contains(h.Names, name) {
			return true
		}
	}
	return false
}
