package eval

import (
	"strings"

	"github.com/agnivade/levenshtein"
)

// Nearest gives the one of the known words that a word is most likely a slip for, or begins; "" when none
// is close enough. Capitals do not count, and two neighbouring letters changed about count as one slip.
func Nearest(word string, known []string) string {
	if same := sameButCapitals(word, known); same != "" {
		return same
	}
	best, distance := "", max(1, len(word)/3)+1
	lower := strings.ToLower(word)
	for _, k := range known {
		if len(word) >= 3 && strings.HasPrefix(k, lower) {
			return k
		}
		if d := slips(lower, strings.ToLower(k)); d < distance {
			best, distance = k, d
		}
	}
	return best
}

// maxGuesses bounds the names that unknown ones are set beside; a plan with more has slipped otherwise.
const maxGuesses = 2_000_000

// nearest is Nearest as long as guesses are left.
func (ev *evaluator) nearest(word string, known []string) string {
	ev.guesses += len(known)
	if ev.guesses > maxGuesses || len(word) > longestName {
		return ""
	}
	return Nearest(word, known)
}

// slips counts the letters added, left out or changed that make one word the other.
func slips(a, b string) int {
	if changedAbout(a, b) {
		return 1
	}
	return levenshtein.ComputeDistance(a, b)
}

// changedAbout tells whether two neighbouring letters changed about make one word the other.
func changedAbout(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	return i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// sameButCapitals gives the known word that a word differs from by its capitals only, "" for none.
func sameButCapitals(word string, known []string) string {
	for _, k := range known {
		if strings.EqualFold(k, word) {
			return k
		}
	}
	return ""
}
