package pdf

import (
	"cmp"
	"context"
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
	fonts    []fontKey
	pictures bool
}

type fontKey struct {
	name, kind string
	embedded   bool
}

func (k fontKey) compare(with fontKey) int {
	embedded := 0
	if k.embedded != with.embedded {
		embedded = 1
		if with.embedded {
			embedded = -1
		}
	}
	return cmp.Or(cmp.Compare(k.name, with.name), cmp.Compare(k.kind, with.kind), embedded)
}

// Contents looks through the resources of all pages.
func (d *Document) Contents(ctx context.Context) (c Contents, err error) {
	defer named(&err, d.path)
	known := map[int]held{} // by object number of shared resources
	pages := map[fontKey][]int{}
	for i, n := range d.tree {
		if err := ctx.Err(); err != nil {
			return Contents{}, err
		}
		h := d.heldBy(n.resources, known, 0)
		if h.pictures {
			c.Pictures = append(c.Pictures, i+1)
		}
		if err := d.file.Spend(int64(len(h.fonts)) * factCost); err != nil {
			return Contents{}, translate(err)
		}
		for _, f := range h.fonts {
			if p := pages[f]; len(p) == 0 || p[len(p)-1] != i+1 {
				pages[f] = append(p, i+1)
			}
		}
	}
	for f, p := range pages {
		c.Fonts = append(c.Fonts, FontFact{f.name, f.kind, f.embedded, p})
	}
	slices.SortFunc(c.Fonts, func(a, b FontFact) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Pages[0], b.Pages[0]))
	})
	return c, d.Err()
}

// factCost is what it costs to note that a page has a font.
const factCost = 32

// heldBy looks through resources and the forms and patterns among them.
func (d *Document) heldBy(o cos.Object, known map[int]held, level int) held {
	ref, shared := o.(cos.Ref)
	if shared {
		if h, ok := known[ref.Num]; ok {
			return h
		}
		known[ref.Num] = held{} // a loop ends here
	}
	var h held
	f := d.file
	resources, _ := f.Resolve(o).(*cos.Dict)
	fonts, _ := f.Resolve(resources.Get("Font")).(*cos.Dict)
	if fonts != nil {
		for _, e := range fonts.Entries {
			if font, ok := f.Resolve(e.Value).(*cos.Dict); ok {
				h.fonts = append(h.fonts, d.fontKey(font))
			}
		}
	}
	for _, category := range []cos.Name{"XObject", "Pattern"} {
		objects, _ := f.Resolve(resources.Get(category)).(*cos.Dict)
		if objects == nil {
			continue
		}
		for _, e := range objects.Entries {
			s, ok := f.Resolve(e.Value).(*cos.Stream)
			switch {
			case !ok:
			case f.Resolve(s.Dict.Get("Subtype")) == cos.Name("Image"):
				h.pictures = true
			case level < maxNesting && s.Dict.Get("Resources") != nil:
				below := d.heldBelow(s, known, level+1)
				h.fonts = append(h.fonts, below.fonts...)
				h.pictures = h.pictures || below.pictures
			}
		}
	}
	slices.SortFunc(h.fonts, fontKey.compare)
	h.fonts = slices.Compact(h.fonts)
	if shared {
		known[ref.Num] = h
	}
	return h
}

// heldBelow is held by a form or a pattern, which is looked through once even if its resources
// are no object of their own.
func (d *Document) heldBelow(s *cos.Stream, known map[int]held, level int) held {
	o := s.Dict.Get("Resources")
	if _, shared := o.(cos.Ref); shared || s.Ref.Num == 0 {
		return d.heldBy(o, known, level)
	}
	h, ok := known[s.Ref.Num]
	if !ok {
		known[s.Ref.Num] = held{} // a loop ends here
		h = d.heldBy(o, known, level)
		known[s.Ref.Num] = h
	}
	return h
}

// fontKey tells whether a font's shapes are in the file: in its descriptor, in
// that of the font below a composite one, or drawn by a Type 3 font itself.
func (d *Document) fontKey(font *cos.Dict) fontKey {
	f := d.file
	kind, _ := f.Resolve(font.Get("Subtype")).(cos.Name)
	name, _ := f.Resolve(font.Get("BaseFont")).(cos.Name)
	if before, rest, ok := strings.Cut(string(name), "+"); ok && len(before) == 6 {
		name = cos.Name(rest)
	}
	if name == "" {
		name = "without a name"
	}
	key := fontKey{string(name), string(kind), kind == "Type3"}
	below := font
	if list, ok := f.Resolve(font.Get("DescendantFonts")).(cos.Array); ok && len(list) > 0 {
		below, _ = f.Resolve(list[0]).(*cos.Dict)
	}
	descriptor, _ := f.Resolve(below.Get("FontDescriptor")).(*cos.Dict)
	for _, file := range []cos.Name{"FontFile", "FontFile2", "FontFile3"} {
		if _, ok := f.Resolve(descriptor.Get(file)).(*cos.Stream); ok {
			key.embedded = true
		}
	}
	return key
}
