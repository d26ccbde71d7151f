package pdf

import (
	"context"
	"slices"

	"foldwright/cmd/internal/pdf/cos"
)

const (
	maxPages = 1 << 20
	maxLevel = 200 // levels of the page tree
)

// node is a page as it stands in the page tree, with what it inherits.
type node struct {
	dict                              *cos.Dict // nil: the object is missing
	num                               int       // of its object; 0: it stands in the tree itself
	resources, media, crop, rotateObj cos.Object
}

// inherit takes what a node of the page tree says for all that is below it.
func (n node) inherit(f *cos.File, d *cos.Dict) node {
	n.dict = d
	for key, to := range map[cos.Name]*cos.Object{
		"Resources": &n.resources, "MediaBox": &n.media, "CropBox": &n.crop, "Rotate": &n.rotateObj,
	} {
		if v := d.Get(key); v != nil && f.Resolve(v) != nil {
			*to = v
		}
	}
	return n
}

// pageTree walks the tree once. A kid that can't be read keeps its place.
func pageTree(ctx context.Context, f *cos.File) ([]node, error) {
	root, _ := f.Resolve(f.Trailer.Get("Root")).(*cos.Dict)
	top, ok := f.Resolve(root.Get("Pages")).(*cos.Dict)
	if !ok {
		return nil, ErrDamaged
	}
	w := walker{ctx: ctx, f: f, above: map[int]bool{}}
	if ref, ok := root.Get("Pages").(cos.Ref); ok {
		w.above[ref.Num] = true
	}
	if err := w.walk(node{}.inherit(f, top), 0); err != nil {
		return nil, err
	}
	if !slices.ContainsFunc(w.pages, func(n node) bool { return n.dict != nil }) {
		return nil, ErrNoPages
	}
	return w.pages, nil
}

// strayPages are the pages of a file whose tree leads to none, in the order of their
// numbers, which is the order in which most programs write them.
func strayPages(ctx context.Context, f *cos.File) ([]node, error) {
	var pages []node
	for num := range f.Objects() {
		if num&1023 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		d, ok := f.Get(num).(*cos.Dict)
		if !ok || f.Resolve(d.Get("Type")) != cos.Name("Page") {
			continue
		}
		above := []*cos.Dict{d}
		for range maxLevel {
			parent, ok := f.Resolve(above[len(above)-1].Get("Parent")).(*cos.Dict)
			if !ok {
				break
			}
			above = append(above, parent)
		}
		n := node{num: num}
		for _, d := range slices.Backward(above) {
			n = n.inherit(f, d)
		}
		pages = append(pages, n)
	}
	if len(pages) == 0 {
		return nil, ErrNoPages
	}
	f.Warn("the tree of pages is damaged: all pages of the file were taken, in the order of their numbers")
	return pages, nil
}

type walker struct {
	ctx   context.Context
	f     *cos.File
	above map[int]bool // nodes between the root and here: one of them below itself is a loop
	pages []node
	nodes int
}

func (w *walker) walk(n node, level int) error {
	kids, ok := w.f.Resolve(n.dict.Get("Kids")).(cos.Array)
	if !ok {
		// What has no kids is a page, as for viewers, whatever it calls itself.
		if n.dict.Get("Type") != cos.Name("Pages") || level > 0 && n.dict.Get("Kids") == nil {
			w.pages = append(w.pages, n)
		}
		return nil
	}
	for _, kid := range kids {
		w.nodes++
		if w.nodes&1023 == 0 && w.ctx.Err() != nil {
			return w.ctx.Err()
		}
		if len(w.pages) >= maxPages || w.nodes >= 2*maxPages || level > maxLevel {
			return ErrTooLarge
		}
		d, _ := w.f.Resolve(kid).(*cos.Dict)
		if d == nil {
			w.pages = append(w.pages, node{})
			continue
		}
		child := n.inherit(w.f, d)
		ref, isRef := kid.(cos.Ref)
		child.num = ref.Num
		if isRef && w.above[ref.Num] {
			w.f.Warn("the page tree contains itself; the repeated branch was left out")
			continue
		}
		if isRef {
			w.above[ref.Num] = true
		}
		err := w.walk(child, level+1)
		if isRef {
			delete(w.above, ref.Num)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
