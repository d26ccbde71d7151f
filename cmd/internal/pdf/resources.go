package pdf

import (
	"bytes"
	"maps"
	"slices"
	"strconv"

	"foldwright/cmd/internal/pdf/cos"
)

// names are the names that a content mentions; nil stands for all names.
type names map[cos.Name]bool

// maxNames is how many are told apart.
const maxNames = 1 << 17

// mentioned are the names that stand in a content stream. It looks for slashes and nothing
// else: what merely looks like a name, in a string or in a picture's bytes, keeps a
// resource too many at worst; a name can't be missed.
func mentioned(content []byte) names {
	n := names{}
	for {
		i := bytes.IndexByte(content, '/')
		if i < 0 {
			return n
		}
		if len(n) > maxNames {
			return nil
		}
		content = content[i+1:]
		end, escaped := 0, false
		for end < len(content) && !endsName[content[end]] {
			escaped = escaped || content[end] == '#'
			end++
		}
		if escaped {
			n[unescape(content[:end])] = true
		} else if !n[cos.Name(content[:end])] {
			n[cos.Name(content[:end])] = true
		}
		content = content[end:]
	}
}

// and are these names and others.
func (n names) and(others names) names {
	if n == nil || len(others) == 0 {
		return n
	}
	out := maps.Clone(n)
	maps.Copy(out, others)
	return out
}

// named are the entries of a dictionary whose keys are among the names, in the
// order of the file. Books whose pages share one dictionary of all
// their pictures would take time by the square of their pages, so such a
// dictionary is looked through once.
func (c *copier) named(d *cos.Dict, used names) []cos.Entry {
	if used == nil {
		return d.Entries
	}
	if len(d.Entries) <= 4*len(used) {
		var out []cos.Entry
		for _, e := range d.Entries {
			if used[e.Key] {
				out = append(out, e)
			}
		}
		return out
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
	out := make([]cos.Entry, len(found))
	for i, at := range found {
		out[i] = d.Entries[at]
	}
	return out
}

var endsName = func() (t [256]bool) {
	for _, c := range []byte("\x00\t\n\f\r ()<>[]{}/%") {
		t[c] = true
	}
	return t
}()

func unescape(b []byte) cos.Name {
	var out []byte
	for i := 0; i < len(b); i++ {
		if b[i] == '#' && i+2 < len(b) {
			if v, err := strconv.ParseUint(string(b[i+1:i+3]), 16, 8); err == nil {
				out = append(out, byte(v))
				i += 2
				continue
			}
		}
		out = append(out, b[i])
	}
	return cos.Name(out)
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
		d, ok := c.src.Resolve(resources.Get(category)).(*cos.Dict)
		if !ok {
			continue
		}
		wanted := used
		if category == "ColorSpace" {
			wanted = used.and(silent)
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
	d, _ := c.src.Resolve(o).(*cos.Dict)
	switch d.Get("Type") {
	case cos.Name("OCG"), cos.Name("OCMD"):
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
		n = mentioned(data)
	}
	c.spoken[s.Ref] = n
	return n
}

// namesOfGlyphs are the names in the glyphs of a Type 3 font.
func (c *copier) namesOfGlyphs(font *cos.Dict) names {
	used := names{}
	glyphs, _ := c.src.Resolve(font.Get("CharProcs")).(*cos.Dict)
	if glyphs == nil {
		return used
	}
	for _, g := range glyphs.Entries {
		if s, ok := c.src.Resolve(g.Value).(*cos.Stream); ok {
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
