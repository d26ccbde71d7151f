package pdf

import "foldwright/cmd/internal/pdf/cos"

// maxNesting is how deeply forms without resources of their own may nest; readers give up
// earlier.
const maxNesting = 48

// lending is a form, pattern or font, and the resources that it takes from.
type lending struct {
	resources, page *cos.Dict
	num             int       // of the source's object
	dict            *cos.Dict // of a font that is no object of its own
}

// lent is what came of it.
type lent struct {
	object cos.Object // nil: it is being made
	num    int        // in the new file, where it is asked for meanwhile: it draws itself
}

// adopt gives a form, pattern or Type 3 font what it takes from the resources of the
// content that draws it, for the old rule that it uses its page's (ISO 32000-1, table 95)
// is understood differently by every reader once the page is a form itself.
func (c *copier) adopt(o cos.Object, resources, page *cos.Dict, level int) cos.Object {
	if level >= maxNesting {
		return o
	}
	v := c.src.Resolve(o)
	key := lending{resources: resources, page: page}
	switch v := v.(type) {
	case *cos.Stream:
		if v.Dict.Get("Subtype") == cos.Name("Image") {
			return c.adoptSpace(o, v, resources)
		}
		if v.Dict.Get("PatternType") == cos.Int(2) {
			return o
		}
		key.num = v.Ref.Num
	case *cos.Dict:
		if v.Get("Subtype") != cos.Name("Type3") || c.src.Resolve(v.Get("Resources")) != nil {
			return o
		}
		if ref, ok := o.(cos.Ref); ok {
			key.num = ref.Num
		} else {
			key.dict = v
		}
	default:
		return o
	}
	known, ok := c.lent[key]
	if !ok {
		known = &lent{}
		c.lent[key] = known
		known.object = c.complete(o, v, known, resources, page, level)
	} else if known.object == nil {
		if known.num == 0 {
			known.num = c.w.Reserve()
		}
		return here(known.num)
	}
	return known.object
}

// complete gives a form, pattern or font with all the resources that it needs.
func (c *copier) complete(o, v cos.Object, known *lent, resources, page *cos.Dict, level int) cos.Object {
	const cost = 4 << 10 // forms that lack some resources can branch, and each branch is written
	if c.src.Spend(cost) != nil {
		return o
	}
	if font, ok := v.(*cos.Dict); ok {
		own := c.pruneAt(resources, page, c.namesOfGlyphs(font), level+1)
		if len(own.Entries) == 0 {
			return o
		}
		d := font.Without(aside...)
		d.Set("Resources", own)
		if known.num == 0 {
			return here(c.writeOnce(d))
		}
		c.w.Put(known.num, d, c.number)
		return here(known.num)
	}
	form, _ := v.(*cos.Stream)
	own, ok := c.completeResources(form, resources, page, level)
	if !ok {
		return o
	}
	return c.variant(o, form, known.num, cos.Entry{Key: "Resources", Value: own})
}

// completeResources is what a form's content needs of its own resources and of others:
// of those of the content that draws it if it has none of its own, else the categories
// that its own lack of the page's, as readers fill them in. It is not ok if it needs nothing of them.
func (c *copier) completeResources(form *cos.Stream, resources, page *cos.Dict, level int) (*cos.Dict, bool) {
	own := c.src.Dict(form.Dict.Get("Resources"))
	if own == nil {
		all := c.pruneAt(resources, page, c.namesOf(form), level+1)
		return all, len(all.Entries) > 0
	}
	all := own
	for _, category := range byName {
		d := c.src.Dict(page.Get(category))
		if d == nil || c.src.Dict(own.Get(category)) != nil {
			continue
		}
		if used := c.namesOf(form); used != nil && len(c.named(d, used)) > 0 {
			if all == own {
				all = own.Without()
			}
			all.Set(category, d)
		}
	}
	if all == own {
		return nil, false
	}
	return c.pruneAt(all, page, c.namesOf(form), level+1), true
}

// adoptMask is adopt for the group that a graphics state takes its soft mask from.
func (c *copier) adoptMask(o cos.Object, resources, page *cos.Dict, level int) cos.Object {
	state := c.src.Dict(o)
	mask := c.src.Dict(state.Get("SMask"))
	group := mask.Get("G")
	adopted := c.adopt(group, resources, page, level)
	if adopted == group {
		return o
	}
	mask, state = mask.Without(), state.Without()
	mask.Set("G", adopted)
	state.Set("SMask", mask)
	return state
}

// device are colour spaces that mean the same everywhere.
var device = names{"DeviceGray": true, "DeviceRGB": true, "DeviceCMYK": true, "G": true, "RGB": true, "CMYK": true, "Pattern": true}

// adoptSpace puts the colour space itself into a picture that names one of the content that
// draws it. It mustn't (ISO 32000-1, 8.6.3), but is shown, though not from within a form.
func (c *copier) adoptSpace(o cos.Object, picture *cos.Stream, resources *cos.Dict) cos.Object {
	name := c.src.Name(picture.Dict.Get("ColorSpace"))
	spaces := c.src.Dict(resources.Get("ColorSpace"))
	if device[name] || c.src.Resolve(spaces.Get(name)) == nil {
		return o
	}
	return c.variant(o, picture, 0, cos.Entry{Key: "ColorSpace", Value: spaces.Get(name)})
}
