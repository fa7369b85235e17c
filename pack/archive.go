package pack

import (
	"archive/zip"
	"context"
	"io"
	"path"
	"time"
)

// noTime is the earliest that the format knows: the entries' time says nothing.
var noTime = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// Archive writes the files and a manifest as one ZIP archive, below a folder of
// the given name. The same pack gives the same bytes.
// progress is called before each file is drawn; it may be nil.
func Archive(ctx context.Context, w io.Writer, folder string, s Source, files []File, progress func(name string, done, total int)) (*Manifest, error) {
	m, all, err := render(ctx, s, files, progress)
	if err != nil {
		return nil, err
	}
	z := zip.NewWriter(w)
	for _, f := range all {
		entry, err := z.CreateHeader(&zip.FileHeader{Name: path.Join(folder, f.name), Method: zip.Deflate, Modified: noTime})
		if err != nil {
			return nil, err
		}
		if _, err := entry.Write(f.text); err != nil {
			return nil, err
		}
	}
	return m, z.Close()
}
