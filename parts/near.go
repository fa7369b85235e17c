package parts

import "strings"

// leastShared is how many words two ids must share to count as near: one is
// enough where it is not the first one, which only names the kind.
const leastShared = 2

// sharedWords weighs what two ids have in common. An id is words joined by
// hyphens; the first word counts one, every further one that occurs in both
// counts two.
func sharedWords(a, b string) int {
	first := strings.Split(strings.ToLower(a), "-")
	second := strings.Split(strings.ToLower(b), "-")
	n := 0
	for i, w := range first {
		for j, v := range second {
			if w != v {
				continue
			}
			if i == 0 || j == 0 {
				n++
			} else {
				n += 2
			}
			second[j] = "\x00" // a word counts once
			break
		}
	}
	return n
}
