package crops

// Entry is one value of a crop, ready to be read: `haulm doc`, hover and the reference print these.
type Entry struct {
	Label     string
	Kind      Kind
	Range     Range       // of a word, only Grade, Source, Note and Others are set
	Text      string      // of a word
	Emergence []Emergence // of Cells
}

// Values gives every value that the crop has, in reading order.
func (c *Crop) Values() []Entry {
	all := []Entry{
		word("family", c.Family, c.FamilySource, nil),
		word("started", c.start(), c.startSource(), c.StartOthers),
		word("frost class", c.Frost.String(), c.FrostSource, c.FrostOthers),
	}
	if !c.OffsetLastFrost.Known() && c.Frost != FrostUnknown {
		all = append(all, c.goesOut())
	}
	for _, v := range values {
		all = append(all, Entry{Label: v.label, Kind: v.kind, Range: *v.field(c)})
		switch v.name {
		case "soil_max":
			all = append(all, cells(c.Emergence))
		case "yield_plant":
			all = append(all, word("sold by the", c.SaleUnit, c.SaleSource, nil))
		}
	}
	var known []Entry
	for _, e := range all {
		if e.Range.Known() && (e.Kind != Word || e.Text != "") {
			known = append(known, e)
		}
	}
	return known
}

// start is how the crop is usually started, in the words of the table.
func (c *Crop) start() string {
	switch {
	case c.Transplant && c.Direct:
		return "transplant or direct"
	case c.Transplant:
		return "transplant"
	case c.Direct:
		return "direct"
	}
	return ""
}

// startSource is the table's source unless a plan has changed the way.
func (c *Crop) startSource() Stated {
	if c.StartSource.Text == c.start() {
		return c.StartSource
	}
	return Stated{Grade: GradePlan, Source: "this plan"}
}

func word(label, text string, s Stated, others []Stated) Entry {
	return Entry{Label: label, Text: text, Range: Range{Grade: s.Grade, Source: s.Source, Note: s.Note, Others: others}}
}

func cells(e []Emergence) Entry {
	if len(e) == 0 {
		return Entry{}
	}
	return Entry{Label: "days to emerge", Kind: Cells, Emergence: e, Range: Range{Grade: e[0].Grade, Source: e[0].Source}}
}
