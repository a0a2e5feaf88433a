package derive

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Shopping is what the plan uses of things bought, ware by ware, and what of it is to be bought.
type Shopping struct {
	Wares  []*Purchase // by kind, else in the order in which the subjects use them
	Cost   float64     // of all that has a price
	Priced int         // wares to buy that have one
}

// Purchase is one ware with all its uses.
type Purchase struct {
	Ware   Ware
	Amount quantity.Quantity // used in all; pieces are a plain ratio
	Stock  quantity.Quantity // of that, at hand
	Packs  int               // to buy; 0 where the ware does not come in packs
	Buy    quantity.Quantity // to buy, in whole packs and pieces
	Cost   float64           // of Buy; 0 when the price is not known
	By     season.Date       // day of the first use that the stock does not cover, of the first use when it covers all; None when not known
	Uses   []Use             // as the subjects give them
	Late   *LateStock        // the first of what is on order that comes after it is used; nil when all comes in time
}

// LateStock is something on order that comes too late.
type LateStock struct {
	Decl    *farm.Stock
	Use     Use               // the first one that has to wait
	Missing quantity.Quantity // of that use, on its day
}

// Shopping gives what the plan uses of things bought, worked out when first asked for.
func (facts *Facts) Shopping() *Shopping {
	facts.shopping.once.Do(func() { facts.shopping.of = newShopping(facts.Uses(), facts.Farm.Stocks) })
	return facts.shopping.of
}

func newShopping(uses []Use, stocks []*farm.Stock) *Shopping {
	type key struct {
		kind WareKind
		of   any
		name string
	}
	s := &Shopping{}
	byKey := map[key]*Purchase{}
	for _, u := range uses {
		k := key{u.Ware.Kind, u.Ware.Of, u.Ware.Name}
		p := byKey[k]
		if p == nil {
			p = &Purchase{Ware: u.Ware, Amount: quantity.Of(0, u.Amount.Dim)}
			byKey[k] = p
			s.Wares = append(s.Wares, p)
		}
		p.Uses = append(p.Uses, u)
	}
	slices.SortStableFunc(s.Wares, func(a, b *Purchase) int { return cmp.Compare(a.Ware.Kind, b.Ware.Kind) })
	for _, p := range s.Wares {
		p.settle(p.atHand(stocks))
		p.setLate(stocks)
		if p.Ware.Price > 0 && p.Buy.SI > 0 {
			s.Priced++
			s.Cost += p.Cost
		}
	}
	return s
}

// atHand adds up what the plan has in stock of a ware, in the measure in which it is used.
func (p *Purchase) atHand(stocks []*farm.Stock) float64 {
	dim, sum := p.Uses[0].Amount.Dim, 0.0
	for _, s := range stocks {
		if s.Amount.Value.Dim == dim && p.Ware.Is(s) {
			sum += s.Amount.Value.SI
		}
	}
	return sum
}

// setLate finds the first use, in their order in time, that what has come by its day does not cover, though what is
// still to come would.
func (p *Purchase) setLate(stocks []*farm.Stock) {
	var dated []*farm.Stock
	there := 0.0
	for _, s := range stocks {
		switch {
		case s.Amount.Value.Dim != p.Amount.Dim || !p.Ware.Is(s):
		case s.On.Given && s.On.Value.IsSet():
			dated = append(dated, s)
		default:
			there += s.Amount.Value.SI
		}
	}
	if len(dated) == 0 {
		return
	}
	slices.SortStableFunc(dated, func(a, b *farm.Stock) int { return cmp.Compare(a.On.Value, b.On.Value) })
	uses := slices.DeleteFunc(slices.Clone(p.Uses), func(u Use) bool { return !u.By.IsSet() })
	slices.SortStableFunc(uses, func(a, b Use) int { return cmp.Compare(a.By, b.By) })
	for _, u := range uses {
		for len(dated) > 0 && dated[0].On.Value <= u.By {
			there += dated[0].Amount.Value.SI
			dated = dated[1:]
		}
		if there -= u.Amount.SI; there < -1e-9 {
			if len(dated) > 0 {
				p.Late = &LateStock{Decl: dated[0], Use: u, Missing: quantity.Of(-there, p.Amount.Dim)}
			}
			return
		}
	}
}

// Is tells whether a stock is of this ware. What is stocked of a crop is its seed.
func (w *Ware) Is(s *farm.Stock) bool {
	of := s.Of()
	if of == nil {
		return plain(w.Name) == plain(s.Name.Value)
	}
	if _, ok := of.(*farm.Crop); ok && w.Kind != SeedWare {
		return false
	}
	return w.Of == of
}

// settle sets what is used against what is at hand, in SI units, and rounds what is missing up to packs.
func (p *Purchase) settle(stock float64) {
	var cuts []float64
	for _, u := range p.Uses {
		p.Amount.SI += u.Amount.SI
		cuts = append(cuts, u.Cuts...)
	}
	dim, pack := p.Amount.Dim, p.Ware.Pack.SI
	p.Stock = quantity.Of(min(stock, p.Amount.SI), dim)
	missing := max(0, p.Amount.SI-stock)
	switch {
	case pack > 0 && len(cuts) > 0:
		p.Packs = packsFor(cuts, pack, openPacks(stock, pack))
	case pack > 0:
		p.Packs = int(math.Ceil(missing/pack - 1e-9))
	}
	p.Buy = quantity.Of(missing, dim)
	if pack > 0 {
		p.Buy.SI = float64(p.Packs) * pack
		p.Cost = float64(p.Packs) * p.Ware.Price
	} else {
		p.Cost = missing * p.Ware.Price
	}
	p.By = p.firstBeyond(stock)
}

// openPacks takes what is at hand for full packs and a rest.
func openPacks(stock, pack float64) []float64 {
	full := math.Floor(stock/pack + 1e-9)
	open := slices.Repeat([]float64{pack}, int(full))
	if rest := stock - full*pack; rest > 0 {
		open = append(open, rest)
	}
	return open
}

// firstBeyond gives the day of the first use, in their order in time, that the stock does not cover.
func (p *Purchase) firstBeyond(stock float64) season.Date {
	var dated []Use
	for _, u := range p.Uses {
		if u.By.IsSet() {
			dated = append(dated, u)
		}
	}
	if len(dated) == 0 {
		return season.None
	}
	slices.SortStableFunc(dated, func(a, b Use) int { return cmp.Compare(a.By, b.By) })
	for _, u := range dated {
		if stock -= u.Amount.SI; stock < -1e-9 {
			return u.By
		}
	}
	return dated[0].By
}
