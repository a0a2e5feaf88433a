package feature

import (
	"strings"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// judgeCrop: a crop fits a planting when it is started that way and the day is in its season.
func (c *completer) judgeCrop(crop *crops.Crop, w want, on season.Date, item *Completion) rank {
	item.Note = cropLine(crop, c.doc.units())
	if w.builtin == nil || !isPlanting(w.builtin) {
		return fits
	}
	direct := w.builtin.Name == "sow"
	switch {
	case direct && !crop.Direct:
		item.Note = "usually set out as plants; " + item.Note
		return unfit
	case !direct && !crop.Transplant:
		item.Note = "usually sown in the row; " + item.Note
		return unfit
	}
	if why := c.outOfSeason(crop, direct, on); why != "" {
		item.Note = why + "; " + item.Note
		return unfit
	}
	return fits
}

// outOfSeason says why a crop does not go out on a day; "" when it does, or when that is not known.
func (c *completer) outOfSeason(crop *crops.Crop, direct bool, on season.Date) string {
	site := c.site()
	if site == nil || !on.IsSet() {
		return ""
	}
	offset, source := crop.FrostOffset(direct)
	year := c.doc.year()
	if source != "" && site.LastFrost.Given && on.Year() == site.LastFrost.Value.Year() {
		if first := site.LastFrost.Value.Add(offset); on < first {
			return "from " + first.Long(year)
		}
	}
	days := crop.MaturityTransplant
	if direct || !days.Known() {
		days = crop.MaturitySeed
	}
	if crop.Frost >= crops.Tender && days.Known() && site.FirstFrost.Given && on < site.FirstFrost.Value {
		if latest := site.FirstFrost.Value.Add(-int(days.Mid())); on > latest {
			return "until " + latest.Long(year)
		}
	}
	return ""
}

func (c *completer) site() *farm.Site {
	if c.doc.Plan == nil || c.doc.Plan.Farm == nil {
		return nil
	}
	return c.doc.Plan.Farm.Site
}

// cropLine is a crop in one line: "Solanaceae, very tender, 12 to 24 in apart, 72 days".
func cropLine(c *crops.Crop, units quantity.System) string {
	parts := make([]string, 0, 4)
	if c.Family != "" {
		parts = append(parts, c.Family)
	}
	if c.Frost != crops.FrostUnknown {
		parts = append(parts, c.Frost.String())
	}
	if c.InRow.Known() {
		parts = append(parts, crops.Entry{Kind: crops.Length, Range: c.InRow}.Format(units)+" apart")
	}
	days := c.MaturityTransplant
	if !days.Known() {
		days = c.MaturitySeed
	}
	if days.Known() {
		parts = append(parts, crops.Entry{Kind: crops.Days, Range: days}.Format(units))
	}
	return strings.Join(parts, ", ")
}
