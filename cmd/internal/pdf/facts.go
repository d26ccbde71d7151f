package pdf

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"foldwright/cmd/internal/pdf/cos"
)

// Label is what a page is called in the source (ISO 32000-1, 12.4.2).
type Label struct {
	Text    string // with its prefix; may be empty
	Number  int    // its place within its range, counted as the source counts
	Decimal bool   // the number is written in arabic figures
}

// RightToLeft tells whether the source says that it reads from right to left
// (ISO 32000-1, table 150, Direction).
func (d *Document) RightToLeft() bool {
	return d.file.Name(d.file.Dict(d.catalog().Get("ViewerPreferences")).Get("Direction")) == "R2L"
}

// Encrypted tells whether the source is encrypted. That it is open says that it may be printed.
func (d *Document) Encrypted() bool { return d.file.Encrypted() }

func (d *Document) catalog() *cos.Dict { return d.file.Dict(d.file.Trailer.Get("Root")) }

func (d *Document) infoDict() *cos.Dict { return d.file.Dict(d.file.Trailer.Get("Info")) }

// text is a text string of the source, empty if it is none.
func (d *Document) text(o cos.Object) string { return decodeText(string(d.file.Text(o))) }

// Title is the source's title, empty if it has none.
func (d *Document) Title() string { return d.text(d.infoDict().Get("Title")) }

// IsOwn tells whether this program wrote a file, under a title that begins as given.
func IsOwn(path, begins string) bool {
	d, err := Open(context.Background(), path, Options{})
	if err != nil {
		return false
	}
	own := d.file.Text(d.infoDict().Get("Producer")) == producer
	return d.Close() == nil && own && strings.HasPrefix(d.Title(), begins)
}

// LayerFact is a layer, an optional content group, of the source.
type LayerFact struct {
	Name   string `json:"name"`
	Prints bool   `json:"prints"`
}

// layers are the layers in the order in which the source lists them.
func (d *Document) layers() (out []LayerFact) {
	for _, o := range d.file.Array(d.file.Dict(d.catalog().Get("OCProperties")).Get("OCGs")) {
		prints, ok := d.layerPrints(o)
		if !ok {
			continue
		}
		name := d.file.Text(d.file.Dict(o).Get("Name"))
		if d.file.Spend(textCost*int64(len(name))) != nil {
			break
		}
		out = append(out, LayerFact{decodeText(string(name)), prints})
	}
	return out
}

// AnnotationFact counts the annotations of one kind.
type AnnotationFact struct {
	Kind    string `json:"kind"`     // as ISO 32000-1, table 169, calls it
	Printed int    `json:"printed"`  // meant for paper
	LeftOut int    `json:"left_out"` // meant for the screen only, or hidden
}

// Annotations counts the annotations of all pages by their kinds.
func (s *Sequence) Annotations() []AnnotationFact {
	count := map[string]AnnotationFact{}
	for _, d := range s.docs {
		c := &copier{doc: d, src: d.file}
		for _, n := range d.tree {
			for _, o := range d.file.Array(n.dict.Get("Annots")) {
				a := d.file.Dict(o)
				if a == nil {
					continue
				}
				kind := string(d.file.Name(a.Get("Subtype")))
				f := count[kind]
				f.Kind = kind
				if c.annotationPrints(a) {
					f.Printed++
				} else {
					f.LeftOut++
				}
				count[kind] = f
			}
		}
	}
	out := slices.AppendSeq([]AnnotationFact{}, maps.Values(count))
	slices.SortFunc(out, func(a, b AnnotationFact) int { return cmp.Compare(a.Kind, b.Kind) })
	return out
}

// Labels are the labels of the pages, nil if the source has none.
func (d *Document) Labels() []Label {
	ranges := map[int]*cos.Dict{}
	d.visitPairs(d.catalog().Get("PageLabels"), "Nums", func(key, value cos.Object) {
		first, ok := key.(cos.Int)
		if r := d.file.Dict(value); ok && r != nil {
			ranges[int(first)] = r
		}
	})
	if len(ranges) == 0 {
		return nil
	}
	labels := make([]Label, len(d.pages))
	style, prefix, number := cos.Name(""), "", 1
	for i := range labels {
		if r := ranges[i]; r != nil {
			style, prefix, number = d.file.Name(r.Get("S")), d.text(r.Get("P")), 1
			if start, ok := d.file.Resolve(r.Get("St")).(cos.Int); ok && start > 0 && start < 1<<30 {
				number = int(start)
			}
		}
		if d.file.Spend(int64(len(prefix))) != nil {
			return nil
		}
		labels[i] = Label{prefix + numeral(style, number), number, style == "D"}
		number++
	}
	return labels
}

// visitPairs goes through a tree of names or numbers, whose pairs stand under Names or Nums (ISO 32000-1, 7.9.6
// and 7.9.7). What has been read adds nothing more, wherever it stands.
func (d *Document) visitPairs(root cos.Object, pairs cos.Name, see func(key, value cos.Object)) {
	seen := map[cos.Ref]bool{}
	var read func(at cos.Object, level int)
	read = func(at cos.Object, level int) {
		ref, isRef := at.(cos.Ref)
		tree := d.file.Dict(at)
		if isRef && seen[ref] || tree == nil || level > maxLevel {
			return
		}
		seen[ref] = true
		for list := d.file.Array(tree.Get(pairs)); len(list) > 1; list = list[2:] {
			see(d.file.Resolve(list[0]), list[1])
		}
		for _, kid := range d.file.Array(tree.Get("Kids")) {
			read(kid, level+1)
		}
	}
	read(root, 0)
}

// numeral writes a page number in its style (ISO 32000-1, table 159).
func numeral(style cos.Name, n int) string {
	switch style {
	case "D":
		return fmt.Sprint(n)
	case "R":
		return roman(n)
	case "r":
		return strings.ToLower(roman(n))
	case "A", "a":
		// AA follows Z, then AAA.
		text := strings.Repeat(string(rune('A'+(n-1)%26)), min((n-1)/26+1, 100))
		if style == "a" {
			text = strings.ToLower(text)
		}
		return text
	}
	return ""
}

func roman(n int) string {
	if n >= 10000 {
		return fmt.Sprint(n)
	}
	var out strings.Builder
	for _, v := range []struct {
		value int
		text  string
	}{{1000, "M"}, {900, "CM"}, {500, "D"}, {400, "CD"}, {100, "C"}, {90, "XC"}, {50, "L"}, {40, "XL"}, {10, "X"}, {9, "IX"}, {5, "V"}, {4, "IV"}, {1, "I"}} {
		for ; n >= v.value; n -= v.value {
			out.WriteString(v.text)
		}
	}
	return out.String()
}

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
		if f.Name(action.Get("S")) != "GoTo" {
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
			o.doc.visitPairs(f.Dict(o.doc.catalog().Get("Names")).Get("Dests"), "Names", func(key, value cos.Object) {
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
