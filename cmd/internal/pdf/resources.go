package pdf

import (
	"bytes"
	"strconv"

	"foldwright/cmd/internal/pdf/cos"
)

// names are the names that a content mentions.
type names map[cos.Name]bool

// mention adds every name that stands in a content stream. It looks for slashes and nothing
// else: what merely looks like a name, in a string or in a picture's bytes, keeps a
// resource too many at worst; a name can't be missed.
func (n names) mention(content []byte) {
	for {
		i := bytes.IndexByte(content, '/')
		if i < 0 {
			return
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

// prune is the resources less what the content, and what is drawn by it with
// the same resources, doesn't name.
func (c *copier) prune(resources *cos.Dict, content []byte) *cos.Dict {
	n := names{}
	n.mention(content)
	c.follow(resources, n)
	out := &cos.Dict{}
	for _, category := range byName {
		d, ok := c.src.Resolve(resources.Get(category)).(*cos.Dict)
		if !ok {
			continue
		}
		kept := &cos.Dict{}
		for _, e := range d.Entries {
			if n[e.Key] || category == "ColorSpace" && silent[e.Key] {
				kept.Entries = append(kept.Entries, e)
			}
		}
		if len(kept.Entries) > 0 {
			out.Set(category, kept)
		}
	}
	return out
}

// follow adds the names that forms, patterns and fonts without resources of
// their own mention, and colour spaces that pictures name.
func (c *copier) follow(resources *cos.Dict, n names) {
	done := map[cos.Name]bool{}
	for again := true; again; {
		again = false
		for _, category := range []cos.Name{"XObject", "Pattern", "Font"} {
			d, _ := c.src.Resolve(resources.Get(category)).(*cos.Dict)
			if d == nil {
				continue
			}
			for _, e := range d.Entries {
				if !n[e.Key] || done[category+"/"+e.Key] {
					continue
				}
				done[category+"/"+e.Key] = true
				before := len(n)
				c.followOne(e.Value, n)
				again = again || len(n) > before
			}
		}
	}
}

func (c *copier) followOne(o cos.Object, n names) {
	switch v := c.src.Resolve(o).(type) {
	case *cos.Stream:
		if space, ok := c.src.Resolve(v.Dict.Get("ColorSpace")).(cos.Name); ok {
			n[space] = true
		}
		if v.Dict.Get("Subtype") == cos.Name("Image") || c.src.Resolve(v.Dict.Get("Resources")) != nil {
			return
		}
		if data, err := c.src.Decode(v, maxContent); err == nil || len(data) > 0 {
			n.mention(data)
		}
	case *cos.Dict:
		if v.Get("Subtype") != cos.Name("Type3") || c.src.Resolve(v.Get("Resources")) != nil {
			return
		}
		glyphs, ok := c.src.Resolve(v.Get("CharProcs")).(*cos.Dict)
		if !ok {
			return
		}
		for _, g := range glyphs.Entries {
			if s, ok := c.src.Resolve(g.Value).(*cos.Stream); ok {
				if data, err := c.src.Decode(s, maxContent); err == nil || len(data) > 0 {
					n.mention(data)
				}
			}
		}
	}
}
