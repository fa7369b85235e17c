package frame

import (
	"fmt"
	"strings"
)

// Problem is one mistake in a model, for the person who wrote it.
type Problem struct {
	List    string // list of the model, e.g. "members"; "" = the model as a whole
	ID      string // id of the entry, or its place as #3 where it has none
	Key     string // key within the entry
	Value   string // as given
	Message string // what is wrong and what is allowed
	Line    int    // line and column in the text where it was read, from 1; 0 = not from text
	Column  int
}

// Error reads `members "b1": section: "box" is not in sections; did you mean "box-80"?`.
func (p Problem) Error() string {
	var s strings.Builder
	if p.Line > 0 {
		fmt.Fprintf(&s, "%d:%d: ", p.Line, p.Column)
	}
	if p.List != "" {
		s.WriteString(p.List)
		switch {
		case strings.HasPrefix(p.ID, "#"):
			s.WriteString(" " + p.ID)
		case p.ID != "":
			fmt.Fprintf(&s, " %q", p.ID)
		}
		s.WriteString(": ")
	}
	if p.Key != "" {
		s.WriteString(p.Key + ": ")
	}
	if p.Value != "" {
		s.WriteString(p.Value + " ")
	}
	s.WriteString(p.Message)
	return s.String()
}

// Problems are all mistakes of a model, in the order of its lists.
type Problems []Problem

// maxShown is the number of mistakes printed; the rest is counted.
const maxShown = 50

// Error prints one mistake a line.
func (p Problems) Error() string {
	var lines []string
	for i, q := range p {
		if i == maxShown {
			lines = append(lines, fmt.Sprintf("and %d more", len(p)-maxShown))
			break
		}
		lines = append(lines, q.Error())
	}
	return strings.Join(lines, "\n")
}

// nearest returns the candidate closest to word, or "" if none is close: at most a third of its letters differ.
func nearest(word string, candidates []string) string {
	best, least := "", len([]rune(word))/3+1
	for _, c := range candidates {
		if d := editDistance(strings.ToLower(word), strings.ToLower(c), least); d < least || (d == least && best == "") {
			best, least = c, d
		}
	}
	return best
}

// editDistance counts the letters to insert, drop, change or swap with their neighbour (optimal string alignment).
// It stops early and returns more than limit where that is certain.
func editDistance(a, b string, limit int) int {
	s, t := []rune(a), []rune(b)
	if len(s)-len(t) > limit || len(t)-len(s) > limit || len(s) > 64 || len(t) > 64 {
		return limit + 1
	}
	rows := make([][]int, len(s)+1)
	for i := range rows {
		rows[i] = make([]int, len(t)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(s); i++ {
		for j := 1; j <= len(t); j++ {
			change := 1
			if s[i-1] == t[j-1] {
				change = 0
			}
			d := min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+change)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				d = min(d, rows[i-2][j-2]+1)
			}
			rows[i][j] = d
		}
	}
	return rows[len(s)][len(t)]
}

// didYouMean returns `; did you mean "x"?` or "".
func didYouMean(word string, candidates []string) string {
	if near := nearest(word, candidates); near != "" {
		return fmt.Sprintf("; did you mean %q?", near)
	}
	return ""
}
