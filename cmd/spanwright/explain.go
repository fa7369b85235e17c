package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"spanwright/assess"
	"spanwright/decode"
	"spanwright/internal/answer"
	"spanwright/internal/project"
	"spanwright/internal/screen"
	"spanwright/ledger"
)

func (a *app) explainCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "explain FILE CHECK-ID [--json]",
		Short: "shows the full working of one check",
		Example: `  spanwright explain gantry.yaml tool.sag.variation
  spanwright explain gantry.yaml axis.z.brake.hold --json`,
		Long: `Formula, the numbers in it, where each comes from, the range over uncertain
inputs, who contributes how much, and the source. Exit 0: the check is not over
its limit; 1: it is; 2: the file cannot be used, or there is no such check.`,
		Args: takes(2, 2), ValidArgsFunction: a.completeCheck, DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			found, p, err := a.assess(cmd.Context(), args[0], asJSON)
			if err != nil {
				return err
			}
			c, err := checkNamed(found, args[1], args[0])
			if err != nil {
				return err
			}
			if asJSON {
				if err := answer.Write(a.out, answer.OfExplain(found, c, p.File())); err != nil {
					return err
				}
			} else {
				screen.Explain(a.out, c, placeOf(p, c), a.style())
			}
			return exitOf(ledger.Count([]ledger.Check{c}))
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "one JSON object")
	return cmd
}

// placeOf says where in the file the subject of a check stands, or "" where
// the file says nothing of it.
func placeOf(p *project.Project, c ledger.Check) string {
	if !p.Design.File.Given(c.Subject) {
		return ""
	}
	pos := p.Design.File.WhereKey(c.Subject)
	pos.File = p.File()
	return fmt.Sprintf("(%s)", pos)
}

// checkNamed finds a check by its id, or proposes the nearest ones.
func checkNamed(a *assess.Assessment, id, file string) (ledger.Check, error) {
	i := slices.IndexFunc(a.Checks, func(c ledger.Check) bool { return c.ID == id })
	if i >= 0 {
		return a.Checks[i], nil
	}
	var ids []string
	for _, c := range a.Checks {
		ids = append(ids, c.ID)
	}
	if near := decode.Nearest(id, ids); near != "" {
		return ledger.Check{}, mistake("%q is no check of this design, did you mean %q?", id, near)
	}
	if like := containing(ids, id); len(like) > 0 {
		return ledger.Check{}, mistake("%q is no check of this design; these are like it: %s", id, strings.Join(like, ", "))
	}
	return ledger.Check{}, mistake("%q is no check of this design; \"spanwright check %s --all\" lists them", id, file)
}

// mostLike is how many like ids are named.
const mostLike = 6

// containing lists ids, in order, that hold the word.
func containing(ids []string, word string) (out []string) {
	for _, id := range ids {
		if strings.Contains(id, word) {
			out = append(out, id)
		}
	}
	slices.Sort(out)
	return out[:min(len(out), mostLike)]
}
