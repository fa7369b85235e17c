package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"spanwright/internal/answer"
	"spanwright/internal/release"
)

func (a *app) versionCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "version [--json]",
		Short: "says which version this is and how it was built",
		Example: `  spanwright version
  spanwright version --json`,
		Args: takes(0, 0), DisableFlagsInUseLine: true,
		RunE: func(*cobra.Command, []string) error {
			build := release.ThisBuild()
			if asJSON {
				return answer.Write(a.out, struct {
					answer.Head
					Build release.Build `json:"build"`
				}{answer.NewHead(), build})
			}
			fmt.Fprintf(a.out, "%s %s (%s, %s)\n", release.Name, release.Version, build.Go, build.Platform)
			if build.Revision != "" {
				fmt.Fprintf(a.out, "source %s\n", build.Revision)
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "one JSON object")
	return cmd
}
