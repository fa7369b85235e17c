package parts

import (
	"strconv"
	"strings"
)

// leastShared is the weight from which two ids count as near. The first word,
// which only names the kind, weighs one and is not enough.
const leastShared = 2

// sharedWords weighs what two ids have in common. An id is words joined by
// hyphens. A first word that occurs in both weighs one, every further one two;
// two numbers of about the same size weigh one.
func sharedWords(a, b string) int {
	first := strings.Split(strings.ToLower(a), "-")
	second := strings.Split(strings.ToLower(b), "-")
	counted := make([]bool, len(second))
	n := 0
	for i, w := range first {
		best, at := 0, 0
		for j, v := range second {
			weight := 0
			switch {
			case counted[j]:
			case w == v && i > 0 && j > 0:
				weight = 2
			case w == v || aboutEqual(w, v):
				weight = 1
			}
			if weight > best {
				best, at = weight, j
			}
		}
		if best > 0 {
			counted[at] = true
			n += best
		}
	}
	return n
}

// aboutEqual tells whether two words are numbers within a third of each other.
func aboutEqual(a, b string) bool {
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	return err1 == nil && err2 == nil && x > 0 && max(x, y) <= 4.0/3*min(x, y)
}
