package pdf

import (
	"math"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

// PageContent is what a page's operators say of what it shows (ISO 32000-1, 8.9 and 9.2 to 9.4).
type PageContent struct {
	// Type counts the letters by the size of their type, in points to a tenth as the page is shown.
	Type map[float64]int
	// Pictures are those made of pixels, in the order in which they are drawn; those that stand within the
	// content itself, which are small, are left out.
	Pictures []Picture
}

// Picture is a picture, made of pixels, on a page.
type Picture struct {
	Size          geom.Size // of the rectangle around it on the page as it is shown, in mm
	Width, Height int       // pixels
	// PerMM is how many pixels lie on a millimetre of the page, along the
	// direction in which they are fewer.
	PerMM float64
}

// Content follows the operators of a page. What cannot be read of it shows nothing.
func (d *Document) Content(page int) (c PageContent, err error) {
	defer nameFile(&err, d.path)
	n := d.tree[page-1]
	fr, err := n.frame(d.file)
	if err != nil {
		return c, err
	}
	r := contentReader{file: d.file, PageContent: PageContent{Type: map[float64]int{}}}
	var content []byte
	for _, o := range d.file.List(n.dict.Get("Contents")) {
		if s := d.file.Stream(o); s != nil {
			part, _ := d.file.Decode(s, maxContent-int64(len(content))) // what can't be unpacked has no letters
			content = append(append(content, part...), '\n')
		}
	}
	r.read(content, d.file.Dict(n.resources), fr.upright(), 0)
	return r.PageContent, d.file.Err()
}

// contentReader collects what content shows.
type contentReader struct {
	PageContent
	file *cos.File
}

// setting is how letters are set: what q saves and Q brings back.
type setting struct {
	user  geom.Matrix // from user space to the page's points
	size  float64
	bytes int     // of a letter
	high  float64 // of a letter at a size of 1
}

// read follows content, drawn with a matrix from its space to the page's.
func (r *contentReader) read(content []byte, resources *cos.Dict, m geom.Matrix, level int) {
	const cost = 4 // of a byte
	if level > maxNesting || r.file.Spend(cost*int64(len(content))) != nil {
		return
	}
	now := setting{user: m, bytes: 1, high: 1}
	var saved []setting
	text := geom.Identity
	cos.EachOperator(content, func(operator string, operands []cos.Object) {
		switch operator {
		case "q":
			if len(saved) < 1<<10 {
				saved = append(saved, now)
			}
		case "Q":
			if n := len(saved); n > 0 {
				now, saved = saved[n-1], saved[:n-1]
			}
		case "cm":
			if by, ok := readMatrix(r.file, cos.Array(operands)); ok {
				now.user = by.Then(now.user)
			}
		case "BT":
			text = geom.Identity
		case "Tm":
			if by, ok := readMatrix(r.file, cos.Array(operands)); ok {
				text = by
			}
		case "Tf":
			if len(operands) == 2 {
				name, _ := operands[0].(cos.Name)
				now.size = r.file.Number(operands[1], 0)
				now.bytes, now.high = r.font(r.file.Dict(r.file.Dict(resources.Get("Font")).Get(name)))
			}
		case "Tj", "'", "\"", "TJ":
			r.countLetters(operands, now, text)
		case "Do":
			if len(operands) == 1 {
				name, _ := operands[0].(cos.Name)
				r.lookAt(r.file.Dict(resources.Get("XObject")).Get(name), resources, now.user, level)
			}
		}
	})
}

// font is how many bytes a letter of a font takes, and how high it is at a size of 1.
func (r *contentReader) font(font *cos.Dict) (bytes int, high float64) {
	switch r.file.Name(font.Get("Subtype")) {
	case "Type0":
		return 2, 1
	case "Type3":
		// Letters that a font draws itself are as high as 1000 of its units, as in other fonts, or as its box.
		m, _ := readMatrix(r.file, font.Get("FontMatrix"))
		height := math.Abs(m[3]) * 1000
		if box, ok := readBox(r.file, font.Get("FontBBox")); ok && (height < 0.5 || height > 2) {
			height = math.Abs(m[3]) * box.Size().H
		}
		return 1, height
	}
	return 1, 1
}

// countLetters counts what is shown, blanks left out.
func (r *contentReader) countLetters(operands []cos.Object, now setting, text geom.Matrix) {
	m := text.Then(now.user)
	pt := math.Round(math.Abs(now.size)*now.high*math.Hypot(m[2], m[3])*10) / 10
	var shown func(o cos.Object)
	shown = func(o cos.Object) {
		switch v := o.(type) {
		case cos.Array:
			for _, e := range v {
				shown(e)
			}
		case cos.String:
			n := len(v) / now.bytes
			for i := range len(v) {
				if now.bytes == 1 && v[i] <= ' ' {
					n--
				}
			}
			if n > 0 && pt > 0 {
				r.Type[pt] += n
			}
		}
	}
	shown(cos.Array(operands))
}

// lookAt looks at a picture, or reads a form, which without resources of its own has those of the content around it.
func (r *contentReader) lookAt(o cos.Object, resources *cos.Dict, m geom.Matrix, level int) {
	s := r.file.Stream(o)
	if s == nil {
		return
	}
	switch r.file.Name(s.Dict.Get("Subtype")) {
	case "Image":
		p := Picture{Width: int(r.file.Number(s.Dict.Get("Width"), 0)), Height: int(r.file.Number(s.Dict.Get("Height"), 0))}
		m = m.Then(geom.Enlarge(mmPerPoint))
		w, h := math.Hypot(m[0], m[1]), math.Hypot(m[2], m[3])
		if w > 0 && h > 0 && r.file.Spend(costOfPicture) == nil {
			p.Size, p.PerMM = m.Bounds(geom.Rect{X1: 1, Y1: 1}).Size(), min(float64(p.Width)/w, float64(p.Height)/h)
			r.Pictures = append(r.Pictures, p)
		}
	case "Form":
		if own := r.file.Dict(s.Dict.Get("Resources")); own != nil {
			resources = own
		}
		if by, ok := readMatrix(r.file, s.Dict.Get("Matrix")); ok {
			m = by.Then(m)
		}
		content, _ := r.file.Decode(s, maxContent)
		r.read(content, resources, m, level+1)
	}
}

// costOfPicture is what it costs to note a picture.
const costOfPicture = 64
