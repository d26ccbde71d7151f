package pdf

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

// maxContent is the length of unpacked content beyond which a stream is taken for an attack.
// Two pages that are made at the same time must not take more than a common computer's memory.
const maxContent = 64 << 20

// mark is something that is drawn of a page: a form, and the matrix from its
// own space to the page's upright visible box in points.
type mark struct {
	object int
	matrix geom.Matrix
}

// makeForms makes forms of a source page (whole: of all of its MediaBox, else of
// the visible box) and returns what is to be drawn, from the bottom up.
func (c *copier) makeForms(number int, whole bool) ([]mark, error) {
	n := c.doc.tree[number-1]
	c.at = number
	fr, err := n.frame(c.src)
	if err != nil {
		return nil, err
	}
	limit := fr.visible
	if whole {
		limit = fr.media
	}
	resources := c.src.Dict(n.resources)
	object, err := c.pageForm(n, fr, limit, resources, number)
	if err != nil {
		return nil, err
	}
	marks := append([]mark{{object, geom.Identity}}, c.annotations(n, fr, resources)...)
	defer clear(c.lent)
	if err := c.finish(); err != nil {
		return nil, err
	}
	return marks, c.src.Err()
}

// pageForm is the form of a page's content. Pages that are made of the same
// objects, as when files were joined that hold a page twice, have one form.
func (c *copier) pageForm(n node, fr frame, limit geom.Rect, resources *cos.Dict, number int) (int, error) {
	var key []byte
	upright := fr.upright()
	for _, o := range []cos.Object{cos.Name("page"), n.dict.Get("Contents"), n.resources, n.dict.Get("Group"), corners(limit), numbers(upright[:]...)} {
		key = cos.Append(key, o, func(r cos.Ref) int { return r.Num })
	}
	if object, ok := c.made[string(key)]; ok {
		return object, nil
	}
	body, used, err := c.content(n, resources, number)
	if err != nil {
		return 0, err
	}
	if err := c.src.Spend(body.Len()); err != nil {
		return 0, err
	}
	form := formDict(limit)
	if upright != geom.Identity {
		form.Set("Matrix", numbers(upright[:]...))
	}
	pruned := &cos.Dict{}
	if resources != nil {
		c.warnOfGaps(resources, used, body)
		pruned = c.prune(resources, used)
	}
	if g := c.formGroup(n.dict, pruned); g != nil {
		form.Set("Group", here(c.writeOnce(g)))
	}
	form.Set("Resources", here(c.writeOnce(pruned)))
	for _, key := range []cos.Name{"Filter", "DecodeParms"} {
		if v := body.Dict.Get(key); v != nil {
			form.Set(key, v)
		}
	}
	c.unlockFilters(form)
	object := c.w.Reserve()
	c.made[string(key)] = object
	return object, c.w.PutStream(object, form, c.src, body, c.number)
}

// formDict is the beginning of a form's dictionary.
func formDict(bbox geom.Rect) *cos.Dict {
	return cos.NewDict("Type", "XObject", "Subtype", "Form", "BBox", corners(bbox))
}

// form writes a form whose content is made here.
func (c *copier) form(bbox geom.Rect, resources *cos.Dict, content []byte) (int, error) {
	d := formDict(bbox)
	d.Set("Resources", resources)
	n := c.w.Reserve()
	return n, c.w.PutStream(n, d, nil, cos.NewStream(d, content), c.number)
}

// content is the page's content as one stream, and the names in it. A single stream
// stays as it is; several are joined with a line feed, for a token ends with its stream.
func (c *copier) content(n node, resources *cos.Dict, number int) (*cos.Stream, names, error) {
	list := c.src.List(n.dict.Get("Contents"))
	_, several := c.src.Resolve(n.dict.Get("Contents")).(cos.Array)
	var parts []*cos.Stream
	gone := 0
	for _, e := range list {
		s, ok := c.src.Resolve(e).(*cos.Stream)
		switch {
		case !ok && e != nil:
			gone++
		case ok && (s.Len() > 0 || !several):
			parts = append(parts, s)
		}
	}
	switch {
	case gone == 0:
	case gone < len(list):
		c.warnOfLack("part of its content")
	default:
		c.warnOfLack("all of its content")
	}
	if len(parts) == 0 {
		return cos.NewStream(&cos.Dict{}, nil), names{}, nil
	}
	if len(parts) == 1 && c.allNamed(n, resources, parts[0]) {
		return parts[0], nil, nil
	}
	var joined [][]byte
	length := 0
	used := names{}
	for _, s := range parts {
		data, err := c.src.Decode(s, maxContent)
		if errors.Is(err, ErrTooLarge) || length+len(data) > maxContent {
			return nil, nil, ErrTooLarge
		}
		if err != nil {
			c.src.Warn(fmt.Sprintf("page %d: part of its content %v", number, cause(err)))
		}
		said := names(cos.Mentioned(data))
		if len(parts) == 1 && err != nil {
			said = nil
		}
		if len(parts) == 1 {
			return s, said, nil
		}
		length += len(data) + 1
		joined = append(joined, data, []byte{'\n'})
		if said == nil {
			used = nil
		} else if used != nil {
			maps.Copy(used, said)
		}
	}
	return cos.Packed(joined...), used, nil
}

// allNamed tells whether the content may be taken to name all of its
// resources, which saves unpacking it: when all of them are in the print file
// already, leaving some out makes it no smaller. In long books that is most pages.
func (c *copier) allNamed(n node, resources *cos.Dict, s *cos.Stream) bool {
	const most = 1032 // deflate can't make more bytes of one
	if s.Len() > maxContent/most || c.src.Filters(s) > 1 {
		return false // it could be a bomb
	}
	if n.dict.Get("Group") != nil && resources != nil && c.blends(resources, 0) {
		return false
	}
	return resources == nil || c.hasCopied(c.categories(resources))
}

// categories are the resources that content picks from by name.
func (c *copier) categories(resources *cos.Dict) cos.Array {
	var out cos.Array
	for _, category := range byName {
		out = append(out, c.src.Resolve(resources.Get(category)))
	}
	return out
}

// hasCopied tells whether everything that an object refers to has been copied.
func (c *copier) hasCopied(o cos.Object) bool {
	switch v := o.(type) {
	case cos.Ref:
		_, ok := c.numbers[v.Num]
		return ok
	case cos.Array:
		return !slices.ContainsFunc(v, func(e cos.Object) bool { return !c.hasCopied(e) })
	case *cos.Dict:
		return !slices.ContainsFunc(v.Entries, func(e cos.Entry) bool { return !c.hasCopied(e.Value) })
	}
	return true
}

// cause leaves the details of damage out: they mean nothing to a reader.
func cause(err error) error {
	for _, e := range []error{cos.ErrPicture, cos.ErrPacking} {
		if errors.Is(err, e) {
			return e
		}
	}
	return err
}

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
