package pdf

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"sync"
	"time"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/profiles/regular"
	"foldwright/reorder/geom"
)

// Options is how a file is opened; the zero value opens a file without a password.
type Options struct {
	// Password is tried as the owner's password and as the user's. An empty
	// one opens what was encrypted with an empty user password.
	Password string
	// Rescue saves a copy of a file that this package can't read, by the
	// means of another reader, and returns the copy's bytes. It is asked
	// once, after everything else has failed. Nil: no rescue.
	Rescue func(ctx context.Context, path, password string) ([]byte, error)
	// Sum begins to work out SHA256 at once, beside reading: every print
	// file needs it in the end, and a scan takes as long to sum up as to copy.
	Sum bool
}

// Page is one page of the source, as it is seen.
type Page struct {
	Number int // from 1
	// Size in mm of the visible box as it is shown upright: the CropBox cut
	// to the MediaBox, then Rotate, then UserUnit.
	Size geom.Size
	// Media, Trim, Bleed and Art are the other boxes, upright as well, in mm from the
	// lower left corner of the visible box. Each is cut to the MediaBox, and
	// equals the visible box where the page doesn't have it; Media can reach beyond it.
	Media, Trim, Bleed, Art geom.Rect
	// Problem says why the page can't be placed; it is nil for a sound page.
	// Such a page keeps its number, and writing it gives the same *Error.
	Problem error
}

// Visible is the visible box in its own frame: the origin is its lower left corner.
func (p Page) Visible() geom.Rect { return p.Size.Rect() }

// Document is an open source file. Its methods may be called from several
// goroutines at once.
type Document struct {
	path   string
	source *os.File // nil: it was made, see [Make]
	size   int64
	info   fs.FileInfo // of the source, when it was opened
	recent bool        // and it had been changed less than clockStep before
	digest func() (string, error)
	file   *cos.File
	tree   []node
	pages  []Page
}

// Open reads the structure of a PDF file: what a page needs is read when the
// page is written. Its errors match one of the sentinels of this package and
// are of type *Error; for a cancelled context they match the context's error. The context
// is that of all reading, up to Close: see Document.Err.
func Open(ctx context.Context, path string, o Options) (d *Document, err error) {
	defer nameFile(&err, path)
	f, err := regular.Open(path)
	if err != nil {
		return nil, noFile(err)
	}
	defer func() {
		if err != nil {
			f.Close()
		}
	}()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, err
	case info.Size() == 0:
		return nil, ErrEmpty
	}
	d = &Document{path: path, source: f, size: info.Size(), info: info, recent: time.Since(info.ModTime()) < clockStep}
	d.digest = sync.OnceValues(func() (string, error) { return digest(f, info.Size()) })
	if d.recent {
		if _, err := d.digest(); err != nil {
			return nil, err
		}
	}
	if o.Sum {
		go d.digest()
	}
	err = d.load(ctx, f, info.Size(), o.Password, pageTree)
	if err != nil && o.Rescue != nil && mayRescue(err) {
		err = d.rescue(ctx, o, err)
	}
	if errors.Is(err, ErrNoPages) && d.load(ctx, f, info.Size(), o.Password, strayPages) == nil {
		err = nil
	}
	if err != nil {
		return nil, err
	}
	return d, nil
}

// Stat is what the system says of a source. It refuses, with an [*Error], what [Open] would
// refuse before it is opened.
func Stat(path string) (fs.FileInfo, error) {
	info, err := os.Stat(path)
	if err == nil {
		err = noFile(regular.Check(path))
	}
	if err != nil {
		return nil, &Error{File: path, Err: err}
	}
	return info, nil
}

// noFile takes the path from an error about what is no file; [*Error] has it.
func noFile(err error) error {
	kind, ok := errors.AsType[*regular.KindError](err)
	switch {
	case !ok:
		return err
	case kind.Mode.IsDir():
		return ErrFolder
	}
	return kind
}

func digest(r io.ReaderAt, size int64) (string, error) {
	h := sha256.New()
	err := cos.Copy(h, r, 0, size)
	return hex.EncodeToString(h.Sum(nil)), err
}

// mayRescue tells whether another reader may do better.
func mayRescue(err error) bool {
	of := func(kind error) bool { return errors.Is(err, kind) }
	return slices.ContainsFunc([]error{ErrNotPDF, ErrTruncated, ErrDamaged, ErrNoPages, ErrEncryption}, of)
}

