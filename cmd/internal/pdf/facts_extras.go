package pdf

import (
	"cmp"
	"maps"
	"slices"

	"foldwright/cmd/internal/pdf/cos"
)

// LayerFact is a layer, an optional content group, of the source.
type LayerFact struct {
	Name   string `json:"name"`
	Prints bool   `json:"prints"`
}

// Layers are the layers in the order in which the source lists them.
func (d *Document) Layers() []LayerFact {
	list, _ := d.file.Resolve(d.file.Dict(d.catalog().Get("OCProperties")).Get("OCGs")).(cos.Array)
	out := []LayerFact{}
	for _, o := range list {
		prints, ok := d.layerPrints(o)
		if !ok {
			continue
		}
		name, _ := d.file.Resolve(d.file.Dict(o).Get("Name")).(cos.String)
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
func (d *Document) Annotations() []AnnotationFact {
	c := &copier{doc: d, src: d.file}
	count := map[string]AnnotationFact{}
	for _, n := range d.tree {
		list, _ := d.file.Resolve(n.dict.Get("Annots")).(cos.Array)
		for _, o := range list {
			a := d.file.Dict(o)
			if a == nil {
				continue
			}
			kind, _ := d.file.Resolve(a.Get("Subtype")).(cos.Name)
			f := count[string(kind)]
			f.Kind = string(kind)
			if c.annotationPrints(a) {
				f.Printed++
			} else {
				f.LeftOut++
			}
			count[f.Kind] = f
		}
	}
	out := slices.AppendSeq([]AnnotationFact{}, maps.Values(count))
	slices.SortFunc(out, func(a, b AnnotationFact) int { return cmp.Compare(a.Kind, b.Kind) })
	return out
}

// Encrypted tells whether the source is encrypted. That it is open says that
// it may be printed.
func (d *Document) Encrypted() bool { return d.file.Encrypted() }
