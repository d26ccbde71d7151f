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

// maxNesting is how deeply forms without resources of their own may nest.
const maxNesting = 12

// prune is the resources less what the content doesn't name. What has to make do
// with these resources for want of its own gets a copy of what it needs.
func (c *copier) prune(resources *cos.Dict, used names) *cos.Dict {
	return c.pruneAt(resources, used, 0)
}

func (c *copier) pruneAt(resources *cos.Dict, used names, level int) *cos.Dict {
	out := &cos.Dict{}
	spaces := names{}
	if d, ok := c.src.Resolve(resources.Get("XObject")).(*cos.Dict); ok {
		for _, e := range c.named(d, used) {
			if s, ok := c.src.Resolve(e.Value).(*cos.Stream); ok {
				if space, ok := c.src.Resolve(s.Dict.Get("ColorSpace")).(cos.Name); ok {
					spaces[space] = true
				}
			}
		}
	}
	for _, category := range byName {
		d, ok := c.src.Resolve(resources.Get(category)).(*cos.Dict)
		if !ok {
			continue
		}
		wanted := used
		if category == "ColorSpace" {
			wanted = used.and(silent).and(spaces)
		}
		kept := &cos.Dict{}
		for _, e := range c.named(d, wanted) {
			switch category {
			case "XObject", "Pattern", "Font":
				e.Value = c.adopt(e.Value, resources, level)
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

// adopt gives a form, pattern or Type 3 font without Resources a copy of those
// of the content that draws it, for the old rule that it uses its page's (ISO 32000-1, table 95)
// is understood differently by every reader once the page is a form itself.
func (c *copier) adopt(o cos.Object, resources *cos.Dict, level int) cos.Object {
	if level >= maxNesting {
		return o
	}
	switch v := c.src.Resolve(o).(type) {
	case *cos.Stream:
		if v.Dict.Get("Subtype") == cos.Name("Image") || v.Dict.Get("PatternType") == cos.Int(2) || c.src.Resolve(v.Dict.Get("Resources")) != nil {
			return o
		}
		own := c.pruneAt(resources, c.namesOf(v), level+1)
		if len(own.Entries) == 0 {
			return o
		}
		d := v.Dict.Without(aside...)
		d.Set("Resources", own)
		return c.variant(o, d, v)
	case *cos.Dict:
		if v.Get("Subtype") != cos.Name("Type3") || c.src.Resolve(v.Get("Resources")) != nil {
			return o
		}
		used := names{}
		glyphs, _ := c.src.Resolve(v.Get("CharProcs")).(*cos.Dict)
		if glyphs == nil {
			return o
		}
		for _, g := range glyphs.Entries {
			if s, ok := c.src.Resolve(g.Value).(*cos.Stream); ok {
				for name := range c.namesOf(s) {
					used[name] = true
				}
			}
		}
		own := c.pruneAt(resources, used, level+1)
		if len(own.Entries) == 0 {
			return o
		}
		d := v.Without(aside...)
		d.Set("Resources", own)
		return here(c.shared(d))
	}
	return o
}

// namesOf are the names in a stream; all names if it can't be unpacked to its end.
func (c *copier) namesOf(s *cos.Stream) names {
	data, err := c.src.Decode(s, maxContent)
	if err != nil {
		return nil
	}
	return mentioned(data)
}

// variant writes a stream with another dictionary, once for each such dictionary.
func (c *copier) variant(o cos.Object, d *cos.Dict, s *cos.Stream) cos.Object {
	key := "variant " + strconv.Itoa(s.Ref.Num) + string(cos.Append(nil, d, c.number))
	n, ok := c.made[key]
	if !ok {
		n = c.w.Reserve()
		c.made[key] = n
		if err := c.w.PutStream(n, d, c.src, s, c.number); err != nil {
			return o
		}
	}
	return here(n)
}
