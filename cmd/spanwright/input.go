package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"spanwright/assess"
	"spanwright/diag"
	"spanwright/internal/answer"
	"spanwright/internal/project"
	"spanwright/structure"
)

// stdinName stands for stdin in arguments and, as the second, in messages.
const (
	stdinArgument = "-"
	stdinName     = "stdin"
)

// open opens a design; "-" is stdin, with part files in the current folder.
func (a *app) open(name string) (*project.Project, diag.List, error) {
	if name != stdinArgument {
		folder, base := filepath.Split(name)
		p, list := project.Open(os.DirFS(filepath.Join(folder, ".")), folder, base)
		return p, list, nil
	}
	text, err := io.ReadAll(a.in)
	if err != nil {
		return nil, nil, mistake("stdin cannot be read: %w", err)
	}
	p, list := project.Open(overlay{os.DirFS("."), text}, "", stdinName)
	return p, list, nil
}

// overlay is a file system in which the design comes from stdin.
type overlay struct {
	fs.FS
	text []byte
}

func (o overlay) Open(name string) (fs.File, error) {
	if name == stdinName {
		return stdinFile{bytes.NewReader(o.text)}, nil
	}
	return o.FS.Open(name)
}

type stdinFile struct{ *bytes.Reader }

func (stdinFile) Stat() (fs.FileInfo, error) { return nil, fs.ErrInvalid }
func (stdinFile) Close() error               { return nil }

// read reads a whole file; "-" is stdin. The name returned is the one for messages.
func (a *app) read(name string) (text []byte, shown string, err error) {
	if name == stdinArgument {
		text, err = io.ReadAll(a.in)
		return text, stdinName, inInput(err)
	}
	text, err = os.ReadFile(name)
	return text, name, inInput(err)
}

// inInput marks an error as one of the input, for the user to mend.
func inInput(err error) error {
	if err == nil {
		return nil
	}
	return inputError{err}
}

// refuse prints what is wrong with the input: for people on stderr and, where
// JSON was asked for, as the result.
func (a *app) refuse(list diag.List, source diag.Source, asJSON bool) error {
	if err := list.Print(a.err, source); err != nil {
		return err
	}
	if asJSON {
		if err := answer.Write(a.out, answer.OfRefusal(list)); err != nil {
			return err
		}
	}
	return errRefused
}

// roomForStudies is the memory for solved structures, which remedies of the same
// machine use again, bytes.
const roomForStudies = 256 << 20

// assess opens a design and judges it.
func (a *app) assess(ctx context.Context, file string, asJSON bool) (*assess.Assessment, *project.Project, error) {
	p, list, err := a.open(file)
	if err != nil {
		return nil, nil, err
	}
	if len(list) > 0 {
		return nil, nil, a.refuse(list, p.Source, asJSON)
	}
	line := a.newProgress()
	found, err := assess.Run(ctx, p.Machine, assess.Options{Progress: line.step, Studies: structure.NewCache(roomForStudies)})
	line.end()
	var refused *assess.RefusedError
	if errors.As(err, &refused) {
		return nil, nil, a.refuse(p.Named(refused.Diagnostics), p.Source, asJSON)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", p.File(), err)
	}
	return found, p, nil
}
