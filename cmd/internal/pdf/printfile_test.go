package pdf

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

var a4 = geom.Size{W: 210, H: 297}

// folio puts pages two on a side, sideways, and names the sides along the fold.
func folio(d *Document) PrintFile {
	f := PrintFile{Paper: a4, Title: "Der Leuchtturm – I", Duplex: LongEdge}
	for i := 0; i < len(d.Pages()); i += 2 {
		var side Side
		for k, p := range d.Pages()[i:min(i+2, len(d.Pages()))] {
			if p.Problem != nil {
				continue
			}
			s := min(148.5/p.Size.W, 210/p.Size.H)
			lower := float64(k) * 148.5
			m := geom.Enlarge(s).Then(geom.Rotate(1)).Then(geom.Translate(210, lower))
			side.Pages = append(side.Pages, Placed{Page: p.Number, Matrix: m, Clip: geom.Rect{Y0: lower, X1: 210, Y1: lower + 148.5}})
		}
		side.Drawing.WriteText(geom.Point{X: 105, Y: 148.5}, Text{Text: fmt.Sprint("side ", i/2+1), Font: Helvetica, Size: 2, Grey: 0.5, Anchor: AnchorCentre})
		f.Sides = append(f.Sides, side)
	}
	f.Sides = append(f.Sides, Side{})
	return f
}

// valid has another library read a print file and check it against the standard.
func valid(t *testing.T, name string, data []byte) {
	t.Helper()
	noConfigFolder()
	conf := model.NewDefaultConfiguration()
	conf.Offline = true
	if err := api.Validate(bytes.NewReader(data), conf); err != nil {
		t.Errorf("%s isn't valid: %v", name, err)
	}
}

// The viewer preferences are those of ISO 32000-1, table 150.
func TestPrintFile(t *testing.T) {
	d := mustOpen(t, book().bytes())
	f := folio(d)
	data := written(t, d, f)
	valid(t, "the print file", data)
	again := mustOpen(t, data)
	if len(again.Pages()) != len(f.Sides) {
		t.Fatalf("%d pages for %d sides", len(again.Pages()), len(f.Sides))
	}
	for _, p := range again.Pages() {
		if math.Abs(p.Size.W-210) > 1e-4 || math.Abs(p.Size.H-297) > 1e-4 {
			t.Errorf("page %d is %v", p.Number, p.Size)
		}
	}
	root, _ := again.file.Resolve(again.file.Trailer.Get("Root")).(*cos.Dict)
	prefs := fmt.Sprint(*root.Get("ViewerPreferences").(*cos.Dict))
	if want := "{[{PrintScaling None} {PickTrayByPDFSize true} {Duplex DuplexFlipLongEdge} {DisplayDocTitle true}]}"; prefs != want {
		t.Errorf("viewer preferences %s, want %s", prefs, want)
	}
	info, _ := again.file.Resolve(again.file.Trailer.Get("Info")).(*cos.Dict)
	if title, _ := info.Get("Title").(cos.String); decodeText(string(title)) != f.Title || info.Get("Producer") != cos.String("foldwright") {
		t.Errorf("info: %v", info)
	}
	// Page 1 lies sideways in the lower half; its square is 20 to 40 points from its left edge.
	look(t, "the print file", data, 1, []spot{{300, 60, "black"}, {300, 200, "white"}, {300, 610, "black"}, {300, 500, "white"}})
}

// The values of Duplex are those of ISO 32000-1, table 150.
func TestDuplex(t *testing.T) {
	for duplex, want := range map[Duplex]string{Simplex: "/Duplex/Simplex", LongEdge: "/Duplex/DuplexFlipLongEdge", ShortEdge: "/Duplex/DuplexFlipShortEdge"} {
		var text strings.Builder
		text.Write(cos.Append(nil, preferences(PrintFile{Duplex: duplex}), own))
		if !strings.Contains(text.String(), want) {
			t.Errorf("%v: %s", duplex, text.String())
		}
	}
	if strings.Contains(string(cos.Append(nil, preferences(PrintFile{}), own)), "Duplex") {
		t.Error("without a word on duplex the dialog decides")
	}
}

