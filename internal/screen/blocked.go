package screen

import (
	"fmt"
	"io"
	"math"
	"strings"

	"spanwright/search"
	"spanwright/wording"
)

// blocked says what stands in the way of a task, and what would unblock it.
func blocked(w io.Writer, r *search.Result, v SearchView) {
	fmt.Fprintln(w)
	for _, text := range inTheWay(r.Obstacles(), r.Blocking()) {
		labelled(w, "blocked by", remedyMargin, text)
	}
	if n := leftOut(r); n.Sign() > 0 {
		labelled(w, "not proven", remedyMargin, Big(n)+" combinations were left out by choice; --all leaves none out")
	}
	switch {
	case v.Relaxed != nil:
		unblocked(w, r, v.Relaxed)
	case v.Still != nil:
		still(w, v.Still)
	}
}

// inTheWay are the obstacles and the checks that fail most, the first few of them.
func inTheWay(obstacles []search.Obstacle, blocking []search.Blocked) (out []string) {
	for _, o := range obstacles {
		out = append(out, obstacle(o))
	}
	for _, b := range blocking {
		text := fmt.Sprintf("%s: %s %s it", b.Kind, count(b.Count, "candidate"), plural(b.Count, "fails", "fail"))
		if least := float64(b.Least); !math.IsInf(least, 0) {
			text += ", the least by a utilisation of " + strings.TrimSpace(wording.Used(least))
		}
		out = append(out, text)
	}
	return out[:min(len(out), mostReasons)]
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// obstacle is what stops everything before any machine is judged, in words.
func obstacle(o search.Obstacle) string {
	asked, best := wording.Value(float64(o.Asked), o.Unit), wording.Value(float64(o.Best), o.Unit)
	switch {
	case o.Kind == "task.rate":
		return fmt.Sprintf("task.rate: a cycle may take %s, and at the highest speed and acceleration of any axis part its moves and waiting alone take %s", asked, best)
	case o.Kind == "axis.length":
		return fmt.Sprintf("axis.length: axis %s travels %s, the longest axis part gives %s", o.Axis, asked, best)
	case o.Kind == "size":
		return fmt.Sprintf("axis %s: what it moves is far from the usual load of %d of %s tried (left out by choice)", o.Axis, o.Parts, count(o.Of, "axis part"))
	}
	text := fmt.Sprintf("%s: stops %d of %s tried for axis %s", o.Kind, o.Parts, count(o.Of, "axis part"), o.Axis)
	if !math.IsNaN(float64(o.Asked)) {
		text += fmt.Sprintf("; %s are asked at least, the best makes %s", asked, best)
	}
	return text
}

// unblocked says with which change a machine was found, and how much less might do.
func unblocked(w io.Writer, r *search.Result, x *search.Relaxation) {
	for _, c := range x.Changes {
		labelled(w, "unblocked by", remedyMargin, fmt.Sprintf("%s (%.3g times what is asked now)", c, c.To/c.From))
	}
	values := x.Found.Values
	labelled(w, "then", remedyMargin, fmt.Sprintf("a machine for %.0f, %s, cycle %s", float64(values.Cost), wording.Value(float64(values.Mass), "kg"), wording.Value(float64(values.Cycle), "s")))
	bound := fmt.Sprintf("the least that any of %s judged needs", count(x.Judged, "machine"))
	if nearer := float64(x.Nearer); !math.IsNaN(nearer) {
		bound = fmt.Sprintf("found by short searches, %s judged, which found none %.2g %% nearer to what is asked", count(x.Judged, "machine"), 100*nearer)
	}
	if r.Options.Most > 0 {
		bound += "; an upper bound: with more of --most less may do"
	}
	labelled(w, "bound", remedyMargin, bound)
}

// still says what is in the way however far the task is eased.
func still(w io.Writer, s *search.Unrelaxed) {
	what := "no rate helps"
	if s.Change.Path != "" {
		what = fmt.Sprintf("none found: even with %s", s.Change)
	}
	list := inTheWay(s.Obstacles, s.Blocking)
	if len(list) == 0 {
		labelled(w, "relaxation", remedyMargin, what+" no machine passes")
		return
	}
	labelled(w, "relaxation", remedyMargin, what+" it is blocked")
	for _, text := range list {
		labelled(w, "  by", remedyMargin, text)
	}
}
