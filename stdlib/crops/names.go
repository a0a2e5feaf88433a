package crops

import (
	"slices"
	"strings"
)

// All gives the crops of the table, by name. They are shared: copy one before changing it.
func All() []*Crop { return slices.Clone(table().crops) }

// Named gives the crop that goes by a name: its own, as a plan loads it ("bell_pepper"), or a common
// one ("cantaloupe"), in the plural, turned about ("chard, Swiss") or qualified ("lettuce (head)"). A
// name that several crops share gives the one usually meant: "pepper" the bell pepper, "lettuce" leaf
// lettuce. The crop is shared: copy it before changing it.
func Named(name string) (*Crop, bool) {
	for _, n := range spellings(name) {
		if c, ok := table().byName[n]; ok {
			return c, true
		}
	}
	return nil, false
}

// fold brings a name to the spelling of the index: lower case, single spaces.
func fold(name string) string {
	name = strings.NewReplacer("_", " ", "-", " ").Replace(strings.ToLower(name))
	return strings.Join(strings.Fields(name), " ")
}

// spellings gives the ways to look a name up, the likeliest first.
func spellings(name string) []string {
	n := fold(name)
	all := []string{n}
	if head, tail, ok := strings.Cut(n, " ("); ok {
		all = []string{strings.TrimSuffix(tail, ")") + " " + head, head}
	} else if head, tail, ok := strings.Cut(n, ", "); ok {
		all = []string{tail + " " + head}
	}
	for _, n := range slices.Clone(all) {
		for _, end := range [][2]string{{"ies", "y"}, {"es", ""}, {"s", ""}} {
			if stem, ok := strings.CutSuffix(n, end[0]); ok {
				all = append(all, stem+end[1])
			}
		}
	}
	return all
}

// ident is the name as a plan loads it: "Swiss chard" is "swiss_chard".
func ident(name string) string { return strings.ReplaceAll(fold(name), " ", "_") }
