package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	page "spanwright/app"
	"spanwright/serve"
)

func (a *app) openCommand() *cobra.Command {
	var port int
	var noBrowser bool
	var folder string
	cmd := &cobra.Command{
		Use:   "open FILE [--port N] [--no-browser]",
		Short: "opens a design in the browser: edit it and see what follows",
		Example: `  spanwright open gantry.yaml
  spanwright open honey --no-browser`,
		Long: `Serves the page on this computer alone until Ctrl-C and prints its address. The
address holds a secret: who has it can read and change the designs of the
folder. FILE may be a design, one that is not there yet, or a folder.
docs/how-to/open-page.md says more.`,
		Args: takes(1, 1), ValidArgsFunction: completeFiles("yaml", "yml"), DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			o, err := openOptions(args[0])
			if err != nil {
				return err
			}
			if port < 0 || port > 65535 {
				return mistake("--port is %d; it is at most 65535, 0 for any that is free", port)
			}
			o.Port = port
			o.Warn = func(err error) { fmt.Fprintf(a.err, "warning: %v\n", err) }
			if o.Page, err = builtPage(folder); err != nil {
				return err
			}
			return a.serve(cmd.Context(), o, !noBrowser)
		},
	}
	flags := cmd.Flags()
	flags.IntVar(&port, "port", 0, "the port `N`; by default any that is free")
	flags.BoolVar(&noBrowser, "no-browser", false, "only print the address")
	flags.StringVar(&folder, "page", "", "serve the page from the folder `DIR`")
	if err := flags.MarkHidden("page"); err != nil {
		panic(err) // the flag is defined on the line above
	}
	return cmd
}

// openOptions finds folder and file of an argument.
func openOptions(name string) (serve.Options, error) {
	info, err := os.Stat(name)
	switch {
	case err == nil && info.IsDir():
		return serve.Options{Folder: name}, nil
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return serve.Options{}, inInput(err)
	}
	folder, base := filepath.Split(name)
	folder = filepath.Join(folder, ".")
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return serve.Options{}, mistake("%s: there is no such folder", folder)
	}
	if err := serve.CheckName(base); err != nil {
		return serve.Options{}, mistake("%w; a design's name ends in .yaml or .yml", err)
	}
	return serve.Options{Folder: folder, First: base}, nil
}

// builtPage is the page in the program, or in a folder.
func builtPage(folder string) (fs.FS, error) {
	if folder == "" {
		return fs.Sub(page.Files, "dist")
	}
	if _, err := os.Stat(folder); err != nil {
		return nil, inInput(err)
	}
	return os.DirFS(folder), nil
}

// serve answers until the context ends.
func (a *app) serve(ctx context.Context, o serve.Options, browser bool) error {
	s, err := serve.New(o)
	if err != nil {
		return inInput(err)
	}
	unhurried(ctx)
	fmt.Fprintf(a.out, "%s\n", s.Address())
	if err := a.out.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(a.err, "serving until Ctrl-C; keep the address to yourself: it holds a secret")
	if browser {
		if err := browse(s.OnceAddress()); err != nil {
			fmt.Fprintf(a.err, "no browser could be opened (%v); open the address above\n", err)
		}
	}
	context.AfterFunc(ctx, func() { signal.Reset(os.Interrupt, syscall.SIGTERM) }) // a second Ctrl-C ends at once
	unsaved, err := s.Serve(ctx)
	if len(unsaved) > 0 {
		fmt.Fprintf(a.err, "not saved: %s; the work is kept and comes back with the next open\n", strings.Join(unsaved, ", "))
	}
	return err
}

// browse opens an address with the system's usual browser.
func browse(address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	cmd := exec.Command(name, args...)
	detach(cmd)
	if err := cmd.Start(); err != nil {
		return err
	}
	go cmd.Wait() // so that nothing is left of it; how it ended is the browser's affair
	return nil
}
