package feature

import (
	"fmt"
	"strings"

	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

// cropText lists what a crop needs, each value with the grade of its source, and the sources below.
func cropText(c *crops.Crop, units quantity.System) string {
	head := "**" + capital(c.Title()) + "**"
	var lines []string
	var sources []string
	numbers := map[string]int{}
	for _, v := range c.Values() {
		if !inHover(v.Label) {
			continue
		}
		line := "- " + v.Label + ": " + v.Format(units)
		if v.Range.Note != "" {
			line += ", " + v.Range.Note
		}
		source := v.Range.Source
		if source != "" {
			if numbers[source] == 0 {
				numbers[source] = len(sources) + 1
				sources = append(sources, fmt.Sprintf("%d. %s", len(sources)+1, source))
			}
			line += fmt.Sprintf(" [%s, %d]", gradeWord(v.Range.Grade), numbers[source])
		}
		lines = append(lines, line)
	}
	return joinParts([]string{head, strings.Join(lines, "\n"), strings.Join(sources, "\n")})
}

// gradeWord is a grade as it stands beside a value: "A" to "C", or in words where it is neither.
func gradeWord(g crops.Grade) string {
	switch g {
	case crops.GradeMemory:
		return "memory"
	case crops.GradePlan:
		return "plan"
	}
	return string(g)
}

// inHover leaves out what only the water and feeding tables use; the reference has everything.
func inHover(label string) bool {
	return !strings.Contains(label, "Kc") && !strings.HasPrefix(label, "soil water") && label != "days to emerge" &&
		label != "legal least germination" && label != "pack"
}