// The same source and print file give the same bytes, also when several are written at once.
func TestSameBytes(t *testing.T) {
	path := filepath.Join(testdata(t), "CenterOfWhy.pdf")
	read := func() *Document {
		d, err := Open(t.Context(), path, Options{})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { d.Close() })
		return d
	}
	d := read()
	f := folio(d)
	want := written(t, d, f)
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			if !bytes.Equal(written(t, d, f), want) {
				t.Error("a second writing differs")
			}
		})
	}
	group.Wait()
	if !bytes.Equal(written(t, read(), f), want) {
		t.Error("writing after another reading differs")
	}
	f.Sides[0], f.Sides[1] = f.Sides[1], f.Sides[0]
	if bytes.Equal(written(t, d, f), want) {
		t.Error("another order of sides gives the same file")
	}
}

func TestIdentityDependsOnSourceAndSides(t *testing.T) {
	id := func(s *source, f func(*PrintFile)) string {
		d := mustOpen(t, s.bytes())
		file := folio(d)
		f(&file)
		return fmt.Sprint(mustOpen(t, written(t, d, file)).file.Trailer.Get("ID"))
	}
	plain := id(book(), func(*PrintFile) {})
	other := book()
	other.catalog = "/Lang (en)"
	for name, got := range map[string]string{
		"another source": id(other, func(*PrintFile) {}),
		"another title":  id(book(), func(f *PrintFile) { f.Title = "II" }),
		"fewer sides":    id(book(), func(f *PrintFile) { f.Sides = f.Sides[:1] }),
	} {
		if got == plain {
			t.Errorf("%s: the ID stays %s", name, got)
		}
	}
}

func TestWritingIsRefused(t *testing.T) {
	d := mustOpen(t, book().bytes())
	place := func(p Placed) PrintFile { return PrintFile{Paper: a4, Sides: []Side{{Pages: []Placed{p}}}} }
	whole := a4.Rect()
	cancelled, cancel := context.WithCancel(t.Context())
	cancel()
	full := errors.New("disk full")
	for _, c := range []struct {
		name string
		ctx  context.Context
		w    io.Writer
		file PrintFile
		want error
	}{
		{"no such page", t.Context(), io.Discard, place(Placed{Page: 4, Matrix: geom.Identity, Clip: whole}), ErrNoSuchPage},
		{"no page", t.Context(), io.Discard, place(Placed{Matrix: geom.Identity, Clip: whole}), ErrNoSuchPage},
		{"a matrix of noughts", t.Context(), io.Discard, place(Placed{Page: 1, Clip: whole}), ErrUnplaceable},
		{"an infinite scale", t.Context(), io.Discard, place(Placed{Page: 1, Matrix: geom.Enlarge(math.Inf(1)), Clip: whole}), ErrUnplaceable},
		{"paper without extent", t.Context(), io.Discard, PrintFile{}, ErrPaper},
		{"cancelled", cancelled, io.Discard, folio(d), context.Canceled},
		{"disk full", t.Context(), failing{full}, folio(d), full},
	} {
		if err := d.Write(c.ctx, c.w, c.file); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	if err := Write(t.Context(), io.Discard, folio(d)); !errors.Is(err, ErrSourcePage) {
		t.Errorf("drawings with a source page: %v", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

// testdata is the folder of PDF files that come with the pdfcpu module.
func testdata(t testing.TB) string {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output()
	if err != nil {
		t.Fatal(err)
	}
	return filepath.Join(strings.TrimSpace(string(out)), "pkg", "testdata")
}

// Every file that comes with pdfcpu is read, written and valid.
func TestForeignFiles(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(testdata(t), "*.pdf"))
	if err != nil || len(files) < 40 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, path := range files {
		if info, err := os.Stat(path); err != nil || testing.Short() && info.Size() > 1<<20 {
			continue
		}
		t.Run(filepath.Base(path), func(t *testing.T) {
			d, err := Open(t.Context(), path, Options{})
			if err != nil {
				t.Fatal(err)
			}
			defer d.Close()
			valid(t, path, written(t, d, folio(d)))
		})
	}
}
