package derive

// schedule finds how long the zone is open each week: so long that its neediest row gets its need. Rows that
// need nothing in a week are shut.
func (z *ZoneWater) schedule(weeks int) {
	if weeks == 0 || !z.needed() {
		return
	}
	z.Weeks = make([]ZoneWeek, weeks)
	for i := range z.Weeks {
		week := &z.Weeks[i]
		flow := 0.0
		for _, r := range z.Rows {
			if r.Weeks == nil {
				continue
			}
			need := r.Weeks[i]
			week.Need += need.Need
			week.Dry = max(week.Dry, need.DryTime)
			if need.Time == 0 {
				continue
			}
			week.Open++
			flow += r.Flow
			week.Time = max(week.Time, need.Time)
			if week.Most == nil || exceeds(need.Time, week.Most.Weeks[i].Time) {
				week.Most = r
			}
			if week.Least == nil || exceeds(week.Least.Weeks[i].Time, need.Time) {
				week.Least = r
			}
		}
		week.Sent = week.Time * flow
		z.Need += week.Need
		z.Sent += week.Sent
		if week.Time > 0 && (z.Peak < 0 || exceeds(week.Time, z.Weeks[z.Peak].Time)) {
			z.Peak = i
		}
		if week.Dry > 0 && (z.DryPeak < 0 || exceeds(week.Dry, z.Weeks[z.DryPeak].Dry)) {
			z.DryPeak = i
		}
	}
	if z.Peak >= 0 {
		z.Plan = z.plan(z.Peak)
	}
}

// exceeds tells whether a is larger than b by more than rounding, so that of equals the first stays first.
func exceeds(a, b float64) bool { return a > b*(1+tolerance) }

func (z *ZoneWater) needed() bool {
	for _, r := range z.Rows {
		if r.Weeks != nil {
			return true
		}
	}
	return false
}

// schedule adds up what is asked of the source: zones of a group run at once, groups one after the other.
func (s *SourceWater) schedule(weeks int) {
	if weeks == 0 {
		return
	}
	s.Weeks = make([]SourceWeek, weeks)
	for i := range s.Weeks {
		week := &s.Weeks[i]
		for _, g := range s.Groups {
			time, dry := 0.0, 0.0
			for _, z := range g.Zones {
				if z.Weeks != nil {
					time, dry = max(time, z.Weeks[i].Time), max(dry, z.Weeks[i].Dry)
					week.Volume += z.Weeks[i].Sent
				}
			}
			week.Time += time
			week.Dry += dry
		}
		s.Volume += week.Volume
		if week.Time > 0 && (s.Peak < 0 || exceeds(week.Time, s.Weeks[s.Peak].Time)) {
			s.Peak = i
		}
	}
}
