package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"spanwright/decode"
	"spanwright/examples"
)

// starterName is the file that new writes.
const starterName = "gantry.yaml"

func (a *app) newCommand() *cobra.Command {
	var kind string
	var force bool
	cmd := &cobra.Command{
		Use:   "new DIR --kind KIND [--force]",
		Short: "writes a commented starter design that passes its checks",
		Example: `  spanwright new honey --kind portal-xz
  spanwright new . --kind portal-xz --force`,
		Long: kindsText(),
		Args: takes(1, 1), DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			starter, err := starterNamed(kind, cmd)
			if err != nil {
				return err
			}
			text, err := starter.Text()
			if err != nil {
				return err
			}
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return inInput(err)
			}
			path := filepath.Join(args[0], starterName)
			err = a.write(path, force, func(w io.Writer) error {
				_, err := w.Write(text)
				return err
			})
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(a.out, "wrote %s, %s\nnext: spanwright check %s\n", path, starter.Doc, path)
			return err
		},
	}
	cmd.Flags().StringVar(&kind, "kind", "", "the `KIND` of gantry")
	cmd.Flags().BoolVar(&force, "force", false, "let it take the place of a "+starterName+" that exists")
	if err := cmd.RegisterFlagCompletionFunc("kind", cobra.FixedCompletions(kinds(), cobra.ShellCompDirectiveNoFileComp)); err != nil {
		panic(err) // the flag is defined two lines above
	}
	return cmd
}

func kinds() (out []string) {
	for _, s := range examples.Starters {
		out = append(out, s.Kind)
	}
	return out
}

func kindsText() string {
	var rows []helpRow
	for _, s := range examples.Starters {
		rows = append(rows, helpRow{s.Kind, s.Doc})
	}
	var b strings.Builder
	b.WriteString("Kinds\n")
	writeRows(&b, rows)
	return strings.TrimSuffix(b.String(), "\n")
}

func starterNamed(kind string, cmd *cobra.Command) (*examples.Starter, error) {
	if kind == "" {
		return nil, mistake("%s: --kind is missing; there are %s", cmd.CommandPath(), strings.Join(kinds(), ", "))
	}
	i := slices.IndexFunc(examples.Starters, func(s examples.Starter) bool { return s.Kind == kind })
	if i >= 0 {
		return &examples.Starters[i], nil
	}
	if near := decode.Nearest(kind, kinds()); near != "" {
		return nil, mistake("%q is no kind of starter, did you mean %q?", kind, near)
	}
	return nil, mistake("%q is no kind of starter; there are %s", kind, strings.Join(kinds(), ", "))
}
