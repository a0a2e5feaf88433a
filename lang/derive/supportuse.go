package derive

import (
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Uses gives what the trellises take.
func (s *Support) Uses() []Use {
	var uses []Use
	for _, t := range s.Trellises {
		if t.Unknown == "" {
			uses = append(uses, t.uses(s.units)...)
		}
	}
	return uses
}

func (t *Trellis) uses(units quantity.System) []Use {
	var uses []Use
	add := func(kind WareKind, name, do string, amount quantity.Quantity, by season.Date) *Use {
		if amount.SI > 0 {
			uses = append(uses, Use{Ware: Ware{Kind: kind, Name: name}, Amount: amount, By: by, For: do, Where: Item{Row: t.Rows[0]}})
			return &uses[len(uses)-1]
		}
		return &Use{}
	}
	long := func(v float64) string { return units.Format(quantity.Meters(v)) }
	post := "post"
	if style := t.Decl.Style.Value; style == "stake and weave" || style == "cage" {
		post = "stake"
	}
	add(PostWare, post+", "+long(t.Post), "holds up the plants", pieces(t.Posts), t.Set)
	add(TwineWare, "twine", "woven along both faces", quantity.Meters(t.Twine), t.firstString())
	add(TwineWare, "trellis string", "one for each stem", quantity.Meters(float64(t.Lines)*t.Line), t.Set)
	add(HookWare, "hook", "hangs a string from the rail", pieces(t.Lines), t.Set)
	add(ClipWare, "plant clip", "holds the stem to its string", pieces(t.Clips), t.firstString())
	if len(t.Rail) > 0 {
		total := 0.0
		for _, piece := range t.Rail {
			total += piece
		}
		name := "rail"
		if t.Decl.Rail.Given {
			name = t.Decl.Rail.Value
		}
		stock := t.own(&t.Decl.RailStock, "rail length")
		u := add(RailWare, name, "carries the strings", quantity.Meters(total), t.Set)
		u.Ware.Pack, u.Ware.PackName, u.Cuts = quantity.Meters(stock), "length", t.Rail
		add(CouplingWare, "coupling for "+name, "joins two lengths of rail", pieces(t.Joints), t.Set)
		add(CouplingWare, "elbow for "+name, "turns the rail round the rows' ends", pieces(t.Corners), t.Set)
		add(OtherWare, "tee", "carries the rail on a post", pieces(t.Posts*len(t.Rows)), t.Set)
	}
	add(NetWare, "wire mesh for cages", "rolled into cages", quantity.Meters(float64(t.Cages)*t.Mesh), t.Set)
	add(NetWare, "net, "+long(t.Height)+" high", "holds up the plants", quantity.Meters(t.Net), t.Set)
	return uses
}

// firstString is the day of the first string or clip, else that on which the posts are set.
func (t *Trellis) firstString() season.Date {
	for _, list := range [][]StringLevel{t.Levels, t.Passes} {
		if len(list) > 0 && list[0].On.IsSet() {
			return list[0].On
		}
	}
	return t.Set
}

// events gives the days of posts and strings.
func (s *Support) events(all []Event) []Event {
	for _, t := range s.Trellises {
		if t.Unknown != "" {
			continue
		}
		add := func(on season.Date, do, what string, count int) {
			for _, r := range t.Rows { // the calendar joins them
				if on.IsSet() {
					e := Event{On: on, Until: season.None, Do: do, What: what, Where: Item{Row: r}}
					if count > 0 {
						e.Count, e.Of, count = count, "post|posts", 0
					}
					all = append(all, e)
				}
			}
		}
		add(t.Set, "set "+postsOf(t.Decl), "", t.Posts)
		for _, l := range t.Levels {
			add(l.On, "string at "+s.units.Short(quantity.Meters(l.Height)), t.Main.Decl.Crop.Title(), 0)
		}
		for _, l := range t.Passes {
			add(l.On, "clip stems to their strings", t.Main.Decl.Crop.Title(), 0)
		}
	}
	return all
}

// postsOf says what is set for a style.
func postsOf(d *farm.Trellis) string {
	switch d.Style.Value {
	case "stake and weave":
		return "stakes"
	case "cage":
		return "cages"
	case "net":
		return "posts and net"
	}
	return "posts and rail"
}
