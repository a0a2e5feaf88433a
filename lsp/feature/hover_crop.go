package feature

import (
	"fmt"
	"regexp"
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
		source := shortSource(v.Range.Source)
		if source != "" {
			if numbers[source] == 0 {
				numbers[source] = len(sources) + 1
				sources = append(sources, fmt.Sprintf("%d %s", len(sources)+1, source))
			}
			line += fmt.Sprintf(" [%s, %d]", gradeWord(v.Range.Grade), numbers[source])
		}
		lines = append(lines, line)
	}
	from := ""
	if len(sources) > 0 {
		from = "Sources: " + strings.Join(sources, "; ") + "."
	}
	return joinParts([]string{head, strings.Join(lines, "\n"), from})
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

// inHover keeps what a season is planned by; the reference has every value.
func inHover(label string) bool {
	switch label {
	case "family", "started", "frost class", "goes out", "in the row", "between rows", "depth", "grown height", "in the tray",
		"first harvest after planting out", "first harvest after sowing in the row", "harvest lasts", "soil for sprouting, least",
		"between crops of one family":
		return true
	}
	return false
}

var address = regexp.MustCompile(` \([^()]*\w\.[a-z]{2,}[^()]*\)`)

// shortSource leaves the addresses of a source to the reference.
func shortSource(source string) string { return address.ReplaceAllString(source, "") }
