package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"spanwright/decode"
)

func (a *app) root() *cobra.Command {
	cobra.EnableCommandSorting = false // the order is that of the work
	root := group("spanwright", "judges the whole of a gantry from one design file", `
  spanwright new honey --kind portal-xz
  spanwright check honey/gantry.yaml`)
	root.Long = `A task and a machine in one text file; every check with its value, limit and
working; the worst on top. It supports an engineer's judgement and does not
replace it: risk assessment (ISO 12100), local codes and review by licensed or
competent practitioners take precedence.`
	root.SilenceErrors, root.SilenceUsage = true, true
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpCommand(helpCommand())
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { printHelp(cmd) })
	root.SetFlagErrorFunc(wrongFlag)
	all := root.PersistentFlags()
	all.BoolVar(&a.noColour, "no-color", false, "no colour, even on a terminal; NO_COLOR does the same")
	all.Bool("debug", false, "print where in the program a fault happened")
	root.AddCommand(
		a.newCommand(), a.openCommand(), a.checkCommand(), a.explainCommand(), a.improveCommand(), a.searchCommand(), a.packCommand(), a.measureCommand(), a.partsCommand(), a.sectionCommand(),
		a.frameCommand(), a.schemaCommand(), a.versionCommand(), a.completionCommand(),
	)
	return root
}

// group is a command that only holds others.
func group(use, short, examples string) *cobra.Command {
	return &cobra.Command{
		Use: use, Short: short, Example: strings.TrimPrefix(examples, "\n"),
		Args: knownCommand,
		Run:  func(cmd *cobra.Command, _ []string) { printHelp(cmd) },
	}
}

// knownCommand refuses what is left after no subcommand was found.
func knownCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var names []string
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return mistake("%q is no command of %s, %s", args[0], cmd.CommandPath(), meant(args[0], names, cmd))
}

// meant proposes the nearest word or, where none is near, the help.
func meant(word string, known []string, cmd *cobra.Command) string {
	if near := decode.Nearest(word, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return fmt.Sprintf("%q lists them", cmd.CommandPath()+" --help")
}

// wrongFlag answers a flag that does not exist with the nearest one.
func wrongFlag(cmd *cobra.Command, err error) error {
	word, found := strings.CutPrefix(err.Error(), "unknown flag: --")
	var value *pflag.InvalidValueError
	if errors.As(err, &value) {
		takes := map[string]string{"int": "a whole number", "uint64": "a whole number that is not negative"}[value.GetFlag().Value.Type()]
		if takes == "" {
			takes = "another value"
		}
		return mistake("%s: --%s takes %s, not %q, see %q", cmd.CommandPath(), value.GetFlag().Name, takes, value.GetValue(), cmd.CommandPath()+" --help")
	}
	if !found {
		return mistake("%s: %w, see %q", cmd.CommandPath(), err, cmd.CommandPath()+" --help")
	}
	var names []string
	collect := func(f *pflag.Flag) { names = append(names, f.Name) }
	cmd.Flags().VisitAll(collect)
	cmd.InheritedFlags().VisitAll(collect)
	if near := decode.Nearest(word, names); near != "" {
		return mistake("%s has no --%s, did you mean --%s?", cmd.CommandPath(), word, near)
	}
	return mistake("%s has no --%s, %q lists what it has", cmd.CommandPath(), word, cmd.CommandPath()+" --help")
}

// takes refuses any other number of arguments than the usage line shows.
func takes(least, most int) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return mistake("%s: %s is missing, e.g. %q", cmd.CommandPath(), operand(cmd, len(args)), firstExample(cmd))
		case len(args) > most:
			return mistake("%s: %q is one argument too many; usage: %s", cmd.CommandPath(), args[most], cmd.UseLine())
		}
		return nil
	}
}

// operand is the i-th word in capitals of the usage line.
func operand(cmd *cobra.Command, i int) string {
	for word := range strings.FieldsSeq(cmd.Use) {
		if word == strings.ToUpper(word) && !strings.HasPrefix(word, "[") {
			if i == 0 {
				return word
			}
			i--
		}
	}
	return "an argument"
}

func firstExample(cmd *cobra.Command) string {
	first, _, _ := strings.Cut(strings.TrimSpace(cmd.Example), "\n")
	return first
}
