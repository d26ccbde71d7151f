package output

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"foldwright/cmd/internal/plan"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// zipSuffix is how the names of zip files end.
const zipSuffix = ".zip"

// NamesZip tells whether a place is named like a zip file.
func NamesZip(place string) bool { return strings.EqualFold(filepath.Ext(place), zipSuffix) }

// pack writes the kit as a zip file with a folder of the given name in it. What
// a person begins with comes first in it.
func (k *Kit) pack(ctx context.Context, w io.Writer, folder string, progress Progress) error {
	out := &failing{Writer: w}
	p := packing{zip.NewWriter(out), folder, nil}
	err := k.packInto(ctx, &p, progress)
	if out.err != nil {
		return out.err // whatever was made of it: the output failed
	}
	return err
}

func (k *Kit) packInto(ctx context.Context, p *packing, progress Progress) error {
	for _, f := range k.files() {
		if err := p.put(f.name, func(w io.Writer) error { return f.write(ctx, w) }); err != nil {
			return err
		}
		progress.Step(f.sides)
	}
	if err := k.unchanged(); err != nil {
		return err
	}
	data, err := k.record(p.entries)
	if err != nil {
		return err
	}
	if err := p.put(KitFile, func(w io.Writer) error { _, err := w.Write(data); return err }); err != nil {
		return err
	}
	return p.zip.Close()
}

// packing is a zip file on its way out.
type packing struct {
	zip     *zip.Writer
	folder  string
	entries []plan.Entry
}

// put adds a file. All bear the earliest time that zip files know, so that the
// same input gives the same bytes.
func (p *packing) put(name string, write func(io.Writer) error) error {
	w, err := p.zip.CreateHeader(&zip.FileHeader{
		Name: path.Join(p.folder, name), Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC),
	})
	if err != nil {
		return err
	}
	digest, size := sha256.New(), new(counter)
	if err := write(io.MultiWriter(w, digest, size)); err != nil {
		return err
	}
	p.entries = append(p.entries, plan.Entry{Name: name, SHA256: hex.EncodeToString(digest.Sum(nil)), Bytes: int64(*size)})
	return nil
}

// counter counts the bytes that are written to it.
type counter int64

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
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
	ours := plan.Named(r.Files, KitFile)
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
	const most = 1 << 26
	return io.ReadAll(io.LimitReader(f, most))
}
