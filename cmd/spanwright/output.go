package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"spanwright/internal/atomicfile"
)

// write writes a result to a file, or to stdout if it is "-". A file that
// exists is kept unless force says otherwise.
func (a *app) write(path string, force bool, write func(io.Writer) error) error {
	if path == stdinArgument {
		return write(a.out)
	}
	mode := atomicfile.New
	if force {
		mode = atomicfile.Replace
	}
	err := atomicfile.Write(path, mode, write)
	switch {
	case errors.Is(err, atomicfile.ErrExists):
		return mistake("%s exists already and was not written by this run; --force replaces it", path)
	case err != nil:
		return inputError{fmt.Errorf("%s was not written: %w", path, err)}
	}
	return nil
}

// sameFile tells whether both names lead to one file that exists.
func sameFile(a, b string) bool {
	first, err := os.Stat(a)
	if err != nil {
		return false
	}
	second, err := os.Stat(b)
	return err == nil && os.SameFile(first, second)
}
