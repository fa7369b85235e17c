package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"spanwright/diag"
	"spanwright/internal/answer"
	"spanwright/internal/project"
	"spanwright/internal/screen"
	"spanwright/search"
)

// searchFlags is what was asked of a search.
type searchFlags struct {
	out, compare, vary         string
	most, keep, samples, drawn int
	seed                       uint64
	all, resume, force, asJSON bool
	mostGiven                  bool
}

func (a *app) searchCommand() *cobra.Command {
	var f searchFlags
	cmd := &cobra.Command{
		Use:   "search FILE [-o DIR [--resume]] [--for LIST] [--vary LIST] [--json]",
		Short: "finds machines for a task: a front of designs that pass, each a complete file",
		Example: `  spanwright search task.yaml -o found
  spanwright search task.yaml --for cost,mass
  spanwright search gantry.yaml --vary axes.z.brake,stand.foot`,
		Long: `FILE states the task; of axes, stand and equipment it may settle as much as it
likes, and the search chooses the rest. What it writes are complete designs.
Where nothing passes, it says what blocks and which change of the task would
unblock. A search with -o that was stopped is continued by --resume, with the
same result; what is judged is kept, what is prepared is not. --vary judges a
complete design with every combination of named values: PATH for all parts of
its kind, or PATH=A|B|C. Exit 0 if something passes, 1 if nothing does, 2 if no
combination makes a machine.`,
		Args: takes(1, 1), ValidArgsFunction: completeFiles("yaml", "yml"), DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			if f.most < 0 || f.keep < 1 || f.drawn < 0 || f.samples < 0 {
				return mistake("--most, --drawn and --samples are not below 0, --keep is at least 1")
			}
			for flag, list := range map[string]string{"for": f.compare, "vary": f.vary} {
				if cmd.Flags().Changed(flag) && strings.TrimSpace(list) == "" {
					return mistake("--%s needs a list, e.g. %q", flag, map[string]string{"for": "cost,mass", "vary": "axes.x.motor"}[flag])
				}
			}
			f.mostGiven = cmd.Flags().Changed("most")
			if f.vary != "" {
				for _, flag := range []string{"output", "for", "most", "keep", "drawn", "samples", "seed", "resume", "force", "all"} {
					if cmd.Flags().Changed(flag) {
						return mistake("--%s does not go with --vary, which judges all combinations and writes no files", flag)
					}
				}
				return a.sweep(cmd.Context(), args[0], f)
			}
			return a.search(cmd.Context(), args[0], f)
		},
	}
	flags := cmd.Flags()
	flags.StringVarP(&f.out, "output", "o", "", "`DIR` for the designs, the page with the picture and the JSON form")
	flags.IntVar(&f.most, "most", 0, "judge at most `N` machines as a whole, usually 400; 0 for no limit")
	flags.BoolVar(&f.all, "all", false, "leave nothing out by choice: every drive, every set of axes, every joint; may take long")
	flags.StringVar(&f.compare, "for", "", "compare by `LIST` of cost, mass, cycle, sag, frequency; by default all")
	flags.IntVar(&f.keep, "keep", 16, "show at most `N` machines of the front")
	flags.IntVar(&f.drawn, "drawn", 3, "draw the uncertain inputs for the first `N` machines")
	flags.IntVar(&f.samples, "samples", 20, "`N` draws for each of them")
	flags.Uint64Var(&f.seed, "seed", 1, "`SEED` of the draws")
	flags.BoolVar(&f.resume, "resume", false, "continue the search of DIR that was stopped")
	flags.BoolVar(&f.force, "force", false, "replace DIR even if it holds files that no search wrote, losing them")
	flags.BoolVar(&f.asJSON, "json", false, "one JSON object")
	flags.StringVar(&f.vary, "vary", "", "judge FILE with all combinations of `LIST`: PATH or PATH=A|B|C, separated by commas")
	return cmd
}

// search finds machines for a task.
func (a *app) search(ctx context.Context, name string, f searchFlags) error {
	p, s, opts, err := a.prepare(name, f)
	if err != nil {
		return err
	}
	folder, err := newFrontFolder(f)
	if err != nil {
		return err
	}
	state, err := openState(f, p.text, p.Problem, opts)
	if err != nil {
		return err
	}
	defer state.close()
	if f.out != "" {
		unhurried(ctx) // what is being judged is still kept
	}
	opts.Known, opts.Learned = state.known, state.learn
	line := a.newTeller()
	began := newEstimate()
	opts.Progress = func(x search.Progress) { line.tell(x.What, began.words(x)) }
	r, err := search.Run(ctx, p.Problem, s, opts)
	var found []search.Found
	var relaxed *search.Relaxation
	var still *search.Unrelaxed
	if err == nil && len(r.Front) > 0 {
		found, err = a.finishSearch(ctx, r, f, name, line)
	} else if err == nil {
		const looking = "looking for what unblocks the task"
		line.tell(looking, looking)
		relaxed, still, err = r.Relax(ctx, func(words string) { line.tell(looking, looking+", "+words) })
	}
	line.end()
	if err != nil {
		if ctx.Err() != nil && f.out != "" {
			fmt.Fprintln(a.err, state.afterStop(name, f.out))
		}
		return fmt.Errorf("%s: %w", name, err)
	}
	names := fileNames(found)
	reply := answer.OfSearch(r, found, names, relaxed, still, name, f.out)
	if f.out != "" {
		if err := folder.write(p.project, r, found, names, reply); err != nil {
			return err
		}
		state.remove()
	}
	if f.asJSON {
		err = answer.Write(a.out, reply)
	} else {
		screen.Search(a.out, r, found, screen.SearchView{File: name, Folder: f.out, Names: names, Relaxed: relaxed, Still: still, Style: a.style()})
	}
	if err == nil && len(found) == 0 {
		err = errOver
	}
	return err
}

