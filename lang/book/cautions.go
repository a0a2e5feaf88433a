package book

// cautions writes what can hurt, once.
func (b *Book) cautions(w *paper) {
	w.raw("<ul>\n")
	for _, c := range []string{
		"Water: a backflow preventer of the kind that the local code asks for stands between the field and any water that people drink.",
		"Heat: plan heavy work for the cool of the day; drink, rest in the shade, and watch each other.",
		"Lifting: two people for what one cannot lift with a straight back.",
		"Chemicals: the label is the law. Wear what it asks for, and keep off the ground until the time that it gives has passed.",
		"Food: keep manure, animals and dirty water away from what is eaten raw, for as long as your market's or state's rules ask.",
		"Loaded trellises: strings and rails under load can snap back; keep eyes and faces out of their line.",
	} {
		w.raw("<li>")
		w.text(c)
		w.raw("</li>\n")
	}
	w.raw("</ul>\n<p>Local codes, labels, and licensed practice come before anything in this book.</p>\n")
}
