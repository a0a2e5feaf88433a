package season

import (
	"fmt"
	"strings"
	"time"
)

// ParseMonth reads a month's English name in any case, whole or cut to three letters or more: "jan",
// "January", "sept".
func ParseMonth(text string) (time.Month, error) {
	const shortest = 3
	name := strings.ToLower(strings.TrimSuffix(strings.TrimSpace(text), "."))
	if len(name) >= shortest {
		for m := time.January; m <= time.December; m++ {
			if strings.HasPrefix(strings.ToLower(m.String()), name) {
				return m, nil
			}
		}
	}
	return 0, fmt.Errorf("%q is not a month: write \"jan\", \"feb\" and so on to \"dec\"", text)
}
