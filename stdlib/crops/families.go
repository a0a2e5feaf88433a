package crops

import (
	"fmt"
	"maps"
	"slices"
)

// Families gives the botanical families that a crop can be of, by their current names, sorted.
func Families() []string {
	return slices.Compact(slices.Sorted(maps.Values(table().families)))
}

// Family gives the current name of a family that goes by a name: that itself, one that botanists used
// before ("Cruciferae", "Alliaceae"), or a common one ("nightshades", "cabbage family").
func Family(name string) (string, bool) {
	f, ok := table().families[fold(name)]
	return f, ok
}

// readFamilies reads families.csv: name, current name of the family, source.
func (r *reader) readFamilies() error {
	for i, row := range mustRows(familiesCSV) {
		name := fold(row[0])
		if _, err := r.source(string(GradeMemory), row[2]); err != nil {
			return fmt.Errorf("families.csv: row %d: %w", i+2, err)
		}
		if r.families[name] != "" {
			return fmt.Errorf("families.csv: row %d: %q is there already", i+2, row[0])
		}
		r.families[name] = row[1]
	}
	return nil
}
