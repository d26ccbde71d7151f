package pdf

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"foldwright/cmd/internal/pdf/cos"
)

// names are the names that a content mentions; nil stands for all names.
type names map[cos.Name]bool

// named are the entries of a dictionary whose keys are among the names, in the
// order of the file. Books whose pages share one dictionary of all
// their pictures would take time by the square of their pages, so such a
// dictionary is looked through once.
func (c *copier) named(d *cos.Dict, used names) []cos.Entry {
	if used == nil {
		return d.Entries
	}
	if len(d.Entries) <= 4*len(used) {
		return slices.DeleteFunc(slices.Clone(d.Entries), func(e cos.Entry) bool { return !used[e.Key] })
	}
	places, ok := c.places[d]
	if !ok {
		places = make(map[cos.Name]int, len(d.Entries))
		for i, e := range d.Entries {
			places[e.Key] = i
		}
		c.places[d] = places
	}
	var found []int
	for name := range used {
		if i, ok := places[name]; ok {
			found = append(found, i)
		}
	}
	slices.Sort(found)
	var out []cos.Entry
	for _, at := range found {
		out = append(out, d.Entries[at])
	}
	return out
}

// byName are the resource categories that content picks from by name (ISO
// 32000-1, table 33).
var byName = []cos.Name{"ExtGState", "ColorSpace", "Pattern", "Shading", "XObject", "Font", "Properties"}

// silent are colour spaces that are used without being named (ISO 32000-1, 8.6.5.6).
var silent = names{"DefaultGray": true, "DefaultRGB": true, "DefaultCMYK": true}

// prune is the resources less what the content doesn't name. What has to make do
// with these resources for want of its own gets a copy of what it needs.
func (c *copier) prune(resources *cos.Dict, used names) *cos.Dict {
	return c.pruneAt(resources, resources, used, 0)
}

// pruneAt is prune for content below the page's whose resources are given as well.
func (c *copier) pruneAt(resources, page *cos.Dict, used names, level int) *cos.Dict {
	out := &cos.Dict{}
	for _, category := range byName {
		d := c.src.Dict(resources.Get(category))
		if d == nil {
			continue
		}
		wanted := used
		if category == "ColorSpace" && used != nil {
			wanted = maps.Clone(used)
			maps.Copy(wanted, silent)
		}
		kept := &cos.Dict{}
		for _, e := range c.named(d, wanted) {
			switch category {
			case "XObject", "Pattern", "Font":
				e.Value = c.adopt(e.Value, resources, page, level)
			case "ExtGState":
				e.Value = c.adoptMask(e.Value, resources, page, level)
			case "Properties":
				e.Value = c.layerOnly(e.Value)
			}
			kept.Entries = append(kept.Entries, e)
		}
		if len(kept.Entries) > 0 {
			out.Set(category, kept)
		}
	}
	return out
}

// layerOnly empties a property list that isn't a layer: it is for readers of
// text, and often leads to the whole structure of the book.
func (c *copier) layerOnly(o cos.Object) cos.Object {
	if kind := c.src.Dict(o).Get("Type"); kind == cos.Name("OCG") || kind == cos.Name("OCMD") {
		return o
	}
	return &cos.Dict{}
}

// namesOf are the names in a stream; all names if it can't be unpacked to its end.
func (c *copier) namesOf(s *cos.Stream) names {
	n, ok := c.spoken[s.Ref]
	if ok {
		return n
	}
	if data, err := c.src.Decode(s, maxContent); err == nil {
		n = cos.Mentioned(data)
	}
	c.spoken[s.Ref] = n
	return n
}

// namesOfGlyphs are the names in the glyphs of a Type 3 font.
func (c *copier) namesOfGlyphs(font *cos.Dict) names {
	used := names{}
	for _, g := range c.src.Dict(font.Get("CharProcs")).All() {
		if s := c.src.Stream(g.Value); s != nil {
			maps.Copy(used, c.namesOf(s))
		}
	}
	return used
}

// variant writes a stream with other entries in its dictionary: under a number that is
// reserved for it, or once for each such dictionary.
func (c *copier) variant(o cos.Object, s *cos.Stream, reserved int, entries ...cos.Entry) cos.Object {
	d := s.Dict.Without(aside...)
	c.unlockFilters(d)
	for _, e := range entries {
		d.Set(e.Key, e.Value)
	}
	n := reserved
	if n == 0 {
		key := "variant " + strconv.Itoa(s.Ref.Num) + string(cos.Append(nil, d, c.number))
		made, ok := c.made[key]
		if ok {
			return here(made)
		}
		n = c.w.Reserve()
		c.made[key] = n
	}
	const perStream = 1 << 10 // for its dictionary
	if c.src.Spend(perStream+s.Len()) != nil {
		return o
	}
	if err := c.w.PutStream(n, d, c.src, s, c.number); err != nil {
		return o
	}
	return here(n)
}

// warnOfLack warns that something which belongs to the page in work is missing: it would be blank, or lack
// something, in silence.
func (c *copier) warnOfLack(what string) {
	if c.src.Err() == nil { // else everything is missing
		c.src.Warn(fmt.Sprintf("page %d: %s is missing from the file", c.at, what))
	}
}

// kinds are what the resources of a category are called.
var kinds = map[cos.Name]string{"XObject": "a picture or drawing", "Font": "a font", "Pattern": "a pattern", "Shading": "a shading"}

// warnOfGaps warns of resources that a page's content names and the file doesn't have.
func (c *copier) warnOfGaps(resources *cos.Dict, used names, content *cos.Stream) {
	for _, category := range byName {
		gaps := c.gapsIn(c.src.Dict(resources.Get(category)))
		if len(gaps) > 0 && used == nil {
			used = c.namesOf(content)
		}
		for _, gap := range gaps {
			if used != nil && !used[gap.Key] {
				continue
			}
			if ref, ok := gap.Value.(cos.Ref); ok {
				c.told[ref.Num] = true
			}
			c.warnOfLack(cmp.Or(kinds[category], "something") + " that it uses")
		}
	}
}

// gapsIn are the entries of a dictionary that lead to no object, looked for once: a book's pages can share
// a large one.
func (c *copier) gapsIn(d *cos.Dict) []cos.Entry {
	gaps, ok := c.gaps[d]
	if !ok {
		for _, e := range d.All() {
			if ref, isRef := e.Value.(cos.Ref); isRef && !c.src.Has(ref.Num) {
				gaps = append(gaps, e)
			}
		}
		c.gaps[d] = gaps
	}
	return gaps
}
