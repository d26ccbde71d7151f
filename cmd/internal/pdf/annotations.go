package pdf

import (
	"math"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

// Flags of an annotation (ISO 32000-1, table 165).
const (
	flagHidden   = 1 << 1
	flagPrint    = 1 << 2
	flagNoRotate = 1 << 4
)

// annotation is one that is printed, with what the drawing of it needs.
type annotation struct {
	dict      *cos.Dict
	subtype   cos.Name
	rect      geom.Rect // in points
	resources *cos.Dict // of its page
}

// annotations are the page's annotations as they are printed, from the bottom up.
func (c *copier) annotations(n node, fr frame, resources *cos.Dict) []mark {
	var below, fields []mark
	for _, o := range c.src.Array(n.dict.Get("Annots")) {
		a, m, ok := c.annotation(o, fr, resources)
		if !ok {
			continue
		}
		m.matrix = m.matrix.Then(fr.upright())
		if a.subtype == "Widget" { // readers draw fields over everything else
			fields = append(fields, m)
		} else {
			below = append(below, m)
		}
	}
	return append(below, fields...)
}

// annotation is an annotation that is printed and what is drawn for it, in the page's own space.
func (c *copier) annotation(o cos.Object, fr frame, resources *cos.Dict) (a annotation, m mark, ok bool) {
	if !c.annotationPrints(o) {
		return a, m, false
	}
	d := c.src.Dict(o)
	a = annotation{dict: d, resources: resources, subtype: c.src.Name(d.Get("Subtype"))}
	if a.rect, ok = readBox(c.src, d.Get("Rect")); !ok {
		return a, m, false
	}
	if m, ok = c.appearance(a); !ok {
		return a, m, false
	}
	if int64(c.src.Number(d.Get("F"), 0))&flagNoRotate != 0 {
		// An annotation stays upright on a page that is shown turned: its
		// upper left corner stays where it is (ISO 32000-1, table 165, NoRotate).
		m.matrix = m.matrix.Then(geom.Translate(-a.rect.X0, -a.rect.Y1).Then(geom.Rotate(fr.quarters)).Then(geom.Translate(a.rect.X0, a.rect.Y1)))
	}
	return a, m, true
}

// annotationPrints tells whether an annotation is meant for paper. Links and
// pop-ups are for the screen, whatever their flags. (An appearance that a link has is drawn by some
// readers and passed over by most.)
func (c *copier) annotationPrints(o cos.Object) bool {
	entries := c.src.Peek(o, "F", "Subtype", "OC")
	if f := int64(c.src.Number(entries[0], 0)); f&flagHidden != 0 || f&flagPrint == 0 {
		return false
	}
	subtype := c.src.Name(entries[1])
	return subtype != "Link" && subtype != "Popup" && (entries[2] == nil || c.doc.isPrinted(entries[2]))
}

// appearance is what is drawn for an annotation: its normal appearance, or
// one made here as readers do where there is none.
func (c *copier) appearance(a annotation) (mark, bool) {
	s, o := c.normalAppearance(a.dict)
	// Without a form a widget is no field; readers show what appearance it has.
	if a.subtype == "Widget" && c.acroForm() != nil && (s == nil || c.src.Resolve(c.acroForm().Get("NeedAppearances")) == true) {
		if m, ok := c.field(a, s != nil); ok {
			return m, true
		}
	}
	if s == nil {
		return c.shape(a)
	}
	bbox, ok := readBox(c.src, s.Dict.Get("BBox"))
	if !ok {
		bbox = a.rect.Size().Rect()
	}
	m, ok := readMatrix(c.src, s.Dict.Get("Matrix"))
	if !ok {
		m = geom.Identity
	}
	place := fit(m.Bounds(bbox), a.rect)
	if isFlat(place) || isFlat(m) {
		return mark{}, false
	}
	return mark{c.appearanceForm(o, s, bbox, a.resources), place}, true
}

// fit maps an appearance's transformed box onto the annotation's rectangle (ISO
// 32000-1, algorithm 8.1); a side without extent keeps its scale.
func fit(r, to geom.Rect) geom.Matrix {
	sx, sy := 1.0, 1.0
	from, want := r.Size(), to.Size()
	if from.W > 1e-9 {
		sx = want.W / from.W
	}
	if from.H > 1e-9 {
		sy = want.H / from.H
	}
	return geom.Matrix{sx, 0, 0, sy, to.X0 - r.X0*sx, to.Y0 - r.Y0*sy}
}

func readMatrix(f *cos.File, o cos.Object) (m geom.Matrix, ok bool) {
	a := f.Array(o)
	if len(a) < 6 {
		return m, false
	}
	for i := range m {
		if m[i], ok = cos.Float(f.Resolve(a[i])); !ok || math.IsInf(m[i], 0) {
			return m, false
		}
	}
	return m, true
}

// normalAppearance finds the stream under N, by the state AS where there are
// several (ISO 32000-1, 12.5.5), or by the field's value where AS is missing.
func (c *copier) normalAppearance(d *cos.Dict) (*cos.Stream, cos.Object) {
	ap := c.src.Dict(d.Get("AP"))
	switch n := c.src.Resolve(ap.Get("N")).(type) {
	case *cos.Stream:
		return n, ap.Get("N")
	case *cos.Dict:
		state, ok := c.src.Resolve(d.Get("AS")).(cos.Name)
		if !ok {
			state = c.src.Name(c.inherited(d, "V"))
			if n.Get(state) == nil {
				state = "Off"
			}
		}
		return c.src.Stream(n.Get(state)), n.Get(state)
	}
	return nil, nil
}

// appearanceForm brings an appearance stream along, as a form even if it doesn't say that it is one.
func (c *copier) appearanceForm(o cos.Object, s *cos.Stream, bbox geom.Rect, page *cos.Dict) int {
	ref, isRef := o.(cos.Ref)
	if page == nil {
		page = &cos.Dict{}
	}
	resources, lent := c.completeResources(s, page, page, 0)
	own, hasOwn := c.src.Resolve(s.Dict.Get("Resources")).(*cos.Dict)
	if isRef && hasOwn && !lent && s.Dict.Get("Subtype") == cos.Name("Form") && s.Dict.Get("BBox") != nil {
		return c.number(ref)
	}
	if hasOwn && !lent {
		resources = c.prune(own, c.namesOf(s))
	}
	made, _ := c.variant(ref, s, 0, cos.Entry{Key: "Type", Value: cos.Name("XObject")}, cos.Entry{Key: "Subtype", Value: cos.Name("Form")},
		cos.Entry{Key: "BBox", Value: corners(bbox)}, cos.Entry{Key: "Resources", Value: resources}).(cos.Ref)
	return c.number(made)
}

// inherited is a field's entry, or that of the fields above it.
func (c *copier) inherited(d *cos.Dict, key cos.Name) cos.Object {
	for range 32 {
		if d == nil {
			break
		}
		if v := c.src.Resolve(d.Get(key)); v != nil {
			return v
		}
		d = c.src.Dict(d.Get("Parent"))
	}
	return nil
}

// inheritedNumber is 0 where none is inherited.
func (c *copier) inheritedNumber(d *cos.Dict, key cos.Name) float64 {
	v, _ := cos.Float(c.inherited(d, key))
	return v
}

// acroForm is the document's form dictionary; nil if it has none.
func (c *copier) acroForm() *cos.Dict { return c.src.Dict(c.doc.catalog().Get("AcroForm")) }
