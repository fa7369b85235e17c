package main

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"spanwright/internal/screen"
)

// helpCommand is "help COMMAND", the same as "COMMAND --help".
func helpCommand() *cobra.Command {
	return &cobra.Command{
		Use: "help [COMMAND]", Hidden: true, DisableFlagsInUseLine: true, ValidArgsFunction: completeCommands,
		RunE: func(cmd *cobra.Command, args []string) error {
			of := cmd.Root()
			for _, name := range args {
				if name == cmd.Name() {
					continue // of help itself there is nothing more to say
				}
				i := slices.IndexFunc(of.Commands(), func(c *cobra.Command) bool { return c.IsAvailableCommand() && c.Name() == name })
				if i < 0 {
					return knownCommand(of, []string{name})
				}
				of = of.Commands()[i]
			}
			printHelp(of)
			return nil
		},
	}
}

// completeCommands proposes the commands below those that stand there.
func completeCommands(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	of := cmd.Root()
	if found, _, err := of.Find(args); err == nil {
		of = found
	}
	var names []string
	for _, row := range commandRows(of) {
		names = append(names, row.name+"\t"+row.text)
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

// printHelp writes one sentence, real examples, and then the reference.
func printHelp(cmd *cobra.Command) {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n%s\n", screen.Wrap(cmd.CommandPath()+" "+cmd.Short+".", 0), cmd.Example)
	if cmd.Long != "" {
		fmt.Fprintf(&b, "\n%s\n", cmd.Long)
	}
	if cmd.HasAvailableSubCommands() {
		b.WriteString("\nCommands\n")
		writeRows(&b, commandRows(cmd))
	} else {
		fmt.Fprintf(&b, "\nUsage\n  %s\n", cmd.UseLine())
	}
	if rows := flagRows(cmd.NonInheritedFlags()); len(rows) > 0 {
		b.WriteString("\nOptions\n")
		writeRows(&b, rows)
	}
	if rows := flagRows(cmd.InheritedFlags()); len(rows) > 0 {
		b.WriteString("\nOptions of every command\n")
		writeRows(&b, rows)
	}
	if cmd.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "\n\"%s COMMAND --help\" says more about one of them.\n", cmd.CommandPath())
	}
	fmt.Fprint(cmd.OutOrStdout(), b.String())
}

type helpRow struct{ name, text string }

func commandRows(cmd *cobra.Command) (rows []helpRow) {
	for _, c := range cmd.Commands() {
		if c.IsAvailableCommand() {
			rows = append(rows, helpRow{c.Name(), c.Short})
		}
	}
	return rows
}

func flagRows(set *pflag.FlagSet) (rows []helpRow) {
	set.VisitAll(func(f *pflag.Flag) {
		if f.Hidden || f.Name == "help" {
			return
		}
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		if value, _ := pflag.UnquoteUsage(f); value != "" {
			name += " " + value
		}
		_, text := pflag.UnquoteUsage(f)
		rows = append(rows, helpRow{name, text})
	})
	return rows
}

func writeRows(b *strings.Builder, rows []helpRow) {
	wide := 0
	for _, r := range rows {
		wide = max(wide, utf8.RuneCountInString(r.name))
	}
	for _, r := range rows {
		fmt.Fprintf(b, "  %-*s  %s\n", wide, r.name, screen.Wrap(r.text, wide+4))
	}
}
