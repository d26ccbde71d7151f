package pdf

import (
	"context"

	"foldwright/reorder"
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
}

// Page is one page of the source, as it is seen.
type Page struct {
	Number int // from 1
	// Size in mm of the visible box as it is shown upright: the CropBox cut
	// to the MediaBox, then Rotate, then UserUnit.
	Size reorder.Size
	// Media, Trim, Bleed and Art are the other boxes, upright as well, in mm from the
	// lower left corner of the visible box. Each is cut to the MediaBox, and
	// equals the visible box where the page doesn't have it; Media can reach beyond it.
	Media, Trim, Bleed, Art reorder.Rect
}

// Visible is the visible box in its own frame: the origin is its lower left corner.
func (p Page) Visible() reorder.Rect { return p.Size.Rect() }

// Document is an open source file. Its methods may be called from several
// goroutines at once.
type Document struct {
	path     string
	bytes    int64
	sha256   string
	pages    []Page
	warnings []string
}

// Open reads the structure of a PDF file: what a page needs is read when a
// page is written. Its errors match one of the sentinels of this package and
// are of type *Error; for a cancelled context they match the context's error.
func Open(ctx context.Context, path string, o Options) (*Document, error) {
	return nil, &Error{File: path, Err: ErrNotPDF}
}

// Pages are the source's pages in reading order.
func (d *Document) Pages() []Page { return d.pages }

// Bytes is the length of the source file.
func (d *Document) Bytes() int64 { return d.bytes }

// SHA256 is the digest of the source file, in lower case hexadecimal digits.
func (d *Document) SHA256() string { return d.sha256 }

// Warnings are sentences about what had to be repaired or left out so far; writing can add some.
func (d *Document) Warnings() []string { return d.warnings }

// Close releases the file.
func (d *Document) Close() error { return nil }
