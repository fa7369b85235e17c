package main

import (
	"fmt"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"spanwright/improve"
	"spanwright/internal/answer"
	"spanwright/internal/project"
	"spanwright/internal/screen"
)

func (a *app) improveCommand() *cobra.Command {
	var asJSON, force bool
	var apply, out string
	cmd := &cobra.Command{
		Use:   "improve FILE [--json] [--apply N|best -o FILE2 [--force]]",
		Short: "proposes remedies for what is over or tight, with their computed gain",
		Example: `  spanwright improve gantry.yaml
  spanwright improve gantry.yaml --apply 3 -o better.yaml
  spanwright improve gantry.yaml --apply best -o better.yaml`,
		Long: `Each remedy: what it is expected to gain, what it gains once the whole machine
has been judged again, its mass and cost, what it does to other checks, and the
edit of the file. --apply writes the file with remedy N, or with the one that
leaves least over; comments and layout stay. Exit as check: 1 if something is
over in FILE or, with --apply, in what was written.`,
		Args: takes(1, 1), ValidArgsFunction: completeFiles("yaml", "yml"), DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			applies := cmd.Flags().Changed("apply")
			if applies != (out != "") {
				return mistake("--apply N and -o FILE2 go together, e.g. %q", "spanwright improve "+args[0]+" --apply 1 -o better.yaml")
			}
			if force && !applies {
				return mistake("--force speaks of the file that --apply writes")
			}
			found, p, err := a.assess(cmd.Context(), args[0], asJSON)
			if err != nil {
				return err
			}
			line := a.newProgress()
			r, err := improve.Find(cmd.Context(), found, p.Catalogue, improve.Options{Progress: line.step})
			line.end()
			if err != nil {
				return fmt.Errorf("%s: %w", p.File(), err)
			}
			if applies {
				n, err := numberOf(r, p, apply)
				if err != nil {
					return err
				}
				return a.applyRemedy(r, p, n, destination{out, force}, asJSON)
			}
			if asJSON {
				err = answer.Write(a.out, answer.OfImprove(r, p.File()))
			} else {
				screen.Remedies(a.out, r, p.File(), a.style())
			}
			if err != nil {
				return err
			}
			return exitOf(found.Counts)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&apply, "apply", "", "write the design with remedy `N`, as numbered without this flag, or \"best\"")
	flags.StringVarP(&out, "output", "o", "", "the `FILE2` that --apply writes, or - for stdout")
	flags.BoolVar(&force, "force", false, "replace FILE2 if it exists")
	flags.BoolVar(&asJSON, "json", false, "one JSON object with all remedies")
	return cmd
}

// numberOf reads which remedy is meant.
func numberOf(r *improve.Result, p *project.Project, which string) (int, error) {
	if which != "best" {
		n, err := strconv.Atoi(which)
		if err != nil {
			return 0, mistake("--apply %q: wanted the number of a remedy, or best", which)
		}
		return n, nil
	}
	m := r.Best()
	if m == nil {
		return 0, mistake("%s: no remedy leaves less over than there is; without --apply the command lists what there is", p.File())
	}
	return m.Number, nil
}

// destination is where a changed design goes.
type destination struct {
	file  string
	force bool
}

// applyRemedy writes the design with one remedy and says what it does.
func (a *app) applyRemedy(r *improve.Result, p *project.Project, n int, to destination, asJSON bool) error {
	text, err := r.Apply(n)
	if err != nil {
		return mistake("%s: %w", p.File(), err)
	}
	if text, err = carryParts(p, text, to.file); err != nil {
		return err
	}
	err = a.write(to.file, to.force, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
	if err != nil {
		return err
	}
	m := r.Remedies[n-1]
	if to.file == stdinArgument {
		return exitOf(m.Counts)
	}
	if asJSON {
		err = answer.Write(a.out, answer.OfApply(r.Assessment, m, to.file, p.File()))
	} else {
		screen.Applied(a.out, r.Assessment, m, to.file, a.style())
	}
	if err != nil {
		return err
	}
	return exitOf(m.Counts)
}
