package quantity

import "unicode/utf8"

// nearestSpelling gives the spelling of a unit that is the fewest letters away from the word, a third of
// them at most; the one listed first when several are, and "" when none is close.
func nearestSpelling(word string) string {
	length := utf8.RuneCountInString(word)
	best, least := "", max(1, length/3)+1
	for _, s := range units().spellings {
		// Lengths alone rule most out, and keep a word of any length from taking long.
		if apart := utf8.RuneCountInString(s) - length; max(apart, -apart) >= least {
			continue
		}
		if d := distance(word, s); d < least && d < length {
			best, least = s, d
		}
	}
	return best
}

// distance counts the letters to insert, drop or change to make b of a (Levenshtein's distance).
func distance(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i := range from {
		diagonal := row[0]
		row[0] = i + 1
		for j := range to {
			cost := diagonal
			if from[i] != to[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, diagonal+1)
		}
	}
	return row[len(to)]
}
