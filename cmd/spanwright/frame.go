package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"spanwright/diag"
	"spanwright/frame"
	"spanwright/internal/answer"
	"spanwright/internal/screen"
)

func (a *app) frameCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "frame MODEL.json [--json]",
		Short: "solves a neutral 3D frame model: static cases and natural frequencies",
		Example: `  spanwright frame portal.json
  spanwright frame - --json < portal.json`,
		Long: `SI units, Z up; docs/reference/frame-model.md describes the form. Exit 2: the
model has mistakes, or it is a mechanism; the message names what can move.`,
		Args: takes(1, 1), ValidArgsFunction: completeFiles("json"), DisableFlagsInUseLine: true,
		RunE: func(_ *cobra.Command, args []string) error {
			text, name, err := a.read(args[0])
			if err != nil {
				return err
			}
			model, problems := frame.ReadJSON(bytes.NewReader(text))
			var solution *frame.Answer
			if len(problems) == 0 {
				solution, err = frame.Solve(model)
			}
			if list := refusals(name, problems, err); len(list) > 0 {
				return a.refuse(list, func(string) []byte { return text }, asJSON)
			}
			if err != nil {
				return err
			}
			if asJSON {
				return a.writeFrame(solution)
			}
			screen.Frame(a.out, model, solution)
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "one JSON object with every displacement, reaction and member force")
	return cmd
}

// writeFrame writes the neutral form with the head of every answer before it.
func (a *app) writeFrame(solution *frame.Answer) error {
	head, err := json.Marshal(answer.NewHead())
	if err != nil {
		return err
	}
	body, err := solution.MarshalJSON()
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(a.out, "%s,%s\n", bytes.TrimSuffix(head, []byte("}")), bytes.TrimPrefix(body, []byte("{")))
	return err
}

// refusals says in diagnostics why a model was not solved; none is no refusal.
func refusals(file string, problems frame.Problems, err error) (list diag.List) {
	var unsolvable frame.Problems
	if errors.As(err, &unsolvable) {
		problems = append(problems, unsolvable...)
	}
	for _, p := range problems {
		list.Add(diag.Diagnostic{
			Pos:  diag.Pos{File: file, Line: p.Line, Column: p.Column},
			Code: frameModel, Path: pathOf(p), Value: p.Value, Message: sentence(p),
		})
	}
	if len(list) > 0 {
		return list
	}
	for _, r := range reasons {
		if r.is(err) {
			list.Add(diag.Diagnostic{Pos: diag.Pos{File: file}, Code: r.code, Message: strings.TrimPrefix(err.Error(), "frame: ")})
			return list
		}
	}
	return nil
}

// reasons are the models that are understood and yet not solved.
var reasons = []struct {
	code diag.Code
	is   func(error) bool
}{
	{tips, func(err error) bool { return errors.As(err, new(*frame.TipError)) }},
	{mechanism, func(err error) bool { return errors.As(err, new(*frame.MechanismError)) }},
	{noMass, func(err error) bool { return errors.Is(err, frame.ErrNoMass) }},
	{contacts, func(err error) bool { return errors.Is(err, frame.ErrContacts) }},
	{illConditioned, func(err error) bool { return errors.Is(err, frame.ErrInaccurate) }},
}

// pathOf is the place of a problem in the model, e.g. members.b1.section.
func pathOf(p frame.Problem) string {
	var words []string
	for _, w := range []string{p.List, p.ID, p.Key} {
		if w != "" {
			words = append(words, w)
		}
	}
	return strings.Join(words, ".")
}

func sentence(p frame.Problem) string { return strings.TrimSpace(p.Value + " " + p.Message) }
