package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"spanwright/internal/screen"
)

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
