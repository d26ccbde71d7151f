package pdf

import "foldwright/cmd/internal/pdf/cos"

// formGroup is a page's transparency group as a form must have it. A page's
// group is isolated by definition, a form's only if it says so (ISO 32000-1, 11.4.7).
//
// It is left out where it would change nothing, because many printer drivers
// turn whatever stands in a group into a picture: where nothing is blended, an isolated group on
// empty paper looks like its parts painted one by one (11.4.3: the normal
// blend mode is associative), as long as the parts don't knock each other out.
func (c *copier) formGroup(page, resources *cos.Dict) *cos.Dict {
	g := c.src.Dict(page.Get("Group"))
	if c.src.Name(g.Get("S")) != "Transparency" || c.src.Resolve(g.Get("K")) != true && !c.blends(resources, 0) {
		return nil
	}
	g = g.Without("I")
	g.Set("I", true)
	return g
}

// blends tells whether anything among the resources has a blend mode.
func (c *copier) blends(resources *cos.Dict, level int) bool {
	for _, e := range c.src.Dict(resources.Get("ExtGState")).All() {
		switch c.src.Resolve(c.src.Dict(e.Value).Get("BM")) {
		case nil, cos.Name("Normal"), cos.Name("Compatible"):
		default:
			return true
		}
	}
	for _, category := range []cos.Name{"XObject", "Pattern"} {
		for _, e := range c.src.Dict(resources.Get(category)).All() {
			if c.formBlends(e.Value, level) {
				return true
			}
		}
	}
	return false
}

// formBlends looks into a form or a pattern, once.
func (c *copier) formBlends(o cos.Object, level int) bool {
	ref, ok := o.(cos.Ref)
	if !ok || ref.Gen < 0 || level >= maxNesting {
		return true // made here for want of resources, or too deep: not worth a closer look
	}
	known, ok := c.blended[ref.Num]
	if !ok {
		c.blended[ref.Num] = false // while it is looked at: one that draws itself adds nothing
		if s := c.src.Stream(o); s != nil {
			known = c.blends(c.src.Dict(s.Dict.Get("Resources")), level+1)
		}
		c.blended[ref.Num] = known
	}
	return known
}
