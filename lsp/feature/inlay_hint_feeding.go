package feature

import (
	"fmt"

	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// food says how much feedings put on, of what, and when first.
func (h *hinter) food(things []Thing) Hint {
	hint := Hint{Kind: HintFood}
	fd := h.doc.fed()
	if fd == nil {
		return hint
	}
	total, doses, products, first := 0.0, 0, map[*farm.Product]bool{}, season.None
	for _, t := range things {
		f, ok := t.Of.(*farm.Feed)
		if !ok {
			continue
		}
		if hint.Tip == "" {
			hint.Tip = h.doc.feedText(f)
		}
		for _, dose := range dosesOf(fd, f) {
			total, doses = total+dose.Mass, doses+1
			products[dose.Product] = true
			if dose.Day.IsSet() && (!first.IsSet() || dose.Day < first) {
				first = dose.Day
			}
		}
	}
	if doses == 0 {
		return Hint{Kind: HintFood}
	}
	amount := h.doc.massText(total)
	if len(products) > 1 {
		amount += fmt.Sprintf(" of %d products", len(products))
	}
	from := ""
	if first.IsSet() {
		from = " from " + first.Long(h.doc.year())
	}
	hint.Label = shortest(amount+from, amount)
	return hint
}
