package pdf

import (
	"slices"

	"foldwright/cmd/internal/pdf/cos"
)

// group is an optional content group, a layer, in a print file.
type group struct {
	object int
	hidden bool
}

// group is what a print file says about a layer. How it is used is left out: its
// state is the one for printing, whatever the reader does with the file.
func (c *copier) group(num, to int, d *cos.Dict) cos.Object {
	prints, _ := c.doc.layerPrints(cos.Ref{Num: num})
	c.groups = append(c.groups, group{to, !prints})
	return cos.NewDict("Type", "OCG", "Name", c.src.Text(d.Get("Name")))
}

// layers is the OCProperties entry of a print file, nil if it has no layers.
func layers(from []*copier) cos.Object {
	var all, off cos.Array
	for _, c := range from {
		for _, g := range c.groups {
			all = append(all, cos.Ref{Num: g.object})
			if g.hidden {
				off = append(off, cos.Ref{Num: g.object})
			}
		}
	}
	if all == nil {
		return nil
	}
	state := cos.NewDict("BaseState", "ON")
	if off != nil {
		state.Set("OFF", off)
	}
	return cos.NewDict("OCGs", all, "D", state)
}

// layerPrints tells whether a layer is on when the document is printed (ISO
// 32000-1, 8.11.4): the default configuration, and over it the layer's own
// word on printing, which readers heed whether the configuration's AS entry says so or not. It is
// not ok if it is given no layer.
func (d *Document) layerPrints(o cos.Object) (prints, ok bool) {
	f := d.file
	ocg := f.Dict(o)
	if ocg == nil {
		return true, false
	}
	if !viewIntent(f, ocg) {
		return true, true
	}
	switch f.Name(f.Dict(f.Dict(ocg.Get("Usage")).Get("Print")).Get("PrintState")) {
	case "ON":
		return true, true
	case "OFF":
		return false, true
	}
	config := f.Dict(f.Dict(d.catalog().Get("OCProperties")).Get("D"))
	ref, _ := o.(cos.Ref)
	lists := func(key cos.Name) bool {
		return slices.ContainsFunc(f.Array(config.Get(key)), func(o cos.Object) bool {
			r, ok := o.(cos.Ref)
			return ok && r.Num == ref.Num
		})
	}
	on := f.Name(config.Get("BaseState")) != "OFF" || lists("ON")
	return on && !lists("OFF"), true
}

// viewIntent tells whether a layer's intent is to be shown or hidden at all; it is unless it says otherwise.
func viewIntent(f *cos.File, ocg *cos.Dict) bool {
	return slices.ContainsFunc(f.List(ocg.Get("Intent")), func(o cos.Object) bool {
		named := f.Resolve(o)
		return named == nil || named == cos.Name("View") || named == cos.Name("All")
	})
}

// isPrinted tells whether what belongs to a layer, or to a combination of
// layers, is printed (ISO 32000-1, 8.11.2.2).
func (d *Document) isPrinted(oc cos.Object) bool {
	f := d.file
	o := f.Dict(oc)
	if o == nil {
		return true
	}
	if o.Get("Type") == cos.Name("OCG") {
		prints, _ := d.layerPrints(oc)
		return prints
	}
	if e, ok := f.Resolve(o.Get("VE")).(cos.Array); ok {
		return d.expression(e, 0)
	}
	on, off := 0, 0
	for _, g := range f.List(o.Get("OCGs")) {
		switch prints, ok := d.layerPrints(g); {
		case !ok:
		case prints:
			on++
		default:
			off++
		}
	}
	if on+off == 0 {
		return true
	}
	switch f.Name(o.Get("P")) {
	case "AllOn":
		return off == 0
	case "AnyOff":
		return off > 0
	case "AllOff":
		return on == 0
	}
	return on > 0
}

// expression evaluates a visibility expression.
func (d *Document) expression(e cos.Array, level int) bool {
	if len(e) == 0 || level > 32 {
		return true
	}
	value := func(o cos.Object) bool {
		if a, ok := d.file.Resolve(o).(cos.Array); ok {
			return d.expression(a, level+1)
		}
		prints, _ := d.layerPrints(o)
		return prints
	}
	switch d.file.Name(e[0]) {
	case "Not":
		return len(e) < 2 || !value(e[1])
	case "Or":
		return len(e) == 1 || slices.ContainsFunc(e[1:], value)
	}
	return !slices.ContainsFunc(e[1:], func(o cos.Object) bool { return !value(o) })
}
