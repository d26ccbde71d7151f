package pdf

import (
	"slices"

	"foldwright/cmd/internal/pdf/cos"
)

// OutlinePages are the pages to which the top level of the source's outline
// leads (ISO 32000-1, 12.3.3), each once, in the order of the pages. Entries that
// lead elsewhere, or nowhere, are left out; nil: the source has no outline.
func (d *Document) OutlinePages() []int {
	outline := d.file.Dict(d.catalog().Get("Outlines"))
	if outline == nil {
		return nil
	}
	o := &outlineReader{doc: d, pages: map[int]int{}}
	for i, n := range d.tree {
		if n.num > 0 {
			o.pages[n.num] = i + 1
		}
	}
	var found []int
	seen := map[cos.Ref]bool{}
	for at := outline.Get("First"); ; {
		ref, isRef := at.(cos.Ref)
		item := d.file.Dict(at)
		if item == nil || isRef && seen[ref] {
			break
		}
		seen[ref] = true
		if page := o.page(item); page > 0 {
			found = append(found, page)
		}
		at = item.Get("Next")
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// outlineReader finds the pages to which destinations lead.
type outlineReader struct {
	doc   *Document
	pages map[int]int               // by the number of the page's object
	names map[cos.String]cos.Object // of destinations; nil: not read yet
}

// page is the page to which an entry leads, 0 if to none in this file.
func (o *outlineReader) page(item *cos.Dict) int {
	f := o.doc.file
	dest := f.Resolve(item.Get("Dest"))
	if dest == nil {
		action := f.Dict(item.Get("A"))
		if f.Resolve(action.Get("S")) != cos.Name("GoTo") {
			return 0
		}
		dest = f.Resolve(action.Get("D"))
	}
	return o.destination(dest, 0)
}

// destination follows a destination to its page (12.3.2): an explicit one is
// an array that begins with the page; others are names of one.
func (o *outlineReader) destination(dest cos.Object, level int) int {
	if level > 3 {
		return 0
	}
	f := o.doc.file
	switch at := dest.(type) {
	case cos.Array:
		if len(at) == 0 {
			return 0
		}
		if ref, ok := at[0].(cos.Ref); ok {
			return o.pages[ref.Num]
		}
		if n, ok := at[0].(cos.Int); ok && n >= 0 && int64(n) < int64(len(o.doc.tree)) {
			return int(n) + 1
		}
		return 0
	case *cos.Dict:
		dest = at.Get("D")
	case cos.Name:
		dest = f.Dict(o.doc.catalog().Get("Dests")).Get(at)
	case cos.String:
		if o.names == nil {
			o.names = map[cos.String]cos.Object{}
			o.doc.eachPair(f.Dict(o.doc.catalog().Get("Names")).Get("Dests"), "Names", func(key, value cos.Object) {
				if name, ok := key.(cos.String); ok {
					o.names[name] = value
				}
			})
		}
		dest = o.names[at]
	default:
		return 0
	}
	return o.destination(f.Resolve(dest), level+1)
}
