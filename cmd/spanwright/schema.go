package main

import (
	"github.com/spf13/cobra"

	"spanwright/design"
)

func (a *app) schemaCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "prints the JSON Schema of the design file, for editors",
		Example: `  spanwright schema > gantry.schema.json
  spanwright schema | head`,
		Long: `An editor that knows the schema completes keys, shows what they mean and marks
mistakes while typing; docs/how-to/editor.md says how to set it up.`,
		Args: takes(0, 0), DisableFlagsInUseLine: true,
		RunE: func(*cobra.Command, []string) error {
			text, err := design.Schema()
			if err != nil {
				return err
			}
			_, err = a.out.Write(text)
			return err
		},
	}
}
