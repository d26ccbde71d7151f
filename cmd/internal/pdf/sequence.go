package pdf

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"path/filepath"
	"slices"
	"strings"
)

// Sequence is documents that are read as one: the pages of each follow those of the one before it and
// are counted on. It may be empty. Errors name the document, and the page as that document counts.
type Sequence struct {
	docs  []*Document
	pages []Page
}

// NewSequence reads documents one after the other. A document may stand in it more than once.
func NewSequence(docs ...*Document) *Sequence {
	s := &Sequence{docs: docs}
	for _, d := range docs {
		for _, p := range d.pages {
			p.Number = len(s.pages) + 1
			s.pages = append(s.pages, p)
		}
	}
	return s
}

// Documents are the documents in reading order.
func (s *Sequence) Documents() []*Document { return s.docs }

// Pages are the pages of all documents in reading order. The slice belongs to the sequence.
func (s *Sequence) Pages() []Page { return s.pages }

// At is the document that holds a page of the sequence, and that page's number in it.
func (s *Sequence) At(page int) (d *Document, number int) {
	for _, d := range s.docs {
		if page <= len(d.pages) {
			return d, page
		}
		page -= len(d.pages)
	}
	return nil, page
}

// Path is the first document's file, empty if there is none.
func (s *Sequence) Path() string {
	if len(s.docs) == 0 {
		return ""
	}
	return s.docs[0].path
}

// Bytes is the length of all files together.
func (s *Sequence) Bytes() (n int64) {
	for _, d := range s.docs {
		n += d.Bytes()
	}
	return n
}

// SHA256 is [SumOf] the documents' digests.
func (s *Sequence) SHA256() string {
	var sums []string
	for _, d := range s.docs {
		sums = append(sums, d.SHA256())
	}
	return SumOf(sums)
}

// SumOf is the digest of several files by theirs, in lower case hexadecimal digits: of one file its own, of several that
// of their digests, each on a line. It is empty if there is no file, or if the digest of one is not known.
func SumOf(sums []string) string {
	switch {
	case len(sums) == 0 || slices.Contains(sums, ""):
		return ""
	case len(sums) == 1:
		return sums[0]
	}
	sum := sha256.Sum256([]byte(strings.Join(sums, "\n") + "\n"))
	return hex.EncodeToString(sum[:])
}

// first is the first error of the documents.
func (s *Sequence) first(of func(*Document) error) error {
	for _, d := range s.docs {
		if err := of(d); err != nil {
			return err
		}
	}
	return nil
}

// Err is [Document.Err] of the first document that was given up on.
func (s *Sequence) Err() error { return s.first((*Document).Err) }

// CheckUnchanged is [Document.CheckUnchanged] of all documents.
func (s *Sequence) CheckUnchanged() error { return s.first((*Document).CheckUnchanged) }

// Close releases the files.
func (s *Sequence) Close() error {
	var errs []error
	for i, d := range s.docs {
		if !slices.Contains(s.docs[:i], d) {
			errs = append(errs, d.Close())
		}
	}
	return errors.Join(errs...)
}

// Warnings are those of the documents; of several each names its file.
func (s *Sequence) Warnings() (out []string) {
	for _, d := range s.docs {
		for _, text := range d.Warnings() {
			if len(s.docs) > 1 {
				text = filepath.Base(d.path) + ": " + text
			}
			out = append(out, text)
		}
	}
	return out
}

// Write is [Document.Write] with pages of all documents.
func (s *Sequence) Write(ctx context.Context, w io.Writer, f PrintFile) (err error) {
	if len(s.docs) == 1 {
		return s.docs[0].Write(ctx, w, f)
	}
	sides := slices.Clone(f.Sides)
	for i, side := range sides {
		sides[i].Pages = slices.Clone(side.Pages)
		for k, p := range sides[i].Pages {
			if p.From == nil {
				sides[i].Pages[k].From, sides[i].Pages[k].Page = s.At(p.Page)
			}
		}
	}
	f.Sides = sides
	return Write(ctx, w, f)
}

// DrawsAnnotations is [Document.DrawsAnnotations] of any document.
func (s *Sequence) DrawsAnnotations(ctx context.Context) (bool, error) {
	for _, d := range s.docs {
		if drawn, err := d.DrawsAnnotations(ctx); drawn || err != nil {
			return drawn, err
		}
	}
	return false, nil
}

// each hands out the documents, with the number of pages before each.
func (s *Sequence) each(see func(d *Document, before int)) {
	before := 0
	for _, d := range s.docs {
		see(d, before)
		before += len(d.pages)
	}
}

// OutlinePages are those of the documents: their outlines are read one after the other.
func (s *Sequence) OutlinePages() (out []int) {
	s.each(func(d *Document, before int) { out = append(out, countOn(d.OutlinePages(), before)...) })
	return out
}

func countOn(pages []int, before int) []int {
	out := make([]int, len(pages))
	for i, p := range pages {
		out[i] = p + before
	}
	return out
}

// Labels are those of the documents, nil if none has any. The pages of one that has none have empty labels.
func (s *Sequence) Labels() []Label {
	out, found := make([]Label, len(s.pages)), false
	s.each(func(d *Document, before int) { found = copy(out[before:], d.Labels()) > 0 || found })
	if !found {
		return nil
	}
	return out
}

// RightToLeft tells whether a document says that it reads from right to left.
func (s *Sequence) RightToLeft() bool { return slices.ContainsFunc(s.docs, (*Document).RightToLeft) }

// Encrypted tells whether a document is encrypted.
func (s *Sequence) Encrypted() bool { return slices.ContainsFunc(s.docs, (*Document).Encrypted) }

// Layers are those of the documents, one after the other, as each lists them.
func (s *Sequence) Layers() []LayerFact {
	out := []LayerFact{}
	for _, d := range s.docs {
		out = append(out, d.layers()...)
	}
	return out
}

// Content is [Document.Content] of a page of the sequence.
func (s *Sequence) Content(page int) (PageContent, error) {
	d, number := s.At(page)
	return d.Content(number)
}
