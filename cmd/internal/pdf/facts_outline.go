package pdf

import (
	"slices"

	"foldwright/cmd/internal/pdf/cos"
)

// OutlinePages are the pages to which the top level of the source's outline
// leads (ISO 32000-1, 12.3.3), each once, in the order of the pages. Entries that
// lead elsewhere, or nowhere, are left out; nil: the source has no outline.
func (d *Document) OutlinePages() []int {
	root, _ := d.file.Resolve(d.file.Trailer.Get("Root")).(*cos.Dict)
	outline, ok := d.file.Resolve(root.Get("Outlines")).(*cos.Dict)
	if !ok {
		return nil
	}
	o := &outlineReader{file: d.file, root: root, pages: map[int]int{}, count: len(d.tree)}
	for i, n := range d.tree {
		if n.num > 0 {
			o.pages[n.num] = i + 1
		}
	}
	var found []int
	seen := map[cos.Ref]bool{}
	for at := outline.Get("First"); ; {
		ref, isRef := at.(cos.Ref)
		item, ok := d.file.Resolve(at).(*cos.Dict)
		if !ok || isRef && seen[ref] {
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
	file  *cos.File
	root  *cos.Dict
	pages map[int]int // by the number of the page's object
	count int
	names map[cos.String]cos.Object // of destinations; nil: not read yet
}

// page is the page to which an entry leads, 0 if to none in this file.
func (o *outlineReader) page(item *cos.Dict) int {
	dest := o.file.Resolve(item.Get("Dest"))
	if dest == nil {
		action, _ := o.file.Resolve(item.Get("A")).(*cos.Dict)
		if o.file.Resolve(action.Get("S")) != cos.Name("GoTo") {
			return 0
		}
		dest = o.file.Resolve(action.Get("D"))
	}
	return o.destination(dest, 0)
}

// destination follows a destination to its page (12.3.2): an explicit one is
// an array that begins with the page; others are names of one.
func (o *outlineReader) destination(dest cos.Object, level int) int {
	if level > 3 {
		return 0
	}
	switch dest := dest.(type) {
	case cos.Array:
		if len(dest) == 0 {
			return 0
		}
		if ref, ok := dest[0].(cos.Ref); ok {
			return o.pages[ref.Num]
		}
		if n, ok := dest[0].(cos.Int); ok && n >= 0 && int64(n) < int64(o.count) {
			return int(n) + 1
		}
	case *cos.Dict:
		return o.destination(o.file.Resolve(dest.Get("D")), level+1)
	case cos.Name:
		named, _ := o.file.Resolve(o.root.Get("Dests")).(*cos.Dict)
		return o.destination(o.file.Resolve(named.Get(dest)), level+1)
	case cos.String:
		if o.names == nil {
			o.names = map[cos.String]cos.Object{}
			names, _ := o.file.Resolve(o.root.Get("Names")).(*cos.Dict)
			o.read(names.Get("Dests"), map[cos.Ref]bool{}, 0)
		}
		return o.destination(o.file.Resolve(o.names[dest]), level+1)
	}
	return 0
}

// read collects a name tree (7.9.6). What has been read adds nothing more, wherever it stands.
func (o *outlineReader) read(at cos.Object, seen map[cos.Ref]bool, level int) {
	if ref, ok := at.(cos.Ref); ok {
		if seen[ref] {
			return
		}
		seen[ref] = true
	}
	tree, ok := o.file.Resolve(at).(*cos.Dict)
	if !ok || level > maxLevel {
		return
	}
	pairs, _ := o.file.Resolve(tree.Get("Names")).(cos.Array)
	for i := 0; i+1 < len(pairs); i += 2 {
		if name, ok := o.file.Resolve(pairs[i]).(cos.String); ok {
			o.names[name] = pairs[i+1]
		}
	}
	kids, _ := o.file.Resolve(tree.Get("Kids")).(cos.Array)
	for _, kid := range kids {
		o.read(kid, seen, level+1)
	}
}
