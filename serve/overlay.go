package serve

import (
	"errors"
	"io/fs"
	"strings"
	"time"
)

// overlay is a folder in which one file has another text.
type overlay struct {
	fs.FS
	name, text string
}

// errNotPlain stands for what is no file that can be read to its end.
var errNotPlain = errors.New("it is no ordinary file")

// Open opens a file, and nothing that could make the reader wait.
func (o overlay) Open(name string) (fs.File, error) {
	if name == o.name {
		return &textFile{strings.NewReader(o.text), o}, nil
	}
	info, err := fs.Stat(o.FS, name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() && !info.IsDir() {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errNotPlain}
	}
	return o.FS.Open(name)
}

// textFile is a text as a file.
type textFile struct {
	*strings.Reader
	of overlay
}

func (f *textFile) Stat() (fs.FileInfo, error) { return textInfo{f.of}, nil }
func (f *textFile) Close() error               { return nil }

type textInfo struct{ of overlay }

func (i textInfo) Name() string       { return i.of.name[strings.LastIndex(i.of.name, "/")+1:] }
func (i textInfo) Size() int64        { return int64(len(i.of.text)) }
func (i textInfo) Mode() fs.FileMode  { return 0o444 }
func (i textInfo) ModTime() time.Time { return time.Time{} }
func (i textInfo) IsDir() bool        { return false }
func (i textInfo) Sys() any           { return nil }
