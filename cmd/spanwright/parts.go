package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"spanwright/decode"
	"spanwright/internal/answer"
	"spanwright/parts"
)

func (a *app) partsCommand() *cobra.Command {
	cmd := group("parts", "lists, shows, checks and imports part data", `
  spanwright parts list motor
  spanwright parts import supplier.csv -o supplier.yaml`)
	cmd.Long = `The embedded parts are representative: invented, consistent, nobody's product.
Supplier data in CSV or YAML beside a design takes their place;
docs/reference/parts.md describes the form.`
	cmd.AddCommand(a.partsListCommand(), a.partsShowCommand(), a.partsCheckCommand(), a.partsImportCommand())
	return cmd
}

// withFlag lets a command see the user's part files.
func withFlag(cmd *cobra.Command, files *[]string) {
	cmd.Flags().StringSliceVar(files, "with", nil, "part `FILE` that is laid over the catalogue; may be repeated")
}

func (a *app) partsListCommand() *cobra.Command {
	var asJSON bool
	var files []string
	cmd := &cobra.Command{
		Use:   "list [KIND] [--with FILE] [--json]",
		Short: "lists the parts of a kind, or all",
		Example: `  spanwright parts list profile
  spanwright parts list belt --with supplier.csv --json`,
		Args: takes(0, 1), ValidArgsFunction: completeKind, DisableFlagsInUseLine: true,
		RunE: func(_ *cobra.Command, args []string) error {
			catalogue, err := a.catalogue(files, asJSON)
			if err != nil {
				return err
			}
			listing, err := catalogue.Listing(strings.Join(args, ""))
			if err != nil {
				return inInput(err)
			}
			if asJSON {
				return answer.Write(a.out, struct {
					answer.Head
					Parts []parts.Listed `json:"parts"`
				}{answer.NewHead(), listing.Parts})
			}
			return listing.Print(a.out)
		},
	}
	withFlag(cmd, &files)
	cmd.Flags().BoolVar(&asJSON, "json", false, "one JSON object")
	return cmd
}

func (a *app) partsShowCommand() *cobra.Command {
	var asJSON bool
	var files []string
	cmd := &cobra.Command{
		Use:   "show ID [--with FILE] [--json]",
		Short: "shows every value of a part",
		Example: `  spanwright parts show servo-1000
  spanwright parts show my-belt-30 --with supplier.csv`,
		Args: takes(1, 1), ValidArgsFunction: completePart(), DisableFlagsInUseLine: true,
		RunE: func(_ *cobra.Command, args []string) error {
			catalogue, err := a.catalogue(files, asJSON)
			if err != nil {
				return err
			}
			shown, err := partsNamed(catalogue, args[0])
			if err != nil {
				return inInput(err)
			}
			if asJSON {
				return answer.Write(a.out, struct {
					answer.Head
					Parts []*parts.Shown `json:"parts"`
				}{answer.NewHead(), shown})
			}
			for _, s := range shown {
				if err := s.Print(a.out); err != nil {
					return err
				}
			}
			return nil
		},
	}
	withFlag(cmd, &files)
	cmd.Flags().BoolVar(&asJSON, "json", false, "one JSON object")
	return cmd
}

