package job

import (
	"archive/zip"
	"context"
	"errors"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"foldwright/cmd/internal/publish"
)

// publishZip builds a folder beside the place, packs it, and renames the
// packed file into its place.
func publishZip(ctx context.Context, place string, o publish.Options, build func(context.Context, string) error) (err error) {
	if err := publish.Check(place, o); err != nil {
		return err
	}
	work, err := os.MkdirTemp(filepath.Dir(place), ".kit-*.part")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(work)) }()
	inner := filepath.Join(work, "kit")
	if err := os.Mkdir(inner, 0o777); err != nil {
		return err
	}
	if err := build(ctx, inner); err != nil {
		return err
	}
	packed := filepath.Join(work, "kit.zip")
	name := strings.TrimSuffix(filepath.Base(place), filepath.Ext(place))
	if err := pack(inner, name, packed); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return os.Rename(packed, place)
}

// pack writes the files of a folder into a zip file, within a folder of the
// given name. All bear the earliest time that zip files know, so that the same
// files give the same bytes.
func pack(dir, name, file string) (err error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	out, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	z := zip.NewWriter(out)
	for _, e := range entries {
		w, err := z.CreateHeader(&zip.FileHeader{Name: path.Join(name, e.Name()), Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			return err
		}
		if err := copyInto(w, filepath.Join(dir, e.Name())); err != nil {
			return err
		}
	}
	return z.Close()
}

func copyInto(w io.Writer, file string) (err error) {
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	_, err = io.Copy(w, f)
	return err
}
