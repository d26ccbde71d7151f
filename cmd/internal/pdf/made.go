package pdf

import (
	"bytes"
	"context"

	"foldwright/reorder/geom"
)

// Make opens a file of drawings that is kept in memory: pages of a book that no file holds, each of
// the size of its own. Its name stands in errors.
func Make(ctx context.Context, name string, pages []MadePage) (d *Document, err error) {
	defer nameFile(&err, name)
	f := PrintFile{}
	for _, p := range pages {
		f.Sides = append(f.Sides, Side{Drawing: p.Drawing, paper: p.Size})
		f.Paper = p.Size
	}
	var data bytes.Buffer
	if err := write(ctx, &data, nil, f); err != nil {
		return nil, err
	}
	d = &Document{path: name, made: data.Bytes()}
	d.digest = func() (string, error) { return digest(bytes.NewReader(d.made), int64(len(d.made))) }
	return d, d.load(ctx, bytes.NewReader(d.made), int64(len(d.made)), "", pageTree)
}

// MadePage is a page that is made, and not read from a file.
type MadePage struct {
	Size    geom.Size // mm
	Drawing Drawing
}
