package survey

import (
	"cmp"
	"context"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"unicode"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// findBeginnings finds the first wanted page of each file but the first that has any.
func (v *Survey) findBeginnings() {
	var last *pdf.Document
	for i, page := range v.Chosen {
		part := v.partOf(page)
		if i > 0 && part != last {
			v.Begins = append(v.Begins, page)
		}
		last = part
	}
}

// partOf is the document that a page of the book comes from.
func (v *Survey) partOf(page int) *pdf.Document {
	d, _ := v.At(v.SourcePage(page))
	return d
}

// sayTwice says which files stand in the book more than once, or under two names.
func (v *Survey) sayTwice() {
	for i, p := range v.Parts {
		k := slices.IndexFunc(v.Parts[:i], func(q Part) bool { return q.SHA256() != "" && q.SHA256() == p.SHA256() })
		if k < 0 {
			continue
		}
		if first := v.Parts[k]; first.Path() != p.Path() {
			v.say("%s and %s are the same file, which stands in the book twice", first.Path(), p.Path())
			continue
		}
		v.say("%s was named twice, and stands in the book twice", p.Path())
	}
}

// Paths are the files of the source, in reading order.
func (s *Source) Paths() []string { return lists.Map(s.Parts, Part.Path) }

// PartSpans is the files of the source, in reading order, with the pages that each has.
func (v *Survey) PartSpans() (spans []PartSpan) {
	first := 1
	for _, p := range v.Given().Parts {
		spans = append(spans, PartSpan{filepath.Base(p.Path()), first, first + len(p.Pages()) - 1})
		first += len(p.Pages())
	}
	return spans
}

// PartSpan is the pages of a file as the book's source counts them.
type PartSpan struct {
	File        string
	First, Last int
}

// IsHalfTitle tells whether a page of the source is a half-title, which stands in no file.
func (v *Survey) IsHalfTitle(source int) bool {
	return source > len(v.Given().Pages()) && !v.IsBlankBook() && !v.IsRuled(source)
}

// Half-titles are set in the middle of the page's width, a third of its height below the head (common practice,
// no source).
const (
	halfTitleHead  = 1.0 / 3
	halfTitleSize  = 1.0 / 22 // of the page's width
	halfTitleWidth = 0.7      // of the page's width that lines may take
	halfTitleLine  = 1.35     // from line to line, of the type's size
)

// addHalfTitles puts a page before each file of which pages are wanted: it bears the file's title, or its name.
func (v *Survey) addHalfTitles(ctx context.Context) error {
	var pages []pdf.MadePage
	var chosen, begins []int
	var last *pdf.Document
	shown := slices.Clone(v.shown)
	next := len(v.Pages()) + 1 // page of the source
	for _, page := range v.Chosen {
		if part := v.partOf(page); part != last {
			last = part
			box := v.shown[page-1].Box.Size()
			made := pdf.MadePage{Size: box, Drawing: v.halfTitle(part, box)}
			pages = append(pages, made)
			shown = append(shown, Shown{Page: next, Box: box.Rect(), Seen: box.Rect()})
			chosen = append(chosen, len(shown))
			begins = append(begins, len(shown), page)
			next++
		}
		chosen = append(chosen, page)
	}
	if err := v.extend(ctx, "half-titles", pages); err != nil {
		return err
	}
	v.shown, v.Chosen, v.Begins = shown, chosen, begins
	return nil
}

// extend makes pages, and counts them on after those of the source.
func (v *Survey) extend(ctx context.Context, name string, pages []pdf.MadePage) error {
	made, err := pdf.Make(ctx, name, pages)
	if err != nil {
		return err
	}
	s := v.Source
	whole := *s
	whole.without = s.Given()
	whole.Sequence = pdf.NewSequence(append(slices.Clone(s.Documents()), made)...)
	s.mutex.Lock()
	whole.mutex, whole.small = &sync.Mutex{}, maps.Clone(s.small)
	s.mutex.Unlock()
	v.Source = &whole
	return nil
}

// halfTitle draws a document's title onto a page.
func (v *Survey) halfTitle(d *pdf.Document, page geom.Size) (out pdf.Drawing) {
	title := halfTitleOf(d)
	if !pdf.CanWrite(title) {
		v.say("%s: its half-title %q has letters that can't be printed there and are shown as question marks", d.Path(), title)
	}
	t := pdf.Text{Text: title, Font: pdf.Helvetica, Size: page.W * halfTitleSize, Anchor: pdf.AnchorCentre}
	y := page.H * (1 - halfTitleHead)
	for _, line := range t.Lines(page.W * halfTitleWidth) {
		t.Text = line
		out.WriteText(geom.Point{X: page.W / 2, Y: y}, t)
		y -= t.Size * halfTitleLine
	}
	return out
}

// halfTitleOf is what a document is called on its half-title: its title on one line, else the name of its file.
func halfTitleOf(d *pdf.Document) string {
	const longest = 200 // letters, more than a half-title has
	title := strings.Join(strings.FieldsFunc(d.Title(), func(r rune) bool { return unicode.IsSpace(r) || unicode.IsControl(r) }), " ")
	if letters := []rune(title); len(letters) > longest {
		title = string(letters[:longest])
	}
	name := filepath.Base(d.Path())
	return cmp.Or(title, strings.TrimSuffix(name, filepath.Ext(name)))
}
