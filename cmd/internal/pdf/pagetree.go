package pdf

import (
	"slices"

	"foldwright/cmd/internal/pdf/cos"
)

const (
	maxPages = 1 << 16
	maxLevel = 200     // levels of the page tree
	maxHeld  = 1 << 23 // values in the dictionaries of all pages, which are held in memory
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
func pageTree(f *cos.File) ([]node, error) {
	root := f.Dict(f.Trailer.Get("Root"))
	top := f.Dict(root.Get("Pages"))
	if top == nil {
		return nil, ErrDamaged
	}
	w := walker{f: f, above: map[int]bool{}}
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
func strayPages(f *cos.File) ([]node, error) {
	w := walker{f: f}
	for num := range f.Objects() {
		if err := f.Err(); err != nil {
			return nil, err
		}
		d, ok := f.Get(num).(*cos.Dict)
		if !ok || f.Resolve(d.Get("Type")) != cos.Name("Page") {
			continue
		}
		above := []*cos.Dict{d}
		for range maxLevel {
			parent := f.Dict(above[len(above)-1].Get("Parent"))
			if parent == nil {
				break
			}
			above = append(above, parent)
		}
		n := node{num: num}
		for _, d := range slices.Backward(above) {
			n = n.inherit(f, d)
		}
		if err := w.take(n); err != nil {
			return nil, err
		}
	}
	if len(w.pages) == 0 {
		return nil, ErrNoPages
	}
	f.Warn("the file's list of pages is damaged; all pages found were used, in the order of their numbers in the file")
	return w.pages, nil
}

type walker struct {
	f     *cos.File
	above map[int]bool // nodes between the root and here: one of them below itself is a loop
	pages []node
	nodes int
	held  int
}

// take adds a page.
func (w *walker) take(n node) error {
	w.held += values(n.dict)
	if w.held > maxHeld {
		return ErrTooMuch
	}
	if len(w.pages) >= maxPages {
		return ErrTooManyPages
	}
	w.pages = append(w.pages, n)
	return nil
}

// values is how many values are in an object itself.
func values(o cos.Object) (n int) {
	switch o := o.(type) {
	case cos.Array:
		for _, e := range o {
			n += 1 + values(e)
		}
	case *cos.Dict:
		for _, e := range o.All() {
			n += 1 + values(e.Value)
		}
	}
	return n
}

func (w *walker) walk(n node, level int) error {
	kids, ok := w.f.Resolve(n.dict.Get("Kids")).(cos.Array)
	if !ok {
		// What has no kids is a page, as for viewers, whatever it calls itself.
		if n.dict.Get("Type") != cos.Name("Pages") || level > 0 && n.dict.Get("Kids") == nil {
			return w.take(n)
		}
		return nil
	}
	for _, kid := range kids {
		w.nodes++
		if err := w.f.Err(); err != nil {
			return err
		}
		if w.nodes >= 4*maxPages || level > maxLevel {
			return ErrTooMuch
		}
		ref, isRef := kid.(cos.Ref)
		if isRef && w.above[ref.Num] {
			w.f.Warn("the file's list of pages contains itself; the repeated part was left out")
			continue
		}
		var err error
		if d := w.f.Dict(kid); d == nil {
			err = w.take(node{})
		} else {
			child := n.inherit(w.f, d)
			child.num = ref.Num
			w.above[ref.Num] = isRef
			err = w.walk(child, level+1)
			delete(w.above, ref.Num)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
