package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"spanwright/internal/answer"
	"spanwright/internal/release"
	"spanwright/pack"
)

func (a *app) packCommand() *cobra.Command {
	var asJSON, force bool
	var dir string
	cmd := &cobra.Command{
		Use:     "pack FILE -o DIR [--force] [--json]",
		Short:   "writes the hand-over pack: lists, drawings, report, commissioning sheet, acceptance test, forms",
		Example: "  spanwright pack gantry.yaml -o gantry-pack",
		Long: `All files come from one assessment and carry the design's hash. A folder that an
earlier pack filled is replaced; one with other files, or with forms filled in,
only with --force, which loses them; one that holds the design never. Exit as
check: a design with checks over is written too, marked NOT RELEASED.`,
		Args: takes(1, 1), ValidArgsFunction: completeFiles("yaml", "yml"), DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			if dir == "" {
				return mistake("pack: -o DIR is missing, e.g. %q", firstExample(cmd))
			}
			if err := pack.Room(filepath.Clean(dir), force, args[0], "."); err != nil {
				return inInput(err)
			}
			found, p, err := a.assess(cmd.Context(), args[0], asJSON)
			if err != nil {
				return err
			}
			tool := release.This()
			source := pack.NewSource(found, tool.Name+" "+tool.Version)
			files, err := pack.Files(source)
			if err != nil {
				return err
			}
			m, err := pack.Write(cmd.Context(), filepath.Clean(dir), source, files, force)
			if errors.Is(err, pack.ErrForeign) || errors.Is(err, pack.ErrNoRoom) {
				return inInput(err)
			}
			if err != nil {
				return err
			}
			if asJSON {
				err = answer.Write(a.out, struct {
					answer.Head
					Design   answer.Design  `json:"design"`
					Folder   string         `json:"folder"`
					Manifest *pack.Manifest `json:"manifest"`
				}{answer.NewHead(), answer.OfDesign(found, p.File()), dir, m})
			} else {
				err = a.showPack(dir, m)
			}
			if err != nil {
				return err
			}
			return exitOf(found.Counts)
		},
	}
	flags := cmd.Flags()
	flags.StringVarP(&dir, "output", "o", "", "`DIR` for the pack")
	flags.BoolVar(&force, "force", false, "replace a folder with files that no pack wrote, losing them")
	flags.BoolVar(&asJSON, "json", false, "one JSON object")
	return cmd
}

// showPack lists the files with their sizes.
func (a *app) showPack(dir string, m *pack.Manifest) error {
	total := 0
	for _, f := range m.Files {
		fmt.Fprintf(a.out, "%8d  %s  (%s)\n", f.Bytes, f.Name, f.About)
		total += f.Bytes
	}
	_, err := fmt.Fprintf(a.out, "%d files, %.1f MB in %s\n", len(m.Files)+1, float64(total)/1e6, dir)
	if err == nil && !m.Released {
		_, err = fmt.Fprintf(a.out, "%s: checks are over; every sheet says so\n", pack.NotReleased)
	}
	return err
}
