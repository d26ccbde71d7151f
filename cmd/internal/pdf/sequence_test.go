package pdf

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"foldwright/reorder/geom"
)

// strict is a file of eight pages with an outline as ISO 32000-1, 12.3.3 has it, of which a strict reader takes no less: an entry
// for each of the given ones, and one below the first. PAGEn stands for a reference to page n.
func strict(catalog string, items ...string) *source {
	s := new(source)
	for range 8 {
		s.square("", "")
	}
	pages := strings.NewReplacer("PAGE1", s.pages[0], "PAGE2", s.pages[1], "PAGE3", s.pages[2], "PAGE4", s.pages[3], "PAGE6", s.pages[5], "PAGE8", s.pages[7])
	root := len(s.objects) + 1
	first, last := root+2, root+1+len(items)
	s.add("<< /Type /Outlines /First %d 0 R /Last %d 0 R /Count %d >>", first, last, len(items)+1)
	below := s.add("<< /Title (below) /Dest [%s /Fit] /Parent %d 0 R >>", s.pages[2], first)
	for i, item := range items {
		entry := fmt.Sprintf("/Title (entry) /Parent %d 0 R %s", root, pages.Replace(item))
		if i > 0 {
			entry += fmt.Sprintf(" /Prev %d 0 R", first+i-1)
		} else {
			entry += fmt.Sprintf(" /First %d 0 R /Last %d 0 R /Count 1", below, below)
		}
		if i+1 < len(items) {
			entry += fmt.Sprintf(" /Next %d 0 R", first+i+1)
		}
		s.add("<< %s >>", entry)
	}
	s.catalog = fmt.Sprintf("/Outlines %d 0 R %s", root, pages.Replace(catalog))
	return s
}

// nested leads to its pages by names and otherwise, and has an entry below another.
func nested() *source {
	return strict(`/Names << /Dests << /Names [(tides) [PAGE4 /Fit] (towers) << /D [PAGE6 /Fit] >>] >> >>`,
		"/Dest [PAGE2 /Fit]", "/Dest (tides)", "/A << /S /GoTo /D (towers) >>")
}

// cut has no outline; its pages are cropped, turned, and in other units.
func cut() *source {
	s := new(source)
	s.square("0 0 50 50 re f", "/CropBox [20 30 120 180]")
	s.square("0 0 50 50 re f", "/Rotate 90 /CropBox [20 30 120 180]")
	s.square("0 0 50 50 re f", "/Rotate 270 /UserUnit 2")
	return s
}

// theirs is where pdfcpu's reading of an outline leads on its top level.
func theirs(t *testing.T, data []byte) (pages []int) {
	t.Helper()
	noConfigFolder()
	conf := model.NewDefaultConfiguration()
	conf.Offline = true
	marks, err := api.Bookmarks(bytes.NewReader(data), conf)
	if err != nil && !errors.Is(err, pdfcpu.ErrNoBookmarks) {
		t.Fatal(err)
	}
	for _, m := range marks {
		pages = append(pages, m.PageFrom)
	}
	return pages
}

// Outlines of several sources are read one after the other, their pages counted on, as pdfcpu reads each.
func TestOutlinesAreJoined(t *testing.T) {
	plain := strict("", "/Dest [PAGE1 /Fit]", "/Dest [PAGE8 /Fit]")
	all := map[string]*source{"nested": nested(), "cut": cut(), "plain": plain}
	for _, names := range [][]string{{"nested", "plain"}, {"plain", "cut", "nested"}, {"cut", "nested", "nested"}, {"cut"}, {"cut", "cut"}} {
		var docs []*Document
		var want []int
		before := 0
		for _, name := range names {
			data := all[name].bytes()
			docs = append(docs, mustOpen(t, data))
			for _, page := range theirs(t, data) {
				want = append(want, page+before)
			}
			before += len(docs[len(docs)-1].Pages())
		}
		got := NewSequence(docs...).OutlinePages()
		if !slices.Equal(got, want) {
			t.Errorf("%v: %v, pdfcpu reads %v", names, got, want)
		}
	}
	if got := theirs(t, nested().bytes()); !slices.Equal(got, []int{2, 4, 6}) {
		t.Errorf("pdfcpu reads the nested outline as %v", got)
	}
}

