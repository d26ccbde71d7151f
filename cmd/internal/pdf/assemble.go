package pdf

import (
	"cmp"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

// assembly is a print file on its way out.
type assembly struct {
	ctx   context.Context
	doc   *Document // of pages that name no other; nil: none
	w     *cos.Writer
	from  []*copier      // of the documents that pages come from, in the order of their first use
	fonts [lastFont]int  // numbers of the font objects; 0: not used so far
	id    []byte         // grows into what the file's ID is made from
	made  map[string]int // streams that sides show, by their content
}

// write assembles a file from its first page to its trailer. An object gets its
// number when it is first needed, in the order of the sides, so the same
// input gives the same bytes.
func write(ctx context.Context, out io.Writer, doc *Document, f PrintFile) error {
	if !(f.Paper.W > 0 && f.Paper.H > 0) || math.IsInf(f.Paper.W+f.Paper.H, 0) {
		return ErrPaper
	}
	a := &assembly{ctx: ctx, doc: doc, w: cos.NewWriter(out), made: map[string]int{}}
	catalog, pages := a.w.Reserve(), a.w.Reserve()
	kids := make(cos.Array, 0, len(f.Sides))
	for _, side := range f.Sides {
		if err := ctx.Err(); err != nil {
			return err
		}
		page, err := a.side(side, cmp.Or(side.paper, f.Paper), pages)
		if err != nil {
			return err
		}
		kids = append(kids, cos.Ref{Num: page})
	}
	a.w.Put(pages, cos.NewDict("Type", "Pages", "Kids", kids, "Count", cos.Int(len(kids))), own)
	root := cos.NewDict("Type", "Catalog", "Pages", cos.Ref{Num: pages}, "ViewerPreferences", preferences(f))
	if layers := layers(a.from); layers != nil {
		root.Set("OCProperties", layers)
	}
	a.w.Put(catalog, root, own)
	info := a.put(a.info(f))
	return a.w.Close(cos.NewDict("Root", cos.Ref{Num: catalog}, "Info", cos.Ref{Num: info}, "ID", a.identity(f)), own)
}

// own is for objects that refer to numbers of the new file already.
func own(r cos.Ref) int { return r.Num }

func preferences(f PrintFile) *cos.Dict {
	d := cos.NewDict("PrintScaling", "None", "PickTrayByPDFSize", true)
	if name := duplexes[f.Duplex].name; name != "" {
		d.Set("Duplex", cos.Name(name))
	}
	if f.Title != "" {
		d.Set("DisplayDocTitle", true)
	}
	return d
}

// producer marks files as written by this program.
const producer = "foldwright"

// info takes the source's dates, so that they don't depend on the day of the run.
func (a *assembly) info(f PrintFile) *cos.Dict {
	d := cos.NewDict("Producer", cos.String(producer))
	if f.Title != "" {
		d.Set("Title", textString(f.Title))
	}
	if a.doc != nil {
		for _, key := range []cos.Name{"CreationDate", "ModDate"} {
			if s := a.doc.file.Text(a.doc.infoDict().Get(key)); len(s) < 30 && strings.HasPrefix(string(s), "D:") {
				d.Set(key, s)
			}
		}
	}
	return d
}

// identity is made from the source and from what is shown of it.
func (a *assembly) identity(f PrintFile) cos.Array {
	h := sha256.New()
	fmt.Fprintf(h, "%v %q %v %d\n", f.Paper, f.Title, f.Duplex, len(f.Sides))
	h.Write(a.id)
	if a.doc == nil {
		for _, c := range a.from {
			h.Write([]byte(c.doc.SHA256()))
		}
		this := cos.String(h.Sum(nil)[:16])
		return cos.Array{this, this}
	}
	source := sha256.Sum256([]byte(a.doc.SHA256()))
	h.Write(source[:])
	return cos.Array{cos.String(source[:16]), cos.String(h.Sum(nil)[:16])}
}

// side writes a page of the print file and returns its number.
func (a *assembly) side(s Side, paper geom.Size, parent int) (int, error) {
	var content []byte
	objects, fonts := &cos.Dict{}, &cos.Dict{}
	for i, p := range s.Pages {
		if p.From == nil {
			p.From = a.doc
		}
		if p.From == nil {
			return 0, ErrSourcePage
		}
		var err error
		if content, err = a.place(content, objects, p, "P"+strconv.Itoa(i+1)); err != nil {
			return 0, err
		}
	}
	for i, r := range s.Rasters {
		var err error
		if content, err = a.placeRaster(content, objects, r, "R"+strconv.Itoa(i+1)); err != nil {
			return 0, err
		}
	}
	content = s.Drawing.appendTo(content)
	for f := Helvetica; f < lastFont; f++ {
		if s.Drawing.fonts[f] || s.Name.fonts[f] {
			fonts.Set(cos.Name(fontNames[f].key), cos.Ref{Num: a.font(f)})
		}
	}
	resources := &cos.Dict{}
	if len(objects.Entries) > 0 {
		resources.Set("XObject", objects)
	}
	if len(fonts.Entries) > 0 {
		resources.Set("Font", fonts)
	}
	contents := a.contents(content, s.Name.appendTo(nil))
	whole := geom.Rect{X1: paper.W * pointsPerMM, Y1: paper.H * pointsPerMM}
	d := cos.NewDict("Type", "Page", "Parent", cos.Ref{Num: parent}, "MediaBox", corners(whole), "Resources", resources)
	if len(contents) > 0 {
		d.Set("Contents", contents)
	}
	return a.put(d), a.w.Err()
}

// longContent is how many bytes of a side's own content are packed: those of
// drawings, which packing makes much shorter. A side that only places pages stays
// as it can be read.
const longContent = 4096

// contents writes what a side shows, each part once, however many sides show
// it: most sides of a book differ in their name and the pages' objects only.
func (a *assembly) contents(parts ...[]byte) (out cos.Array) {
	for _, content := range parts {
		if len(content) == 0 {
			continue
		}
		a.id = append(a.id, content...)
		num, ok := a.made[string(content)]
		if !ok {
			shows := cos.NewStream(&cos.Dict{}, content)
			if len(content) > longContent {
				shows = cos.Packed(content)
			}
			num = a.stream(shows)
			a.made[string(content)] = num
		}
		out = append(out, cos.Ref{Num: num})
	}
	return out
}

// put writes an object and returns its number.
func (a *assembly) put(o cos.Object) int {
	num := a.w.Reserve()
	a.w.Put(num, o, own)
	return num
}

// stream writes a stream that is in memory and returns its number. The writer keeps its first error.
func (a *assembly) stream(s *cos.Stream) int {
	num := a.w.Reserve()
	_ = a.w.PutStream(num, s.Dict, nil, s, own)
	return num
}

// font is the number of a font's object.
func (a *assembly) font(f Font) int {
	if a.fonts[f] == 0 && f.IsEmbedded() {
		a.fonts[f] = a.embed(f)
	}
	if a.fonts[f] == 0 {
		a.fonts[f] = a.put(standardFont(f.String(), "WinAnsiEncoding"))
	}
	return a.fonts[f]
}

// place adds a source page to a side's content and resources.
func (a *assembly) place(content []byte, objects *cos.Dict, p Placed, name string) ([]byte, error) {
	doc := p.From
	if p.Page < 1 || p.Page > len(doc.pages) {
		return nil, &Error{File: doc.path, Page: p.Page, Err: ErrNoSuchPage}
	}
	fail := func(err error) ([]byte, error) {
		if a.ctx.Err() != nil {
			return nil, a.ctx.Err()
		}
		if err := doc.Err(); err != nil {
			return nil, err // which concerns no page in particular
		}
		return nil, &Error{File: doc.path, Page: p.Page, Err: err}
	}
	if isFlat(p.Matrix) {
		return fail(ErrUnplaceable)
	}
	if err := doc.pages[p.Page-1].Problem; err != nil {
		return nil, err
	}
	visible := doc.pages[p.Page-1].Visible()
	shown := p.Box
	if shown == (geom.Rect{}) {
		shown = visible
	}
	marks, err := a.copier(doc).makeForms(p.Page, !shown.IsWithin(visible, 1e-6))
	if err != nil {
		return fail(err)
	}
	content = append(content, "q\n"...)
	content = clip(content, p, shown)
	m := geom.Enlarge(mmPerPoint).Then(p.Matrix).Then(geom.Enlarge(pointsPerMM))
	content = append(appendMatrix(content, m), " cm\n"...)
	for i, mark := range marks {
		key := name
		if i > 0 {
			key = name + "." + strconv.Itoa(i)
		}
		objects.Entries = append(objects.Entries, cos.Entry{Key: cos.Name(key), Value: cos.Ref{Num: mark.object}})
		if mark.matrix == geom.Identity {
			content = fmt.Appendf(content, "/%s Do\n", key)
			continue
		}
		content = append(appendMatrix(append(content, "q "...), mark.matrix), fmt.Sprintf(" cm /%s Do Q\n", key)...)
	}
	return append(content, "Q\n"...), nil
}

// copier brings objects of a document into this file.
func (a *assembly) copier(doc *Document) *copier {
	for _, c := range a.from {
		if c.doc == doc {
			return c
		}
	}
	c := newCopier(a.ctx, doc, a.w)
	a.from = append(a.from, c)
	return c
}

// clip limits what follows to the clip and to the shown part of the page.
func clip(b []byte, p Placed, shown geom.Rect) []byte {
	limit := p.Clip
	m := p.Matrix
	upright := math.Abs(m[1])+math.Abs(m[2]) < 1e-9 || math.Abs(m[0])+math.Abs(m[3]) < 1e-9
	if upright {
		r := m.Bounds(shown)
		limit = geom.Rect{X0: max(limit.X0, r.X0), Y0: max(limit.Y0, r.Y0), X1: min(limit.X1, r.X1), Y1: min(limit.Y1, r.Y1)}
	}
	b = appendClip(b, limit)
	if upright {
		return b
	}
	operator := " m "
	for _, q := range []geom.Point{{X: shown.X0, Y: shown.Y0}, {X: shown.X1, Y: shown.Y0}, {X: shown.X1, Y: shown.Y1}, {X: shown.X0, Y: shown.Y1}} {
		q = m.Apply(q)
		b = append(appendNumber(b, q.X*pointsPerMM, 5), ' ')
		b = append(appendNumber(b, q.Y*pointsPerMM, 5), operator...)
		operator = " l "
	}
	return append(b, "h W n\n"...)
}

// appendClip limits what follows to a rectangle of the side, in mm.
func appendClip(b []byte, r geom.Rect) []byte {
	for _, v := range []float64{r.X0, r.Y0, max(0, r.X1-r.X0), max(0, r.Y1-r.Y0)} {
		b = append(appendNumber(b, v*pointsPerMM, 5), ' ')
	}
	return append(b, "re W n\n"...)
}

func appendMatrix(b []byte, m geom.Matrix) []byte {
	for i, v := range m {
		if i > 0 {
			b = append(b, ' ')
		}
		decimals := 7
		if i > 3 {
			decimals = 5
		}
		b = appendNumber(b, v, decimals)
	}
	return b
}