// finishSearch writes and judges the designs of the front and draws the
// uncertain inputs of the first few.
func (a *app) finishSearch(ctx context.Context, r *search.Result, f searchFlags, name string, line teller) ([]search.Found, error) {
	line.tell("writing designs", "writing designs")
	found, err := r.Found(ctx, f.keep, func(o search.Outcome) string { return aboutDesign(r, o, filepath.Base(name)) })
	if err != nil {
		return nil, err
	}
	for i := range found[:min(f.drawn, len(found))] {
		line.step("drawing uncertain inputs", i, min(f.drawn, len(found)))
		if f.samples < 1 {
			break
		}
		if found[i].Chance, err = r.Sample(ctx, found[i].Assessment.Machine, f.samples, f.seed); err != nil {
			return nil, err
		}
	}
	return found, nil
}

// aboutDesign is the comment on top of a design that was found.
func aboutDesign(r *search.Result, o search.Outcome, from string) string {
	v := o.Values
	lines := []string{
		"Found by a search from the task in " + from + ".",
		fmt.Sprintf("Cost %.0f, mass %.4g kg, cycle %.4g s, sag varies by %.3g mm, first frequency %.3g Hz;", float64(v.Cost), float64(v.Mass), float64(v.Cycle), 1e3*float64(v.Sag), float64(v.Frequency)),
		fmt.Sprintf("the most used check leaves %.1f %% of its limit. One of %d on the front; %d machines were judged as a whole.", 100*float64(o.Margin), len(r.Front), r.Judged),
		"Part data is representative unless supplier data was named; replace it before ordering.",
		"Guards, brakes, anchors: the risk assessment (ISO 12100), local codes and competent review decide.",
	}
	return strings.Join(lines, "\n")
}

// prepared is a task ready to be searched.
type prepared struct {
	*search.Problem
	project *project.Project
	text    []byte
}

// prepare reads the task and says what is wrong with it.
func (a *app) prepare(name string, f searchFlags) (p prepared, s *search.Space, opts search.Options, err error) {
	pr, list, err := a.openTask(name)
	if err != nil {
		return p, nil, opts, err
	}
	if len(list) > 0 {
		return p, nil, opts, a.refuse(list, pr.Source, f.asJSON)
	}
	p = prepared{project: pr, text: pr.Design.File.Text}
	var wrong diag.List
	p.Problem, wrong = search.NewProblem(pr.Design, pr.Catalogue)
	if len(wrong) == 0 {
		s, wrong = p.NewSpace()
	}
	if len(wrong) > 0 {
		return p, nil, opts, a.refuse(pr.Named(wrong), pr.Source, f.asJSON)
	}
	opts = search.Usual(len(s.Axes))
	if f.all {
		opts.Drives, opts.Joins = 0, 0
	}
	if f.mostGiven {
		opts.Most = f.most
	}
	for word := range strings.SplitSeq(f.compare, ",") {
		if word = strings.TrimSpace(word); word == "" {
			continue
		}
		o, err := search.ParseObjective(word)
		if err != nil {
			return p, nil, opts, mistake("--for: %w", err)
		}
		opts.Objectives = append(opts.Objectives, o)
	}
	if f.resume && f.out == "" {
		return p, nil, opts, mistake("--resume needs the -o DIR of the search that was stopped")
	}
	return p, s, opts, nil
}

// openTask opens a task file with its part files.
func (a *app) openTask(name string) (*project.Project, diag.List, error) {
	if name == stdinArgument {
		return nil, nil, mistake("search: FILE is needed, stdin cannot be read twice")
	}
	folder, base := filepath.Split(name)
	p, list := project.OpenTask(os.DirFS(filepath.Join(folder, ".")), folder, base)
	return p, list, nil
}

// fileNames number the designs, the cheapest first.
func fileNames(found []search.Found) (names []string) {
	for i := range found {
		names = append(names, fmt.Sprintf("%02d.yaml", i+1))
	}
	return names
}