// Pages are counted on; each is found again in its document, with its own size and turn, also as pdfcpu reads the joined copy.
func TestPagesOfASequence(t *testing.T) {
	first, second := mustOpen(t, nested().bytes()), mustOpen(t, cut().bytes())
	s := NewSequence(first, second, first)
	if n := len(s.Pages()); n != 19 || len(s.Documents()) != 3 || s.Path() != first.path || s.Bytes() != 2*first.Bytes()+second.Bytes() {
		t.Fatalf("%d pages of %d documents, %d bytes, %s", n, len(s.Documents()), s.Bytes(), s.Path())
	}
	for i, p := range s.Pages() {
		d, number := s.At(i + 1)
		want := []*Document{first, second, first}[map[bool]int{true: 1}[i >= 8]+map[bool]int{true: 1}[i >= 11]]
		own := d.Pages()[number-1]
		if d != want || p.Number != i+1 || p.Size != own.Size || p.Visible() != own.Visible() {
			t.Errorf("page %d is page %d of %s, %+v", i+1, number, d.path, p)
		}
	}
	for _, page := range []int{20, 99} {
		if d, _ := s.At(page); d != nil {
			t.Errorf("page %d is in %s", page, d.path)
		}
	}
	var joined bytes.Buffer
	if err := s.Copy(t.Context(), &joined); err != nil {
		t.Fatal(err)
	}
	valid(t, "joined", joined.Bytes())
	conf := model.NewDefaultConfiguration()
	conf.Offline = true
	boxes, err := api.Boxes(bytes.NewReader(joined.Bytes()), nil, conf)
	if err != nil || len(boxes) != 19 {
		t.Fatalf("pdfcpu finds %d pages, %v", len(boxes), err)
	}
	units := map[int]float64{10: 2} // of the source, which pdfcpu leaves to its caller
	for i, b := range boxes {
		size := geom.Size{W: b.CropBox().Width(), H: b.CropBox().Height()}
		if b.Rot%180 != 0 {
			size = size.Turn()
		}
		unit := max(1, units[i])
		own := s.Pages()[i].Visible().Size()
		if math.Abs(own.W-size.W*unit*mmPerPoint) > 1e-3 || math.Abs(own.H-size.H*unit*mmPerPoint) > 1e-3 {
			t.Errorf("page %d is %v, pdfcpu reads %v points", i+1, own, size)
		}
	}
	if err := s.Close(); err != nil {
		t.Errorf("a document that stands twice in a sequence is closed twice: %v", err)
	}
}

// A print file takes its pages from all documents.
func TestSequenceIsWritten(t *testing.T) {
	white, black := new(source), new(source)
	white.square("", "")
	black.square("0 0 200 200 re f", "/Rotate 90 /CropBox [0 0 100 200]")
	s := NewSequence(mustOpen(t, white.bytes()), mustOpen(t, black.bytes()))
	const mm = 25.4 / 72
	paper := geom.Size{W: 400 * mm, H: 200 * mm}
	side := Side{Pages: []Placed{
		{Page: 2, Matrix: geom.Identity, Clip: paper.Rect()},
		{Page: 1, Matrix: geom.Translate(200*mm, 0), Clip: paper.Rect()},
	}}
	var b bytes.Buffer
	if err := s.Write(t.Context(), &b, PrintFile{Paper: paper, Sides: []Side{side}}); err != nil {
		t.Fatal(err)
	}
	valid(t, "sequence", b.Bytes())
	// Turned, what is cropped is 200 points wide and 100 high.
	look(t, "sequence", b.Bytes(), 1, []spot{{100, 50, "black"}, {190, 90, "black"}, {100, 110, "white"}, {300, 50, "white"}})
	if side.Pages[0].From != nil {
		t.Error("the caller's side was changed")
	}
	if err := s.Write(t.Context(), &b, PrintFile{Paper: paper, Sides: []Side{{Pages: []Placed{{Page: 3, Matrix: geom.Identity}}}}}); err == nil {
		t.Error("a page that no document has was written")
	}
}

// Facts of the whole are those of its parts, and say whose they are.
func TestFactsOfASequence(t *testing.T) {
	if s := NewSequence(); len(s.Pages()) != 0 || s.Path() != "" || s.SHA256() != "" || s.OutlinePages() != nil || s.Labels() != nil || s.Err() != nil || s.Close() != nil {
		t.Error("an empty sequence says something")
	}
	labelled := nested()
	labelled.catalog += " /PageLabels << /Nums [0 << /S /r >> 4 << /S /D >>] >> /ViewerPreferences << /Direction /R2L >>"
	noted := cut()
	noted.square("", "/Annots [<< /Subtype /Link /Rect [0 0 9 9] >>]")
	one, two := mustOpen(t, labelled.bytes()), mustOpen(t, noted.bytes())
	s := NewSequence(two, one)
	var names []string
	for _, l := range s.Labels() {
		names = append(names, l.Text)
	}
	if got := strings.Join(names, " "); got != "    i ii iii iv 1 2 3 4" {
		t.Errorf("labels %q", got)
	}
	if NewSequence(two, two).Labels() != nil || !s.RightToLeft() || NewSequence(two).RightToLeft() || s.Encrypted() {
		t.Error("labels, direction or encryption of the parts are not those of the whole")
	}
	if a := NewSequence(two, one, two).Annotations(); len(a) != 1 || a[0].Printed+a[0].LeftOut != 2 {
		t.Errorf("annotations %+v", a)
	}
	// The digest of several is that of theirs, each on a line.
	sum := sha256.Sum256([]byte(two.SHA256() + "\n" + one.SHA256() + "\n"))
	if got := s.SHA256(); got != hex.EncodeToString(sum[:]) || NewSequence(one).SHA256() != one.SHA256() {
		t.Errorf("digest %s", got)
	}
	damaged := mustOpen(t, bytes.Replace(cut().bytes(), []byte("startxref"), []byte("startxerf"), 1))
	warnings := NewSequence(one, damaged).Warnings()
	if len(warnings) == 0 || !strings.HasPrefix(warnings[0], filepath.Base(damaged.path)+": ") || NewSequence(damaged).Warnings()[0] == warnings[0] {
		t.Errorf("warnings %q", warnings)
	}
}
