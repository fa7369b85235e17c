package decode

import "strings"

// Nearest returns the word among those known that was most likely meant, or ""
// where none is near. Near is a third of the letters changed at most, where
// swapping two neighbours counts as one change; capitals, and - _ or a space
// in each other's place, count as none. The first of equally near words wins.
func Nearest(word string, known []string) string {
	a := []rune(folded(word))
	if len(a) > 60 {
		return ""
	}
	best, least := "", len(a)/3+1
	for _, k := range known {
		b := []rune(folded(k))
		limit := max(len(a), len(b)) / 3
		if len(a)-len(b) > limit || len(b)-len(a) > limit {
			continue
		}
		if d := changes(a, b); d <= limit && d < least {
			best, least = k, d
		}
	}
	return best
}

func folded(s string) string {
	return strings.NewReplacer("-", "_", " ", "_").Replace(strings.ToLower(s))
}

// changes returns the optimal string alignment distance of two words.
//
// Source: derived from the recurrence of the Levenshtein distance with one
// further case for two neighbours that changed places.
func changes(a, b []rune) int {
	before, above, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range above {
		above[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, above, row = above, row, before
	}
	return above[len(b)]
}
