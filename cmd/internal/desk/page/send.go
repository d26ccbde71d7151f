package page

import (
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"os"

	"foldwright/reorder/refusal"
)

// Send sends a file of a folder, to be saved.
func Send(w http.ResponseWriter, r *http.Request, dir, name string) (err error) {
	root, err := os.OpenRoot(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return notThere(name)
	}
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, root.Close()) }()
	f, err := root.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return notThere(name)
	}
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", `attachment; filename*=UTF-8''`+url.PathEscape(name))
	http.ServeContent(w, r, name, info.ModTime(), f)
	return nil
}

func notThere(name string) error {
	return refusal.Source.New("%s is not there", name).Advise("prepare it again")
}
