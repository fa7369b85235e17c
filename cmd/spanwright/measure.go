package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"spanwright/asbuilt"
	"spanwright/assess"
	"spanwright/diag"
	"spanwright/internal/answer"
	"spanwright/internal/project"
	"spanwright/internal/screen"
)

// measureOptions are the flags of measure.
type measureOptions struct {
	asJSON, calibrate, force bool
	out                      string
	exclude                  []string
}

func (a *app) measureCommand() *cobra.Command {
	var o measureOptions
	cmd := &cobra.Command{
		Use:   "measure FILE DATA... [--exclude ROW] [--calibrate -o OUT] [--json]",
		Short: "compares filled-in test forms with the model",
		Example: `  spanwright measure gantry.yaml forms/stiffness.csv forms/resonance.csv
  spanwright measure gantry.yaml forms/*.csv --calibrate -o as-built.yaml`,
		Long: `DATA are forms of the pack, filled in. Each value is listed with its
uncertainty, what the model predicts and how far both agree (E_n at most 1), and
judged where there is a limit: pass, fail, or undecided within the uncertainty.
A reading that stands apart is named; it counts unless --exclude names its row,
as FILE:LINE.

--calibrate finds joint stiffness and damping that explain the pull and tap
tests, and writes the design with them to another file. What cannot be told from
the data is said and left alone.

Exit 0: nothing fails; 1: something does; 2: a file cannot be used.`,
		Args: takes(2, 1000), ValidArgsFunction: completeFiles("yaml", "yml", "csv"), DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error { return a.measure(cmd, args[0], args[1:], o) },
	}
	flags := cmd.Flags()
	flags.StringArrayVar(&o.exclude, "exclude", nil, "leave the `ROW`, named FILE:LINE, out; may be repeated")
	flags.BoolVar(&o.calibrate, "calibrate", false, "find joint stiffness and damping from the data")
	flags.StringVarP(&o.out, "output", "o", "", "with --calibrate: `OUT` for the calibrated design, - for stdout")
	flags.BoolVar(&o.force, "force", false, "replace OUT if it exists")
	flags.BoolVar(&o.asJSON, "json", false, "one JSON object")
	return cmd
}

// measured is the answer of measure.
type measured struct {
	answer.Head
	Design answer.Design `json:"design"`
	*asbuilt.Report
	Calibration *asbuilt.Calibration `json:"calibration,omitempty"`
}

func (a *app) measure(cmd *cobra.Command, file string, data []string, o measureOptions) error {
	switch {
	case o.calibrate && o.out == "":
		return mistake("--calibrate needs -o OUT to write the design to")
	case !o.calibrate && o.out != "":
		return mistake("-o goes with --calibrate")
	case o.out == stdinArgument && o.asJSON:
		return mistake("-o - and --json would both go to stdout")
	case o.out != "" && sameFile(file, o.out):
		return mistake("%s is the design itself; give another file", o.out)
	}
	found, p, err := a.assess(cmd.Context(), file, o.asJSON)
	if err != nil {
		return err
	}
	plan, err := asbuilt.NewPlan(found)
	if err != nil {
		return err
	}
	r, err := a.evaluate(plan, found, data, o)
	if err != nil {
		return err
	}
	out := measured{Head: answer.NewHead(), Design: answer.OfDesign(found, p.File()), Report: r}
	var calibrated []byte
	if o.calibrate {
		if out.Calibration, calibrated, err = calibrate(plan, r, p, data); err != nil {
			return err
		}
	}
	if err := a.showMeasured(out, o); err != nil {
		return err
	}
	if o.calibrate {
		if calibrated == nil {
			return mistake("%s was not written: %w", o.out, asbuilt.ErrNothingFound)
		}
		if calibrated, err = carryParts(p, calibrated, o.out); err != nil {
			return err
		}
		if err := a.write(o.out, o.force, func(w io.Writer) error { _, err := w.Write(calibrated); return err }); err != nil {
			return err
		}
	}
	for _, f := range r.Findings {
		if f.Verdict == asbuilt.Fail {
			return errOver
		}
	}
	return nil
}

// evaluate reads the forms and evaluates them.
func (a *app) evaluate(plan *asbuilt.Plan, found *assess.Assessment, data []string, o measureOptions) (*asbuilt.Report, error) {
	design := answer.OfDesign(found, "")
	head := asbuilt.Head{Machine: design.Name, Hash: design.SHA256, Revision: design.Revision}
	texts := map[string][]byte{}
	var forms []*asbuilt.Form
	var wrong diag.List
	for i, name := range data {
		if k := slices.IndexFunc(data[:i], func(other string) bool { return sameFile(other, name) }); k >= 0 {
			return nil, mistake("measure: %s and %s are the same file; its readings would count twice", data[k], name)
		}
		text, shown, err := a.read(name)
		if err != nil {
			return nil, err
		}
		texts[shown] = text
		f, list := asbuilt.Read(shown, text, head)
		wrong.Add(list...)
		forms = append(forms, f)
	}
	source := func(file string) []byte { return texts[file] }
	if len(wrong) > 0 {
		return nil, a.refuse(wrong, source, o.asJSON)
	}
	r, wrong := asbuilt.Evaluate(plan, forms, o.exclude)
	if len(wrong) > 0 {
		return nil, a.refuse(wrong, source, o.asJSON)
	}
	return r, nil
}

// calibrate finds the inputs and makes the design's new text; nil where nothing was found.
func calibrate(plan *asbuilt.Plan, r *asbuilt.Report, p *project.Project, data []string) (*asbuilt.Calibration, []byte, error) {
	c, err := asbuilt.Calibrate(plan, r)
	if err != nil {
		return nil, nil, err
	}
	var names []string
	for _, d := range data {
		names = append(names, filepath.Base(d))
	}
	text, err := c.Apply(p.Design.File, p.Design.Meta.Note, strings.Join(names, ", "))
	if errors.Is(err, asbuilt.ErrNothingFound) {
		return c, nil, nil
	}
	return c, text, inInput(err)
}

func (a *app) showMeasured(out measured, o measureOptions) error {
	w := io.Writer(a.out)
	if o.out == stdinArgument {
		w = a.err
	}
	if o.asJSON {
		return answer.Write(a.out, out)
	}
	if err := screen.Measured(w, out.Report); err != nil {
		return err
	}
	if out.Calibration != nil {
		return screen.Calibration(w, out.Calibration)
	}
	if asbuilt.CallsForCalibration(out.Report) {
		_, err := fmt.Fprint(w, "\nTwo measurements or more in which the joints have a part disagree with the model:\n--calibrate -o OUT looks for the joint stiffness that explains them.\n")
		return err
	}
	return nil
}
