package pdf

import (
	"context"
	"fmt"
	"io"

	"foldwright/cmd/internal/pdf/cos"
)

// Copy writes one file with all pages of the documents as this package reads them, for readers that refuse a
// source or draw its annotations otherwise: damage is repaired, encryption removed, every page is where it was
// with its size and its content as it stands, and what is printed of a form field, or drawn here because
// the file has no picture of it, is a picture in the copy. Errors name the document.
func (s *Sequence) Copy(ctx context.Context, to io.Writer) error {
	w := cos.NewWriter(to)
	catalog, pages := w.Reserve(), w.Reserve()
	var kids cos.Array
	var from []*copier
	for _, d := range s.docs {
		c := newCopier(ctx, d, w)
		from = append(from, c)
		if err := c.copyPages(&kids, pages); err != nil {
			return err
		}
	}
	w.Put(pages, cos.NewDict("Type", "Pages", "Kids", kids, "Count", cos.Int(len(kids))), own)
	root := cos.NewDict("Type", "Catalog", "Pages", here(pages))
	if l := layers(from); l != nil {
		root.Set("OCProperties", l)
	}
	w.Put(catalog, root, own)
	return w.Close(cos.NewDict("Root", here(catalog)), own)
}

// copyPages copies all pages and appends them to the kids of the node that holds them.
func (c *copier) copyPages(kids *cos.Array, parent int) (err error) {
	defer nameFile(&err, c.doc.path)
	for _, n := range c.doc.tree {
		page, err := c.copyPage(n, parent)
		if err != nil {
			return err
		}
		*kids = append(*kids, here(page))
	}
	return nil
}

// DrawsAnnotations tells whether some of what is printed beside the pages' contents
// is drawn here, or left out here, so that other readers draw the source otherwise and [Sequence.Copy] alike.
func (d *Document) DrawsAnnotations(ctx context.Context) (drawn bool, err error) {
	defer nameFile(&err, d.path)
	c := newCopier(ctx, d, cos.NewWriter(io.Discard))
	for _, n := range d.tree {
		if err := ctx.Err(); err != nil {
			return false, err
		}
		for _, o := range c.src.Array(n.dict.Get("Annots")) {
			if !c.asOthersDo(o) {
				return true, nil
			}
		}
	}
	return false, nil
}

// copyPage copies a page with what it inherits. One that can't be read keeps its place.
func (c *copier) copyPage(n node, parent int) (int, error) {
	fr, err := n.frame(c.src)
	if err != nil {
		fr, n.dict = frame{media: letter, visible: letter}, &cos.Dict{}
	}
	page := cos.NewDict("Type", "Page", "Parent", here(parent),
		"MediaBox", corners(fr.media), "CropBox", corners(fr.visible), "Rotate", cos.Int(90*fr.quarters))
	for _, key := range []cos.Name{"Contents", "Group", "UserUnit", "TrimBox", "BleedBox", "ArtBox"} {
		if v := n.dict.Get(key); v != nil {
			page.Set(key, v)
		}
	}
	if n.resources != nil {
		page.Set("Resources", n.resources)
	}
	if shown := c.wholeAnnotations(n, fr); len(shown) > 0 {
		page.Set("Annots", shown)
	}
	defer clear(c.lent)
	num := c.w.Reserve()
	c.w.Put(num, page, c.number)
	return num, c.finish()
}

// screenOnly are keys of an annotation that lead away from its looks.
var screenOnly = []cos.Name{"P", "Parent", "Popup", "A", "AA", "Dest", "IRT", "StructParent"}

// wholeAnnotations are a page's annotations: those that every reader draws alike as they are, of
// the others a picture of what is printed.
func (c *copier) wholeAnnotations(n node, fr frame) (shown cos.Array) {
	resources := c.src.Dict(n.resources)
	var fields cos.Array
	for _, o := range c.src.Array(n.dict.Get("Annots")) {
		if c.asOthersDo(o) {
			if d := c.src.Dict(o); d != nil {
				shown = append(shown, d.Without(screenOnly...))
			}
			continue
		}
		a, m, ok := c.annotation(o, fr, resources)
		switch {
		case !ok:
		case a.subtype == "Widget":
			fields = append(fields, c.pictureOf(m, fr))
		default:
			shown = append(shown, c.pictureOf(m, fr))
		}
	}
	return append(shown, fields...)
}

// asOthersDo tells whether the annotation is one that readers draw, or leave
// out, as it is done here: because it isn't printed, or its appearance is beyond doubt.
func (c *copier) asOthersDo(o cos.Object) bool {
	d := c.src.Dict(o)
	if d == nil {
		return true
	}
	s, _ := c.normalAppearance(d)
	subtype := c.src.Name(d.Get("Subtype"))
	if !c.annotationPrints(o) {
		return s == nil || subtype != "Link"
	}
	if s == nil || subtype == "Widget" {
		return false
	}
	_, bounded := readBox(c.src, s.Dict.Get("BBox"))
	_, hasState := c.src.Resolve(d.Get("AS")).(cos.Name)
	return bounded && (hasState || c.src.Stream(c.src.Dict(d.Get("AP")).Get("N")) != nil)
}

// pictureOf is an annotation that shows a mark, which is in the page's own space.
func (c *copier) pictureOf(m mark, fr frame) cos.Object {
	resources := cos.NewDict("XObject", cos.NewDict("M", here(m.object)))
	num, err := c.form(fr.media, resources, fmt.Append(appendMatrix(nil, m.matrix), " cm /M Do"))
	if err != nil {
		return nil // and the writer holds the error
	}
	return cos.NewDict("Type", "Annot", "Subtype", "Stamp", "F", cos.Int(flagPrint), "Rect", corners(fr.media), "AP", cos.NewDict("N", here(num)))
}
