package main

import (
	"io"

	"github.com/spf13/cobra"

	"spanwright/assess"
	"spanwright/parts"
)

func (a *app) completionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "writes completion of commands, check ids and part ids for a shell",
		Example: `  source <(spanwright completion bash)
  spanwright completion fish > ~/.config/fish/completions/spanwright.fish`,
		Long:      `SHELL is bash, zsh, fish or powershell.`,
		ValidArgs: []string{"bash", "zsh", "fish", "powershell"},
		Args:      takes(1, 1), DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			root := cmd.Root()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(a.out, true)
			case "zsh":
				return root.GenZshCompletion(a.out)
			case "fish":
				return root.GenFishCompletion(a.out, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(a.out)
			}
			return mistake("%q is no shell known here; bash, zsh, fish and powershell are", args[0])
		},
	}
}

type completer = func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective)

// completeFiles completes the first argument with files of these endings.
func completeFiles(endings ...string) completer {
	return func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return endings, cobra.ShellCompDirectiveFilterFileExt
	}
}

// completeCheck completes a design file and then the id of one of its checks.
func (a *app) completeCheck(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	switch {
	case len(args) == 0:
		return completeFiles("yaml", "yml")(cmd, args, typed)
	case len(args) > 1:
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	quiet := newApp(a.in, io.Discard, io.Discard)
	p, list, err := quiet.open(args[0])
	if err != nil || len(list) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	found, err := assess.Run(cmd.Context(), p.Machine, assess.Options{})
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var ids []string
	for _, c := range found.Checks {
		ids = append(ids, cobra.CompletionWithDesc(c.ID, c.Title))
	}
	return ids, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
}

// completeKind completes a kind of part.
func completeKind(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return parts.Kinds(), cobra.ShellCompDirectiveNoFileComp
}

// completePart completes the id of an embedded part of the kinds, or of any.
func completePart(kinds ...string) completer {
	return func(_ *cobra.Command, args []string, _ string) (ids []string, _ cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		if len(kinds) == 0 {
			kinds = parts.Kinds()
		}
		for _, k := range kinds {
			for _, id := range parts.Embedded().IDs(k) {
				ids = append(ids, cobra.CompletionWithDesc(id, k))
			}
		}
		return ids, cobra.ShellCompDirectiveDefault
	}
}
