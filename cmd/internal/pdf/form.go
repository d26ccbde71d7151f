package pdf

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder"
)

// maxContent is the length of unpacked content beyond which a stream is taken for an attack.
const maxContent = 256 << 20

// page makes a form of a source page (whole: of all of its MediaBox, else of
// the visible box) and returns what is to be drawn, from the bottom up.
func (c *copier) page(number int, whole bool) ([]mark, error) {
	n := c.doc.tree[number-1]
	fr, err := n.frame(c.src)
	if err != nil {
		return nil, err
	}
	limit := fr.visible
	if whole {
		limit = fr.media
	}
	form := cos.NewDict(cos.Name("Type"), cos.Name("XObject"), cos.Name("Subtype"), cos.Name("Form"),
		cos.Name("BBox"), limit.array())
	if m := fr.upright(); m != reorder.Identity {
		form.Set("Matrix", numbers(m))
	}
	if g, ok := c.src.Resolve(n.dict.Get("Group")).(*cos.Dict); ok && g.Get("S") == cos.Name("Transparency") {
		// A page's group is isolated by definition, a form's is not (ISO 32000-1, 11.4.7).
		g = g.Without("I")
		g.Set("I", true)
		form.Set("Group", here(c.shared(g)))
	}
	body, data, err := c.content(n, number)
	if err != nil {
		return nil, err
	}
	if resources, ok := c.src.Resolve(n.resources).(*cos.Dict); ok {
		form.Set("Resources", here(c.shared(c.prune(resources, data))))
	} else {
		form.Set("Resources", &cos.Dict{})
	}
	for _, e := range body.Dict.Entries {
		if e.Key == "Filter" || e.Key == "DecodeParms" {
			form.Set(e.Key, e.Value)
		}
	}
	object := c.w.Reserve()
	if err := c.w.PutStream(object, form, c.src, body, c.number); err != nil {
		return nil, err
	}
	return []mark{{object, reorder.Identity}}, c.finish()
}

func numbers(m reorder.Matrix) cos.Array {
	a := make(cos.Array, len(m))
	for i, v := range m {
		a[i] = cos.Number(v)
	}
	return a
}

// content is the page's content as one stream, and unpacked. A single stream
// stays as it is; several are joined with a line feed, for a token ends with its stream.
func (c *copier) content(n node, number int) (*cos.Stream, []byte, error) {
	var parts []*cos.Stream
	switch o := c.src.Resolve(n.dict.Get("Contents")).(type) {
	case *cos.Stream:
		parts = append(parts, o)
	case cos.Array:
		for _, e := range o {
			if s, ok := c.src.Resolve(e).(*cos.Stream); ok && s.Len() > 0 {
				parts = append(parts, s)
			}
		}
	}
	if len(parts) == 0 {
		return cos.NewStream(&cos.Dict{}, nil), nil, nil
	}
	var joined bytes.Buffer
	for _, s := range parts {
		data, err := c.src.Decode(s, maxContent)
		if errors.Is(err, cos.ErrTooLarge) || joined.Len() > maxContent {
			return nil, nil, ErrTooLarge
		}
		if err != nil {
			c.src.Warn(fmt.Sprintf("page %d: a part of its content %v", number, cause(err)))
		}
		if len(parts) == 1 {
			return s, data, nil
		}
		joined.Write(data)
		joined.WriteByte('\n')
	}
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	if _, err := z.Write(joined.Bytes()); err != nil {
		return nil, nil, err
	}
	if err := z.Close(); err != nil {
		return nil, nil, err
	}
	return cos.NewStream(cos.NewDict(cos.Name("Filter"), cos.Name("FlateDecode")), packed.Bytes()), joined.Bytes(), nil
}

func cause(err error) error {
	for _, e := range []error{cos.ErrPicture, cos.ErrPacking} {
		if errors.Is(err, e) {
			return e
		}
	}
	return err
}
