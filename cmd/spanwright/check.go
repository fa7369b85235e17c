package main

import (
	"github.com/spf13/cobra"

	"spanwright/internal/answer"
	"spanwright/internal/screen"
	"spanwright/ledger"
)

func (a *app) checkCommand() *cobra.Command {
	var asJSON, all bool
	var only string
	cmd := &cobra.Command{
		Use:   "check FILE [--all] [--only GLOB] [--json]",
		Short: "judges a design: every check, the worst first",
		Example: `  spanwright check gantry.yaml
  spanwright check gantry.yaml --only 'axis.z.*' --json`,
		Long: `Exit 0: nothing is over its limit; 1: something is; 2: the file cannot be used.
With --only, all of this speaks of the chosen checks alone. FILE may be - for
stdin.`,
		Args: takes(1, 1), ValidArgsFunction: completeFiles("yaml", "yml"), DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			found, p, err := a.assess(cmd.Context(), args[0], asJSON)
			if err != nil {
				return err
			}
			checks, err := screen.Selected(found.Checks, only)
			if err != nil {
				return inInput(err)
			}
			if len(checks) == 0 {
				return mistake("no check matches %q; \"spanwright check %s --all\" lists them", only, args[0])
			}
			if asJSON {
				err = answer.Write(a.out, answer.OfCheck(found, checks, p.File()))
			} else {
				err = screen.Ledger(a.out, found, screen.View{File: p.File(), All: all, Only: only, Style: a.style()})
			}
			if err != nil {
				return err
			}
			return exitOf(ledger.Count(checks))
		},
	}
	flags := cmd.Flags()
	flags.BoolVar(&all, "all", false, "also the checks that are ok, the defaults used, and what is not checked")
	flags.StringVar(&only, "only", "", "only checks whose id matches the `GLOB`, in which * stands for anything")
	flags.BoolVar(&asJSON, "json", false, "one JSON object with results and working")
	return cmd
}

// exitOf is nil unless something is over its limit.
func exitOf(n ledger.Counts) error {
	if n.Over > 0 {
		return errOver
	}
	return nil
}
