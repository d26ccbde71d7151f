package pdf

import (
	"context"
	"slices"

	"foldwright/cmd/internal/pdf/cos"
)

// copier brings objects of the source into one print file, each once.
type copier struct {
	ctx     context.Context
	doc     *Document
	src     *cos.File
	w       *cos.Writer
	numbers map[int]int                    // of the source's objects in the new file
	waiting []int                          // source objects that are numbered but not written
	places  map[*cos.Dict]map[cos.Name]int // of the keys in large dictionaries of resources
	made    map[string]int                 // objects made for the new file, by what they say
	spoken  map[cos.Ref]names              // in streams of the source
	lent    map[lending]*lent              // what lacks resources of its own, on the page in work
	blended map[int]bool                   // whether a form of the source has blend modes
	groups  []group                        // optional content groups, in the order of their mention
	at      int                            // the page in work
	gaps    map[*cos.Dict][]cos.Entry      // those in dictionaries of resources that lead to nothing
	told    map[int]bool                   // missing objects that have been warned of by what they are
}

func newCopier(ctx context.Context, doc *Document, w *cos.Writer) *copier {
	doc.file.AllowAnother()
	return &copier{ctx: ctx, doc: doc, src: doc.file, w: w, numbers: map[int]int{}, places: map[*cos.Dict]map[cos.Name]int{}, made: map[string]int{}, spoken: map[cos.Ref]names{}, lent: map[lending]*lent{}, blended: map[int]bool{}, gaps: map[*cos.Dict][]cos.Entry{}, told: map[int]bool{}}
}

// here marks a number of the new file among references to the source.
func here(num int) cos.Ref { return cos.Ref{Num: num, Gen: -1} }

// number is what an object is called in the new file; the first
// mention of an object of the source queues it for copying.
func (c *copier) number(r cos.Ref) int {
	if r.Gen < 0 {
		return r.Num
	}
	n, ok := c.numbers[r.Num]
	if !ok {
		n = c.w.Reserve()
		c.numbers[r.Num] = n
		c.waiting = append(c.waiting, r.Num)
	}
	return n
}

// finish copies what was mentioned, and what that mentions.
func (c *copier) finish() error {
	for len(c.waiting) > 0 {
		if err := c.ctx.Err(); err != nil {
			return err
		}
		num := c.waiting[len(c.waiting)-1]
		c.waiting = c.waiting[:len(c.waiting)-1]
		if err := c.copyObject(num, c.numbers[num]); err != nil {
			return err
		}
	}
	return nil
}

// copyObject copies one indirect object.
func (c *copier) copyObject(num, to int) error {
	o := c.src.Resolve(c.src.Get(num))
	d, ok := o.(*cos.Dict)
	if s, isStream := o.(*cos.Stream); isStream {
		return c.w.PutStream(to, c.streamDict(s), c.src, s, c.number)
	}
	if !ok {
		if o == nil && !c.told[num] {
			c.warnOfLack("something that it draws")
		}
		c.w.Put(to, o, c.number)
		return nil
	}
	switch d.Get("Type") {
	case cos.Name("Page"), cos.Name("Pages"), cos.Name("Catalog"), cos.Name("StructTreeRoot"), cos.Name("StructElem"):
		o = nil // leads to the whole book and is never drawn
	case cos.Name("OCG"):
		o = c.group(num, to, d)
	}
	c.w.Put(to, o, c.number)
	return nil
}

// writeOnce writes an object once, however often it is made.
func (c *copier) writeOnce(o cos.Object) int {
	key := string(cos.Append(nil, o, c.number))
	_ = c.src.Spend(int64(len(key))) // over it, page is an error
	n, ok := c.made[key]
	if !ok {
		n = c.w.Reserve()
		c.made[key] = n
		c.w.Put(n, o, c.number)
	}
	return n
}

// aside are keys that say nothing about the looks of an object.
var aside = []cos.Name{"Metadata", "PieceInfo", "StructParent", "StructParents", "LastModified", "Length"}

// streamDict is the dictionary of a copied stream.
func (c *copier) streamDict(s *cos.Stream) *cos.Dict {
	d := s.Dict.Without(aside...)
	c.unlockFilters(d)
	if d.Get("Subtype") != cos.Name("Form") && d.Get("PatternType") != cos.Int(1) {
		return d
	}
	if resources := c.src.Dict(d.Get("Resources")); resources != nil {
		d.Set("Resources", c.prune(resources, c.namesOf(s)))
	}
	return d
}

// unlockFilters takes the Crypt filter away from a stream that is written decrypted.
func (c *copier) unlockFilters(d *cos.Dict) {
	if !c.src.Encrypted() {
		return
	}
	filters, ok := c.src.Resolve(d.Get("Filter")).(cos.Array)
	if !ok {
		if c.src.Name(d.Get("Filter")) == "Crypt" {
			*d = *d.Without("Filter", "DecodeParms")
		}
		return
	}
	i := slices.IndexFunc(filters, func(o cos.Object) bool { return c.src.Name(o) == "Crypt" })
	if i < 0 {
		return
	}
	d.Set("Filter", slices.Delete(slices.Clone(filters), i, i+1))
	if parms := c.src.Array(d.Get("DecodeParms")); i < len(parms) {
		d.Set("DecodeParms", slices.Delete(slices.Clone(parms), i, i+1))
	}
}
