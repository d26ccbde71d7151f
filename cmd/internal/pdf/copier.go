package pdf

import (
	"context"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder"
)

// copier brings objects of the source into one print file, each once.
type copier struct {
	ctx     context.Context
	doc     *Document
	src     *cos.File
	w       *cos.Writer
	numbers map[int]int // of the source's objects in the new file
	waiting []int       // source objects that are numbered but not written
	made    map[string]int
}

func newCopier(ctx context.Context, doc *Document, w *cos.Writer) *copier {
	return &copier{ctx: ctx, doc: doc, src: doc.file, w: w, numbers: map[int]int{}, made: map[string]int{}}
}

// number is what a source object is called in the new file; the first
// mention queues it for copying.
func (c *copier) number(r cos.Ref) int {
	if r.Gen < 0 {
		return r.Num // made for the new file: see here
	}
	n, ok := c.numbers[r.Num]
	if !ok {
		n = c.w.Reserve()
		c.numbers[r.Num] = n
		c.waiting = append(c.waiting, r.Num)
	}
	return n
}

// here marks a number of the new file among references to the source.
func here(num int) cos.Ref { return cos.Ref{Num: num, Gen: -1} }

// finish copies what was mentioned, and what that mentions.
func (c *copier) finish() error {
	for len(c.waiting) > 0 {
		if err := c.ctx.Err(); err != nil {
			return err
		}
		num := c.waiting[len(c.waiting)-1]
		c.waiting = c.waiting[:len(c.waiting)-1]
		if err := c.object(num, c.numbers[num]); err != nil {
			return err
		}
	}
	return nil
}

// object copies one indirect object.
func (c *copier) object(num, to int) error {
	switch o := c.src.Get(num).(type) {
	case *cos.Stream:
		d, err := c.streamDict(o)
		if err != nil {
			return err
		}
		return c.w.PutStream(to, d, c.src, o, c.number)
	case *cos.Dict:
		switch o.Get("Type") {
		case cos.Name("Page"), cos.Name("Pages"), cos.Name("Catalog"), cos.Name("StructTreeRoot"), cos.Name("StructElem"):
			c.w.Put(to, nil, c.number) // leads to the whole book and is never drawn
			return nil
		}
		c.w.Put(to, o, c.number)
	case cos.Ref:
		c.w.Put(to, c.src.Resolve(o), c.number)
	default:
		c.w.Put(to, o, c.number)
	}
	return nil
}

// shared writes an object once, however often it is made.
func (c *copier) shared(o cos.Object) int {
	key := string(cos.Append(nil, o, c.number))
	n, ok := c.made[key]
	if !ok {
		n = c.w.Reserve()
		c.made[key] = n
		c.w.Put(n, o, c.number)
	}
	return n
}

// mark is something that is drawn of a page: a form, and the matrix from its
// page's upright visible box in points.
type mark struct {
	object int
	matrix reorder.Matrix
}

// aside are keys that say nothing about the looks of an object.
var aside = []cos.Name{"Metadata", "PieceInfo", "StructParent", "StructParents", "LastModified", "Length"}

// streamDict is the dictionary of a copied stream.
func (c *copier) streamDict(s *cos.Stream) (*cos.Dict, error) {
	d := s.Dict.Without(aside...)
	drawn := d.Get("Subtype") == cos.Name("Form") || d.Get("PatternType") == cos.Int(1)
	if !drawn {
		return d, nil
	}
	resources, ok := c.src.Resolve(d.Get("Resources")).(*cos.Dict)
	if !ok {
		return d, nil
	}
	data, err := c.src.Decode(s, maxContent)
	if err != nil {
		return d, nil
	}
	d.Set("Resources", c.prune(resources, data))
	return d, nil
}

func (c *copier) layers() cos.Object { return nil }
