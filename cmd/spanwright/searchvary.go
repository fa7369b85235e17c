package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"

	"spanwright/internal/answer"
	"spanwright/internal/screen"
	"spanwright/search"
)

// sweep judges a design with named values changed. Where it is stopped, it shows
// the rows that are finished.
func (a *app) sweep(ctx context.Context, name string, f searchFlags) error {
	p, list, err := a.open(name)
	if err != nil {
		return err
	}
	if len(list) > 0 {
		return a.refuse(list, p.Source, f.asJSON)
	}
	var sweeps []search.Sweep
	for text := range strings.SplitSeq(f.vary, ",") {
		s, err := search.ParseSweep(text, p.Design, p.Catalogue)
		if err != nil {
			return mistake("--vary: %w", err)
		}
		sweeps = append(sweeps, s)
	}
	unhurried(ctx) // what is finished is still shown
	line := a.newTeller()
	variants, err := search.Vary(ctx, p.Design, p.Catalogue, sweeps, line.step)
	line.end()
	stopped := err != nil && ctx.Err() != nil
	switch {
	case errors.Is(err, search.ErrSweep):
		return mistake("--vary: %w", err)
	case err != nil && !stopped:
		return fmt.Errorf("%s: %w", name, err)
	}
	var shown error
	if f.asJSON {
		shown = answer.Write(a.out, answer.OfSweep(sweeps, variants, name))
	} else {
		screen.Sweep(a.out, sweeps, variants, a.style())
	}
	if stopped && f.asJSON {
		fmt.Fprintf(a.err, "stopped: %d of %d rows are finished\n", len(variants), search.Rows(sweeps))
	}
	if err = cmp.Or(err, shown); err != nil {
		return err
	}
	return exitOfVariants(variants)
}

// exitOfVariants is nothing where one passes, errOver where none does, and a
// mistake where not one makes a machine.
func exitOfVariants(variants []search.Variant) error {
	refused := 0
	for _, v := range variants {
		switch {
		case v.Refused != "":
			refused++
		case v.Counts.Over == 0:
			return nil
		}
	}
	if refused > 0 && refused == len(variants) {
		return mistake("--vary: no combination makes a machine; %s: %s", strings.Join(variants[0].Values, ", "), variants[0].Refused)
	}
	return errOver
}
