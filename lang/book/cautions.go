package book

// caution is what can hurt in a part of the work, in the words that are usual for it.
type caution struct {
	about, says string
	has         bool // the plan has that part
}

// cautions writes what can hurt, once, for what the plan asks to be done.
func (b *Book) cautions(w *paper) {
	f := b.Facts
	fed := f.Fed()
	sprayed := len(f.Protection().Applications) > 0
	list := []caution{
		{"Water", "A backflow preventer of the kind that the local code asks for stands between the field and any water that people drink; " +
			"have it installed and tested by a licensed person. More so where fertilizer goes through the water.", f.Water != nil && len(f.Water.Sources) > 0},
		{"Heat", "Heavy work belongs into the cool of the day. Drink before you are thirsty, rest in the shade, let people who are new to " +
			"the heat begin with less, and watch each other (OSHA, heat guidance).", true},
		{"Lifting", "The revised NIOSH equation starts from 51 lb (23 kg) for a load close to the body at knuckle height and allows less with " +
			"reach, height, twist and repetition. Bags, flats and bins beyond that take two people or a cart.", true},
		{"Chemicals", "The label is the law, also where this book says otherwise. Wear what it asks for, keep off the ground until its re-entry " +
			"time has passed, keep its days to harvest, and keep off wells, streams and drains. Leave to a licensed applicator what the rules leave to one.", sprayed || fed},
		{"Manure and food", "Keep raw manure, animals and dirty water away from what is eaten raw for as long as the rules of your state and " +
			"market ask. Wash hands, bins and knives.", true},
		{"Loaded trellises", "Strings, rails and wires under load snap back, and posts that lean can go at once: keep faces out of their line, " +
			"wear eye protection when you tighten or cut them, and never climb on them.", len(f.Farm.Trellises) > 0},
		{"Figures", "What is marked memory was recalled and not looked up; what is marked common practice has no published source. Check both " +
			"against your state's handbook before money or a crop hangs on them.", true},
	}
	w.raw("<dl class=\"cautions\">\n")
	for _, c := range list {
		if c.has {
			w.part("caution", map[string]string{"About": c.about, "Says": c.says})
		}
	}
	w.raw("</dl>\n<p>Local codes, labels and licensed practice come before anything in this book.</p>\n")
}