func (d *Document) rescue(ctx context.Context, o Options, cause error) error {
	copied, err := o.Rescue(ctx, d.path, o.Password)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return cause
	}
	if err := d.load(ctx, bytes.NewReader(copied), int64(len(copied)), "", pageTree); err != nil {
		return cause
	}
	d.file.Warn(fmt.Sprintf("the file %v; a copy repaired by a second PDF reader was used", cause))
	return nil
}

// load finds the objects and, in the given way, the pages.
func (d *Document) load(ctx context.Context, r io.ReaderAt, size int64, password string, find func(*cos.File) ([]node, error)) error {
	f, err := cos.Open(ctx, r, size)
	if err != nil {
		return err
	}
	switch err := f.Unlock(password); {
	case errors.Is(err, cos.ErrPassword) && password != "":
		return ErrWrongPassword
	case errors.Is(err, cos.ErrPassword):
		return ErrPassword
	case err != nil:
		return err
	case !f.MayPrint():
		return ErrNoPrinting
	}
	d.file = f
	d.tree, err = find(f)
	if err != nil && f.Err() == nil && !errors.Is(err, ErrTooManyPages) {
		if again := f.Rebuild(); again != nil && f.Err() == nil {
			return err
		}
		d.tree, err = find(f)
	}
	if gaveUp := d.Err(); gaveUp != nil {
		return gaveUp
	}
	if err != nil {
		return err
	}
	d.pages = make([]Page, len(d.tree))
	for i := range d.tree {
		d.pages[i] = d.tree[i].describe(f, i+1)
		if e := d.pages[i].Problem; e != nil {
			d.pages[i].Problem = &Error{File: d.path, Page: i + 1, Err: e}
		}
	}
	return d.Err()
}

// Err tells whether the file was given up on: ErrTooMuch, or the error of the context that it was opened
// with. What was read since is not to be believed then.
func (d *Document) Err() (err error) {
	defer nameFile(&err, d.path)
	return d.file.Err()
}

// Pages are the source's pages in reading order. The slice belongs to the document.
func (d *Document) Pages() []Page { return d.pages }

// Path is the source file, as it was given.
func (d *Document) Path() string { return d.path }

// Bytes is the length of the source file.
func (d *Document) Bytes() int64 { return d.size }

// SHA256 is the digest of the source file, in lower case hexadecimal digits;
// it is worked out when first asked for, and empty if the file can't be read any more.
func (d *Document) SHA256() string {
	sum, err := d.digest()
	if err != nil {
		return ""
	}
	return sum
}

// clockStep is longer than the step of any file system's clock (FAT: 2 s).
const clockStep = 3 * time.Second

// CheckUnchanged checks, after everything has been read, that it came from one
// and the same file. Size and time of change tell it, unless the file had been changed just before it was
// opened: a second change within one step of the file system's clock does not show,
// and the bytes have to be compared. It is nil, or an [*Error] that matches [ErrChanged]. A file that
// another one has been renamed over is still read as it was.
func (d *Document) CheckUnchanged() (err error) {
	defer nameFile(&err, d.path)
	if d.source == nil {
		return nil
	}
	now, err := d.source.Stat()
	if err != nil {
		return err
	}
	if now.Size() != d.size || !now.ModTime().Equal(d.info.ModTime()) {
		return ErrChanged
	}
	if !d.recent {
		return nil
	}
	before, err := d.digest()
	if err != nil {
		return err
	}
	after, err := digest(d.source, now.Size())
	if err == nil && after != before {
		err = ErrChanged
	}
	return err
}

// Warnings are sentences about what had to be repaired or left out so far; writing can add some.
func (d *Document) Warnings() []string { return d.file.Warnings() }

// Close releases the file.
func (d *Document) Close() error {
	if d.source == nil {
		return nil
	}
	return d.source.Close()
}

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
	made := bytes.NewReader(data.Bytes())
	d = &Document{path: name, size: made.Size()}
	d.digest = func() (string, error) { return digest(made, d.size) }
	return d, d.load(ctx, made, d.size, "", pageTree)
}

// MadePage is a page that is made, and not read from a file.
type MadePage struct {
	Size    geom.Size // mm
	Drawing Drawing
}
