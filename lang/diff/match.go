package diff

// key is what two things must share to be taken for the same.
type key struct {
	pair    int // of the row, plot, ... that they belong to
	a, b    string
	x, y, z int64
}

// rule pairs things by a key. A thing without one (false) is passed over.
type rule struct {
	key     func(s *side, t *thing) (key, bool)
	grounds func(from, to *thing) string // nil where the key is the thing's own name or place
}

// match pairs the things of a kind by one rule after the other; within a rule, things with the same key in the
// order in which they come. What is left is gone or new. Each rule costs no more than the things left by
// those before it.
func (c *comparison) match(k *kind, rules ...rule) {
	olds, news := open(k.sides[0]), open(k.sides[1])
	for _, r := range rules {
		if len(olds) == 0 || len(news) == 0 {
			break
		}
		waiting := make(map[key][]*thing, len(olds))
		for _, t := range olds {
			if x, ok := r.key(&c.from, t); ok {
				waiting[x] = append(waiting[x], t)
			}
		}
		for _, t := range news {
			x, ok := r.key(&c.to, t)
			if !ok {
				continue
			}
			line := waiting[x]
			if len(line) == 0 {
				continue
			}
			waiting[x] = line[1:]
			grounds := ""
			if r.grounds != nil {
				grounds = r.grounds(line[0], t)
			}
			c.join(k, line[0], t, grounds)
		}
		olds, news = open(olds), open(news)
	}
}

// close makes pairs of the things that nothing was found for.
func (c *comparison) close(k *kind) {
	for _, t := range open(k.sides[0]) {
		c.join(k, t, nil, "")
	}
	for _, t := range open(k.sides[1]) {
		c.join(k, nil, t, "")
	}
}

// open gives the things without a pair.
func open(all []*thing) []*thing {
	var left []*thing
	for _, t := range all {
		if t.pair == nil {
			left = append(left, t)
		}
	}
	return left
}

// because gives the same grounds to every pair of a rule.
func because(text string) func(from, to *thing) string {
	return func(_, _ *thing) string { return text }
}

// number of the pair that a declaration belongs to; 0 when it has none.
func (s *side) number(decl any) int {
	if t := s.of[decl]; t != nil && t.pair != nil {
		return t.pair.number
	}
	return 0
}
