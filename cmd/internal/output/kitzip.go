package output

import (
	"archive/zip"
	"cmp"
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"foldwright/cmd/internal/plan"
)

// zipSuffix is how the names of zip files end.
const zipSuffix = ".zip"

// NamesZip tells whether a place is named like a zip file.
func NamesZip(place string) bool { return strings.EqualFold(filepath.Ext(place), zipSuffix) }

// zipInto makes a zip file with a folder in it, into which write puts files. All bear the
// earliest time that zip files know, so that the same input gives the same bytes.
func zipInto(w io.Writer, folder string, write func(putter) error) error {
	out := &failing{Writer: w}
	z := zip.NewWriter(out)
	err := write(func(name string, write func(io.Writer) error) (plan.Entry, error) {
		header := &zip.FileHeader{Name: path.Join(folder, name), Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)}
		w, err := z.CreateHeader(header)
		if err != nil {
			return plan.Entry{}, err
		}
		return digest(w, name, write)
	})
	if err == nil {
		err = z.Close()
	}
	return cmp.Or(out.err, err) // whatever was made of it: the output failed
}

// isKitZip tells whether a zip file is a kit and holds nothing else: what
// somebody has put into it would be lost with it.
func isKitZip(file string) bool {
	info, err := os.Stat(file)
	if err != nil || info.IsDir() {
		return false
	}
	r, err := ReadKit(file)
	if err != nil {
		return false
	}
	z, err := zip.OpenReader(file)
	if err != nil {
		return false
	}
	ours := r.Named(KitFile)
	other := slices.ContainsFunc(z.File, func(f *zip.File) bool { return !slices.Contains(ours, path.Base(f.Name)) })
	return z.Close() == nil && !other
}

// recordInZip is kit.json as it lies in a zip file.
func recordInZip(file string) (_ []byte, err error) {
	z, err := zip.OpenReader(file)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, z.Close()) }()
	i := slices.IndexFunc(z.File, func(f *zip.File) bool { return path.Base(f.Name) == KitFile })
	if i < 0 {
		return nil, &fs.PathError{Op: "read", Path: file, Err: fs.ErrNotExist}
	}
	f, err := z.File[i].Open()
	if err != nil {
		return nil, err
	}
	return io.ReadAll(io.LimitReader(f, plan.MostRecord))
}
