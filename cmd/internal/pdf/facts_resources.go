package pdf

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strings"

	"foldwright/cmd/internal/pdf/cos"
)

// FontFact is a font that pages of the source name.
type FontFact struct {
	Name     string // without the prefix of a subset
	Kind     string // Type1, TrueType, Type0, Type3 or what the source says
	Embedded bool   // the letters' shapes are in the file
	Pages    []int  // in rising order
}

// Contents is what the pages of a source hold, found by looking through their
// resources, not by drawing.
type Contents struct {
	Fonts    []FontFact // by name
	Pictures []int      // pages whose resources hold pictures, in rising order
}

// held is what one resources dictionary holds, with all below it.
type held struct {
	fonts    map[fontKey]bool
	pictures bool
}

type fontKey struct {
	name, kind string
	embedded   bool
}

// Contents looks through the resources of all pages. Fonts of one name and kind are one.
func (s *Sequence) Contents(ctx context.Context) (c Contents, err error) {
	pages := map[fontKey][]int{}
	s.each(func(d *Document, before int) {
		if err == nil {
			err = d.collect(ctx, before, &c, pages)
		}
	})
	if err != nil {
		return Contents{}, err
	}
	for f, p := range pages {
		c.Fonts = append(c.Fonts, FontFact{f.name, f.kind, f.embedded, p})
	}
	slices.SortFunc(c.Fonts, func(a, b FontFact) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Pages[0], b.Pages[0]))
	})
	return c, nil
}

// collect notes what the document's pages hold, which are counted on from those before it.
func (d *Document) collect(ctx context.Context, before int, c *Contents, pages map[fontKey][]int) (err error) {
	defer nameFile(&err, d.path)
	known := map[int]held{} // by object number of shared resources
	for i, n := range d.tree {
		if err := ctx.Err(); err != nil {
			return err
		}
		h := d.heldBy(n.resources, 0, known, 0)
		if h.pictures {
			c.Pictures = append(c.Pictures, before+i+1)
		}
		if err := d.file.Spend(int64(len(h.fonts)) * factCost); err != nil {
			return err
		}
		for f := range h.fonts {
			pages[f] = append(pages[f], before+i+1)
		}
	}
	return d.Err()
}

// factCost is what it costs to note that a page has a font.
const factCost = 32

// heldBy looks through resources and the forms and patterns among them. Each is looked through once: what is
// known goes by the number of the resources' object or, where they are none, of what they belong to.
func (d *Document) heldBy(o cos.Object, owner int, known map[int]held, level int) (h held) {
	if ref, shared := o.(cos.Ref); shared {
		owner = ref.Num
	}
	if owner > 0 {
		if h, ok := known[owner]; ok {
			return h
		}
		known[owner] = held{} // a loop ends here
		defer func() { known[owner] = h }()
	}
	f := d.file
	resources := f.Dict(o)
	h.fonts = map[fontKey]bool{}
	for _, e := range f.Dict(resources.Get("Font")).All() {
		if font := f.Dict(e.Value); font != nil {
			h.fonts[d.fontKey(font)] = true
		}
	}
	for _, category := range []cos.Name{"XObject", "Pattern"} {
		for _, e := range f.Dict(resources.Get(category)).All() {
			s := f.Stream(e.Value)
			switch {
			case s == nil:
			case f.Name(s.Dict.Get("Subtype")) == "Image":
				h.pictures = true
			case level < maxNesting && s.Dict.Get("Resources") != nil:
				below := d.heldBy(s.Dict.Get("Resources"), s.Ref.Num, known, level+1)
				maps.Copy(h.fonts, below.fonts)
				h.pictures = h.pictures || below.pictures
			}
		}
	}
	return h
}

// fontKey tells whether a font's shapes are in the file: in its descriptor, in
// that of the font below a composite one, or drawn by a Type 3 font itself.
func (d *Document) fontKey(font *cos.Dict) fontKey {
	f := d.file
	kind, name := string(f.Name(font.Get("Subtype"))), string(f.Name(font.Get("BaseFont")))
	if before, rest, ok := strings.Cut(name, "+"); ok && len(before) == 6 {
		name = rest
	}
	key := fontKey{cmp.Or(name, "without a name"), kind, kind == "Type3"}
	below := font
	if list := f.Array(font.Get("DescendantFonts")); len(list) > 0 {
		below = f.Dict(list[0])
	}
	descriptor := f.Dict(below.Get("FontDescriptor"))
	for _, file := range []cos.Name{"FontFile", "FontFile2", "FontFile3"} {
		key.embedded = key.embedded || f.Stream(descriptor.Get(file)) != nil
	}
	return key
}
