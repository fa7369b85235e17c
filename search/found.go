package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/machine"
	"spanwright/search/front"
)

// Found is a machine on the front with its complete design.
type Found struct {
	Outcome
	Text       []byte
	Assessment *assess.Assessment // of the text
	Chance     *Chance            // of the first few; nil for the others
}

// sameWithin is how far the values of a design read back from its text may lie
// from those of the machine that was judged: the numbers of the text are exact,
// sums may round differently.
const sameWithin = 1e-9

// Found writes the designs on the front, at most so many, the cheapest first, and
// judges each once more from its text, as check does. What lies between others is
// left out first.
func (r *Result) Found(ctx context.Context, most int, about func(Outcome) string) ([]Found, error) {
	var values [][]float64
	for _, o := range r.Front {
		values = append(values, r.Options.vector(o.Values))
	}
	var out []Found
	for _, i := range front.Spread(values, most) {
		out = append(out, Found{Outcome: r.Front[i]})
	}
	slices.SortStableFunc(out, func(x, y Found) int { return cmp.Compare(x.Values.Cost, y.Values.Cost) })
	errs := make([]error, len(out))
	err := inParallel(len(out), func(i int) { errs[i] = r.write(ctx, &out[i], about(out[i].Outcome)) }, func(int) {})
	return out, cmp.Or(err, firstOf(errs))
}

func firstOf(errs []error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// write makes the text of a found machine and judges it.
func (r *Result) write(ctx context.Context, found *Found, about string) error {
	at := r.at[found.Key]
	f, why := r.judge.fitted(at, r.judge.choice(at)) // with the drive that stands for those like it
	if why != "" {
		return fmt.Errorf("%s: %s: %w", found.Key, why, errNoFit)
	}
	text, err := r.Problem.Text(found.Choice, f, about)
	if err != nil {
		return err
	}
	d, list := design.Parse(r.Problem.Task.File.Name, text)
	if err := list.Err(); err != nil {
		return fmt.Errorf("the design that was written is refused: %w", err)
	}
	m, list := machine.Build(d, r.Problem.Catalogue)
	if err := list.Err(); err != nil {
		return fmt.Errorf("the machine that was written is refused: %w", err)
	}
	a, err := assess.Run(ctx, m, assess.Options{Studies: r.judge.studies})
	if err != nil {
		return err
	}
	found.Text, found.Assessment = text, a
	now := valuesOf(a)
	for _, o := range Objectives {
		if was, is := found.Values.Of(o), now.Of(o); !(math.Abs(was-is) <= sameWithin*math.Abs(was)) {
			return fmt.Errorf("the design that was written has %s %g, the machine judged %g: %w", o, is, was, errDiffers)
		}
	}
	if a.Counts.Over+a.Counts.Unknown > 0 {
		return fmt.Errorf("the design that was written fails %v: %w", failing(a.Checks), errDiffers)
	}
	return nil
}

var errDiffers = fmt.Errorf("%w: text and machine differ", assess.ErrFault)
