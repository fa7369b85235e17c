package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"spanwright/diag"
	"spanwright/internal/answer"
	"spanwright/internal/screen"
	"spanwright/parts"
	"spanwright/section"
)

func (a *app) sectionCommand() *cobra.Command {
	var asJSON, force bool
	var svg string
	var files []string
	cmd := &cobra.Command{
		Use:   "section FILE|PART [--svg OUT] [--json]",
		Short: "computes the section properties of an outline or of a profile part",
		Example: `  spanwright section profile-90x90-heavy
  spanwright section outline.json --svg outline.svg`,
		Long: `Area, second moments, torsion constant, shear areas and shear centre, the last
three with bounds. docs/reference/outline.md describes outline files.`,
		Args: takes(1, 1), ValidArgsFunction: completePart("profile"), DisableFlagsInUseLine: true,
		RunE: func(_ *cobra.Command, args []string) error {
			s, err := a.sectionOf(args[0], files, asJSON)
			if err != nil {
				return err
			}
			if svg != "" {
				if err := a.drawSection(s, svg, force); err != nil || svg == stdinArgument {
					return err
				}
			}
			if asJSON {
				return answer.Write(a.out, s.answer())
			}
			screen.Section(a.out, s.name, s.properties, s.massPerM)
			return nil
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&svg, "svg", "", "also draw it in the file `OUT`; - is stdout, instead of the numbers")
	flags.BoolVar(&force, "force", false, "let OUT take the place of a file that exists")
	withFlag(cmd, &files)
	flags.BoolVar(&asJSON, "json", false, "one JSON object")
	return cmd
}

// sectionFound is a section, where it has one its outline, and its mass where
// the material is known.
type sectionFound struct {
	name       string
	shape      section.Outline
	drawn      bool
	properties section.Properties
	massPerM   *float64
	part       *parts.Profile
}

// sectionOf reads an outline file, or finds a profile of the catalogue.
func (a *app) sectionOf(name string, files []string, asJSON bool) (*sectionFound, error) {
	if name == stdinArgument || strings.EqualFold(filepath.Ext(name), ".json") || isFile(name) {
		return a.sectionOfFile(name, asJSON)
	}
	catalogue, err := a.catalogue(files, asJSON)
	if err != nil {
		return nil, err
	}
	p, ok := catalogue.Profile(name)
	if !ok {
		return nil, inputError{&parts.UnknownPartError{Ref: parts.Ref{Kind: "profile", ID: name}, Near: catalogue.Near("profile", name)}}
	}
	s := &sectionFound{name: name, part: p}
	if s.properties, err = catalogue.Properties(p); err != nil {
		return nil, inInput(err)
	}
	mass, err := catalogue.MassPerMetre(p)
	if err != nil {
		return nil, inInput(err)
	}
	s.massPerM = &mass
	if s.shape, err = p.Outline(); err == nil {
		s.drawn = true
	} else if !errors.Is(err, parts.ErrNoOutline) {
		return nil, inInput(err)
	}
	return s, nil
}

func isFile(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.Mode().IsRegular()
}

func (a *app) sectionOfFile(name string, asJSON bool) (*sectionFound, error) {
	text, shown, err := a.read(name)
	if err != nil {
		return nil, err
	}
	f, err := section.ReadFile(text)
	var p section.Properties
	if err == nil {
		p, err = f.Properties()
	}
	if err != nil {
		return nil, a.refuse(outlineMistakes(shown, err), func(string) []byte { return text }, asJSON)
	}
	if f.Name == "" {
		f.Name = shown
	}
	return &sectionFound{name: f.Name, shape: f.Shape, drawn: f.Sheet == nil, properties: p}, nil
}

// outlineMistakes says in diagnostics what is wrong with an outline file.
func outlineMistakes(file string, err error) (list diag.List) {
	var wrong *section.FileError
	if !errors.As(err, &wrong) {
		return diag.List{{Pos: diag.Pos{File: file}, Code: outline, Message: err.Error()}}
	}
	for _, m := range wrong.Mistakes {
		list.Add(diag.Diagnostic{
			Pos:  diag.Pos{File: file, Line: m.Line, Column: m.Column},
			Code: outline, Path: m.Path, Value: m.Value, Message: m.Message, Hint: m.Hint,
		})
	}
	return list
}

// drawSection writes the drawing.
func (a *app) drawSection(s *sectionFound, out string, force bool) error {
	if !s.drawn {
		return mistake("%s has properties and no outline, so there is nothing to draw", s.name)
	}
	text := s.shape.SVG(s.properties, section.Picture{Title: s.name})
	return a.write(out, force, func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	})
}

// sectionAnswer is the JSON form.
type sectionAnswer struct {
	answer.Head
	Name           string             `json:"name"`
	Representative bool               `json:"representative"`
	Caution        string             `json:"caution,omitempty"`
	MassPerM       *float64           `json:"mass_per_m_kg_m,omitempty"` // where the material is known
	Properties     section.Properties `json:"properties"`
}

func (s *sectionFound) answer() sectionAnswer {
	out := sectionAnswer{Head: answer.NewHead(), Name: s.name, MassPerM: s.massPerM, Properties: s.properties}
	if s.part != nil && s.part.Representative {
		out.Representative, out.Caution = true, parts.Caution
	}
	return out
}
