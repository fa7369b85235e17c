package screen

import (
	"fmt"
	"io"
	"math"
	"math/big"
	"slices"
	"strings"
	"unicode/utf8"

	"spanwright/search"
	"spanwright/wording"
)

// SearchView says how to print what was found.
type SearchView struct {
	File    string
	Folder  string // "" if nothing was written
	Names   []string
	Relaxed *search.Relaxation
	Still   *search.Unrelaxed // where no relaxation helps
	Style
}

// mostReasons is how many reasons of a stage are named; the JSON form has all.
const mostReasons = 4

// Search prints the front, or what blocks the task, and how the combinations
// came to their end.
func Search(w io.Writer, r *search.Result, found []search.Found, v SearchView) {
	name := r.Problem.Task.Name
	headline := func(text string) {
		fmt.Fprintf(w, "%s: %s\n", v.strong(name), wrap(text, utf8.RuneCountInString(name)+2, 2))
	}
	switch {
	case len(found) > 0:
		headline(passing(len(found)))
		frontTable(w, found, v.Names)
		margins(w, found, v.Names)
	case r.Complete():
		headline("no machine passes every check")
		blocked(w, r, v)
	default:
		headline(fmt.Sprintf("no machine passes every check among the %d judged; the limit of --most left others", r.Judged))
		blocked(w, r, v)
	}
	fmt.Fprintln(w)
	searched(w, r, len(found))
	if v.Folder != "" {
		what := "front.html and front.json, which say how the search came to its end"
		if len(found) > 0 {
			what = "a complete design for each, front.html with the picture, front.json"
		}
		labelled(w, "written", remedyMargin, v.Folder+": "+what)
	}
	labelled(w, "caution", remedyMargin, "A proposal, made of representative parts unless your own data says otherwise. Guards, brakes, anchors and what else keeps people safe are decided by the risk assessment (ISO 12100), local codes and competent review.")
	if len(found) > 0 && v.Folder != "" {
		fmt.Fprintf(w, "%-*sspanwright check %s/%s\n", remedyMargin, "next", v.Folder, v.Names[0])
	}
}

func passing(n int) string {
	if n == 1 {
		return "1 machine passes every check and is not beaten"
	}
	return fmt.Sprintf("%d machines pass every check and beat each other in something", n)
}

func frontTable(w io.Writer, found []search.Found, names []string) {
	fmt.Fprintf(w, "\n%-7s%7s%10s%9s%12s%10s  %s\n", "design", "cost", "mass", "cycle", "sag varies", "first f", "axes")
	for i, f := range found {
		var parts []string
		for _, a := range f.Choice.Axes {
			parts = append(parts, a.Part)
		}
		x := f.Values
		head := fmt.Sprintf("%-7s%7.0f%10s%9s%12s%10s  ", strings.TrimSuffix(names[i], ".yaml"), float64(x.Cost),
			wording.Value(float64(x.Mass), "kg"), wording.Value(float64(x.Cycle), "s"), wording.Value(float64(x.Sag), "m"), wording.Value(float64(x.Frequency), "Hz"))
		fmt.Fprintln(w, head+wrap(strings.Join(parts, ", "), len(head), len(head)))
	}
}

func margins(w io.Writer, found []search.Found, names []string) {
	fmt.Fprintln(w)
	for i, f := range found {
		if f.Chance == nil {
			continue
		}
		text := fmt.Sprintf("leaves %.1f %% of the limit of its most used check at the unfavourable end; passes %d of %d draws from the ranges (seed %d)",
			100*float64(f.Margin), f.Chance.Passed, f.Chance.Runs, f.Chance.Seed)
		if worst := f.Chance.Worst; worst != "" {
			text += fmt.Sprintf("; most often over: %s, in %s", worst, count(f.Chance.Fails[worst], "draw"))
		}
		labelled(w, strings.TrimSuffix(names[i], ".yaml"), remedyMargin, text)
	}
}

// leftOut is how many combinations were discarded by choice, not by a bound.
func leftOut(r *search.Result) *big.Int {
	sum := new(big.Int)
	for _, d := range r.Discarded {
		if d.Stage == search.ByChoice {
			sum.Add(sum, d.Count)
		}
	}
	return sum
}

// stageWords say what happened in a stage.
var stageWords = []struct {
	stage search.Stage
	words string
}{
	{search.ByPace, "no motion fast enough"}, {search.ByAxis, "bounds of one axis"}, {search.ByScreen, "checks without structure"},
	{search.ByChoice, "left out by choice"}, {search.ByWhole, "judged as a whole"},
}

func searched(w io.Writer, r *search.Result, shown int) {
	labelled(w, "combinations", remedyMargin, Big(r.Combinations)+" in the space")
	for _, s := range stageWords {
		sum := new(big.Int)
		var of []search.Discarded
		for _, d := range r.Discarded {
			if d.Stage == s.stage {
				sum.Add(sum, d.Count)
				of = append(of, d)
			}
		}
		if sum.Sign() == 0 {
			continue
		}
		slices.SortStableFunc(of, func(x, y search.Discarded) int { return y.Count.Cmp(x.Count) })
		var words []string
		for i, d := range of {
			if i == mostReasons {
				words = append(words, fmt.Sprintf("%d more", len(of)-i))
				break
			}
			words = append(words, d.Reason+" "+Big(d.Count))
		}
		labelled(w, "  discarded", remedyMargin, fmt.Sprintf("%s: %s (%s)", s.words, Big(sum), strings.Join(words, ", ")))
	}
	if !r.Complete() {
		labelled(w, "  not judged", remedyMargin, Big(r.Open)+", for the limit of --most; what is best among them may be better than what is shown")
	}
	text := fmt.Sprintf("%d machines as a whole, %d pass, %d on the front", r.Judged, r.Passed, len(r.Front))
	if shown < len(r.Front) {
		text += fmt.Sprintf(", %d shown: those between them are left out", shown)
	}
	labelled(w, "judged", remedyMargin, text)
}

// Big writes a count that may be very large.
func Big(n *big.Int) string {
	if n.IsInt64() && n.Int64() < 1e6 {
		return n.String()
	}
	f, _ := new(big.Float).SetInt(n).Float64()
	exponent := math.Floor(math.Log10(f))
	return fmt.Sprintf("%.1fe%.0f", f/math.Pow(10, exponent), exponent)
}