// partsNamed shows the parts with the id, of whatever kind.
func partsNamed(c *parts.Catalogue, id string) (out []*parts.Shown, err error) {
	refs := c.Refs(id)
	if len(refs) == 0 {
		return nil, &parts.UnknownPartError{Ref: parts.Ref{ID: id}, Near: nearOf(c, id)}
	}
	for _, r := range refs {
		s, err := c.Show(r)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// nearOf lists ids of any kind that may have been meant.
func nearOf(c *parts.Catalogue, id string) []string {
	var all []string
	for _, kind := range parts.Kinds() {
		all = append(all, c.IDs(kind)...)
	}
	if near := decode.Nearest(id, all); near != "" {
		return []string{near}
	}
	return nil
}

func (a *app) partsCheckCommand() *cobra.Command {
	var asJSON bool
	var kind string
	cmd := &cobra.Command{
		Use:   "check FILE [--kind KIND] [--json]",
		Short: "says line by line what is wrong with a part file",
		Example: `  spanwright parts check supplier.csv
  spanwright parts check export.txt --kind belt`,
		Args: takes(1, 1), ValidArgsFunction: completeFiles("csv", "yaml", "yml", "tsv", "txt"), DisableFlagsInUseLine: true,
		RunE: func(_ *cobra.Command, args []string) error {
			src, err := a.partSource(args[0], kind)
			if err != nil {
				return err
			}
			_, list := parts.Embedded().With(src)
			if len(list) > 0 {
				return a.refuse(list, func(string) []byte { return src.Text }, asJSON)
			}
			return a.sayChecked(src, asJSON)
		},
	}
	kindFlag(cmd, &kind)
	cmd.Flags().BoolVar(&asJSON, "json", false, "one JSON object")
	return cmd
}

// sayChecked counts the parts of a file without mistakes.
func (a *app) sayChecked(src parts.Source, asJSON bool) error {
	found, _ := parts.Read(src)
	refs := []string{}
	for _, p := range found {
		refs = append(refs, parts.KindOf(p)+"."+p.Base().ID)
	}
	if asJSON {
		return answer.Write(a.out, struct {
			answer.Head
			File  string   `json:"file"`
			Parts []string `json:"parts"`
		}{answer.NewHead(), src.Name, refs})
	}
	_, err := fmt.Fprintf(a.out, "%s: no mistakes; parts read: %d\n", src.Name, len(refs))
	return err
}

func kindFlag(cmd *cobra.Command, kind *string) {
	cmd.Flags().StringVar(kind, "kind", "", "the `KIND` of part that a table lists, where it does not say so itself")
}

func (a *app) partsImportCommand() *cobra.Command {
	var kind, out string
	var force bool
	cmd := &cobra.Command{
		Use:   "import FILE -o OUT [--kind KIND] [--force]",
		Short: "writes a clean part file from a table or another part file",
		Example: `  spanwright parts import supplier.csv -o supplier.yaml
  spanwright parts import export.txt --kind belt -o -`,
		Long: `Every value is checked first; with any mistake nothing is written.`,
		Args: takes(1, 1), ValidArgsFunction: completeFiles("csv", "yaml", "yml", "tsv", "txt"), DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				return mistake("%s: -o OUT is missing, e.g. %q", cmd.CommandPath(), firstExample(cmd))
			}
			if sameFile(args[0], out) {
				return mistake("%s would be read and written at once; give another name after -o", out)
			}
			src, err := a.partSource(args[0], kind)
			if err != nil {
				return err
			}
			var text strings.Builder
			list, err := parts.Import(&text, parts.Embedded(), src)
			if err != nil {
				return err
			}
			if len(list) > 0 {
				return a.refuse(list, func(string) []byte { return src.Text }, false)
			}
			return a.write(out, force, func(w io.Writer) error {
				_, err := io.WriteString(w, text.String())
				return err
			})
		},
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "the file `OUT` to write; - is stdout")
	cmd.Flags().BoolVar(&force, "force", false, "let OUT take the place of a file that exists")
	kindFlag(cmd, &kind)
	return cmd
}

func (a *app) partSource(name, kind string) (parts.Source, error) {
	text, shown, err := a.read(name)
	return parts.Source{Name: shown, Text: text, Kind: kind}, err
}

// catalogue is the embedded one with the user's files laid over it.
func (a *app) catalogue(files []string, asJSON bool) (*parts.Catalogue, error) {
	if len(files) == 0 {
		return parts.Embedded(), nil
	}
	texts := map[string][]byte{}
	var sources []parts.Source
	for _, name := range files {
		src, err := a.partSource(name, "")
		if err != nil {
			return nil, err
		}
		sources = append(sources, src)
		texts[src.Name] = src.Text
	}
	c, list := parts.Embedded().With(sources...)
	if len(list) > 0 {
		return nil, a.refuse(list, func(file string) []byte { return texts[file] }, asJSON)
	}
	return c, nil
}
