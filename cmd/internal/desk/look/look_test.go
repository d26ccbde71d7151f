package look

import (
	"context"
	"errors"
	"html"
	"image"
	"image/png"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/desktest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/cmd/internal/testkit/written"
	"foldwright/reorder"
)

// bench is a desk with one book, which is planned with options that a test sets.
type bench struct {
	*testing.T
	http.Handler
	book library.Book

	mutex sync.Mutex
	draft *plan.Draft
}

func (b *bench) Draft(context.Context, library.Book) (*plan.Draft, func(), error) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	return b.draft, func() {}, nil
}

func (b *bench) choose(o options.Options) {
	b.Helper()
	d := written.Draft(b.T, larkhaven, o)
	b.mutex.Lock()
	defer b.mutex.Unlock()
	b.draft = d
}

func (b *bench) get(address string) *httptest.ResponseRecorder {
	b.Helper()
	w := httptest.NewRecorder()
	b.ServeHTTP(w, httptest.NewRequest(http.MethodGet, address, nil).WithContext(b.Context()))
	return w
}

func (b *bench) fragment() string {
	b.Helper()
	out, err := Fragment(b.draft, b.book)
	if err != nil {
		b.Fatal(err)
	}
	return string(out)
}

func newBench(t *testing.T, o options.Options) *bench {
	t.Helper()
	books, err := library.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { books.Close() })
	a, err := books.Begin()
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(larkhaven)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := a.Add("larkhaven.pdf", f); err != nil {
		t.Fatal(err)
	}
	book, err := a.Keep("The <Larkhaven> Journal", a.Files[0])
	if err != nil {
		t.Fatal(err)
	}
	b := &bench{T: t, book: book}
	b.choose(o)
	d := &page.Desk{Context: t.Context(), Library: books, Renderer: rendertest.Shared(t)}
	Add(d, b)
	b.Handler = d.Routes()
	return b
}

var images = regexp.MustCompile(`(?:src|srcset)="([^" ]*\.png[^" ]*)`)

// picturesOn are the addresses of all pictures of a page.
func picturesOn(text string) (out []string) {
	for _, m := range images.FindAllStringSubmatch(text, -1) {
		out = append(out, html.UnescapeString(m[1]))
	}
	return out
}

// TestEveryPictureIsThere asks for all pictures of a fragment, and leafs through the whole book by its links.
func TestEveryPictureIsThere(t *testing.T) {
	b := newBench(t, options.Options{})
	text := b.fragment()
	pictures := picturesOn(text)
	if len(pictures) < 20 {
		t.Fatalf("only %d pictures on\n%s", len(pictures), text)
	}
	for _, address := range pictures {
		w := b.get(address)
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "image/png" || !strings.Contains(w.Header().Get("Cache-Control"), "immutable") {
			t.Fatalf("%s: %d %v %s", address, w.Code, w.Header(), w.Body)
		}
		img, err := png.DecodeConfig(w.Body)
		if err != nil || !strings.Contains(address, "width="+strconv.Itoa(img.Width)) {
			t.Errorf("%s: %d pixels wide, %v", address, img.Width, err)
		}
	}
	next := regexp.MustCompile(`href="([^"]*)" rel="next"`)
	for kind, all := range map[string]int{"openings": len(openingsOf(b.draft, b.book.ID)), "sheets": len(b.draft.Printed)} {
		address, seen := "/books/"+b.book.ID+"/look/"+kind, 0
		for address != "" {
			w := b.get(address)
			if w.Code != http.StatusOK {
				t.Fatalf("%s: %d %s", address, w.Code, w.Body)
			}
			seen += strings.Count(w.Body.String(), `<figcaption class="look-unseen">`) + strings.Count(w.Body.String(), `<h3 id="sheet-`)
			m := next.FindStringSubmatch(w.Body.String())
			address = ""
			if m != nil {
				address = html.UnescapeString(m[1])
			}
		}
		if seen != all {
			t.Errorf("%d of %d %s are reached", seen, all, kind)
		}
	}
}

// TestWhatIsNotThereIsRefused: pictures that nobody offers are not drawn.
func TestWhatIsNotThereIsRefused(t *testing.T) {
	b := newBench(t, options.Options{Pages: pages(t, "1-5")})
	at := "/books/" + b.book.ID + "/look/"
	for _, wrong := range []string{
		"page/1.png", "page/1.png?width=241", "page/0.png?width=240", "page/9.png?width=240", "page/x.png?width=240",
		"page/8.png?width=240" /* blank */, "side/9/front.png?width=480", "side/1/top.png?width=480", "side/x/back.png?width=480",
	} {
		if w := b.get(at + wrong); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", wrong, w.Code)
		}
	}
	if w := b.get("/books/none/look/page/1.png?width=240"); w.Code != http.StatusNotFound {
		t.Errorf("of no book: %d", w.Code)
	}
	// After another choice an old address shows what is there now, and is not kept.
	if w := b.get(at + "page/1.png?width=240&v=old"); w.Code != http.StatusOK || w.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("an old address: %d %v", w.Code, w.Header())
	}
	for asked, want := range map[string]string{"page=4": `alt="page 4"`, "page=99": "has no page 99", "page=%3Cb%3E": "has no page &lt;b&gt;", "from=99": `aria-label="blank page"`, "from=-3": `alt="page 1"`} {
		if w := b.get(at + "openings?" + asked); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: %d, no %s", asked, w.Code, want)
		}
	}
}

// TestOnlyWhatChangesIsAskedForAgain: the addresses of pictures that a choice leaves as they are stay.
func TestOnlyWhatChangesIsAskedForAgain(t *testing.T) {
	b := newBench(t, options.Options{Pages: pages(t, "1-16")})
	before := picturesOn(b.fragment())
	b.choose(options.Options{Pages: pages(t, "1-16"), NoSideNames: true})
	if after := picturesOn(b.fragment()); !slices.Equal(before, after) {
		t.Errorf("side names change pictures of pages:\n%q\n%q", before, after)
	}
	b.choose(options.Options{Pages: pages(t, "1-16"), Gutter: 5})
	for _, address := range picturesOn(b.fragment()) {
		if slices.Contains(before, address) {
			t.Errorf("a gutter leaves %s as it was", address)
		}
	}
	b.choose(options.Options{Pages: pages(t, "1-16"), Gutter: 5, Bind: reorder.BindRight})
	if text := b.fragment(); !strings.Contains(text, "look-right") {
		t.Error("the spine at the right is not seen")
	}
}

// TestOpeningsOfVolumes: each volume begins with a recto alone, and all places follow each other.
func TestOpeningsOfVolumes(t *testing.T) {
	d := written.Draft(t, larkhaven, options.Options{Volumes: 2})
	place, volumes := 0, 0
	for i, o := range openingsOf(d, "b") {
		for k, p := range o.Pages {
			if place++; p.Place != place || p.Recto != (place%2 == 1) {
				t.Fatalf("place %d comes after %d", p.Place, place-1)
			}
			if p.Recto == (k == 0) && len(o.Pages) == 2 {
				t.Errorf("opening %d: the recto lies before the verso", i+1)
			}
		}
		if o.Volume > 0 {
			if volumes++; o.Volume != volumes || len(o.Pages) != 1 || o.Lone() != " look-recto" {
				t.Errorf("volume %d begins with %s", o.Volume, o.Title())
			}
		}
	}
	if volumes != 2 || place != len(pagesOf(d)) {
		t.Errorf("%d volumes, %d places of %d", volumes, place, len(pagesOf(d)))
	}
}

// TestEveryFormIsShown makes the fragment of each fold, spine and volume.
func TestEveryFormIsShown(t *testing.T) {
	for _, fold := range reorder.Folds() {
		for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight, reorder.BindTop} {
			d := written.Draft(t, larkhaven, options.Options{Fold: fold, Bind: bind, Pages: pages(t, "1-30")})
			text, err := Fragment(d, library.Book{ID: "b"})
			if err != nil {
				t.Fatal(err)
			}
			if n := strings.Count(string(text), `look/sheets?gathering=`); n != len(d.Book.Gatherings) {
				t.Errorf("%s: %d gatherings of %d lead to their sheets", fold, n, len(d.Book.Gatherings))
			}
			if strings.Contains(string(text), "style=") || strings.Contains(string(text), "ZgotmplZ") {
				t.Errorf("%s: the policy forbids\n%s", fold, text)
			}
			if fold.Scheme().OneSided != strings.Contains(string(text), "Nothing is printed on the back.") {
				t.Errorf("%s: wrong of the backs", fold)
			}
		}
	}
}

// TestNothingHangsWhileTheEngineStarts: pictures are refused for the moment.
func TestNothingHangsWhileTheEngineStarts(t *testing.T) {
	s := &room{started: make(chan struct{})} // without a place for one that waits longer
	w := httptest.NewRecorder()
	if err := s.drawPage(w, httptest.NewRequest(http.MethodGet, "/x?width=240", nil), library.Book{}); err != nil || w.Code != http.StatusServiceUnavailable || w.Header().Get("Retry-After") == "" {
		t.Errorf("%v, %d %v", err, w.Code, w.Header())
	}
}

// TestWhatNobodyWantsIsGivenUp: of things that wait for their turn and are not wanted any more nothing is made;
// what is wanted twice is made once.
func TestWhatNobodyWantsIsGivenUp(t *testing.T) {
	f := flights[int, int]{base: t.Context(), slots: make(chan struct{}, 1)}
	begun, end := make(chan struct{}), make(chan struct{})
	var group sync.WaitGroup
	for range 3 {
		group.Go(func() {
			n, err := f.do(t.Context(), 1, func(context.Context) (int, error) {
				close(begun) // panics the second time
				<-end
				return 11, nil
			})
			if n != 11 || err != nil {
				t.Errorf("%d, %v", n, err)
			}
		})
	}
	<-begun
	ctx, cancel := context.WithCancel(t.Context())
	group.Go(func() {
		_, err := f.do(ctx, 2, func(context.Context) (int, error) {
			t.Error("it was made")
			return 0, nil
		})
		if !errors.Is(err, context.Canceled) {
			t.Error(err)
		}
	})
	waits := func() bool { f.mutex.Lock(); defer f.mutex.Unlock(); return f.all[2] != nil && f.all[1].wanted == 3 }
	desktest.Await(t, "three to wait", waits)
	cancel()
	desktest.Await(t, "them to give up", func() bool { return !waits() })
	close(end)
	group.Wait()
	// What is under way ends after a while.
	ctx, cancel = context.WithCancel(t.Context())
	_, err := f.do(ctx, 3, func(under context.Context) (int, error) {
		cancel()
		<-under.Done()
		return 0, under.Err()
	})
	if !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

// TestDrawnPagesStayWithinTheirBounds keeps more than there is room for.
func TestDrawnPagesStayWithinTheirBounds(t *testing.T) {
	s := newSources(t.Context(), nil)
	for i := range 40 {
		s.keep(drawnKey{"x", i, leastDPI}, drawn{image: blank(image.Pt(2000, 1000), false)})
		if _, ok := s.find(drawnKey{"x", 0, leastDPI}); !ok {
			t.Fatalf("after %d pages the one that is used is gone", i)
		}
	}
	if s.bytes > mostKept || len(s.kept) != mostKept/2_000_000 {
		t.Errorf("%d pages with %d bytes are kept", len(s.kept), s.bytes)
	}
}

// TestPagesThatCannotBeDrawnAreCrossed: a page that is not in the file costs its picture only.
func TestPagesThatCannotBeDrawnAreCrossed(t *testing.T) {
	d := written.Draft(t, larkhaven, options.Options{Pages: pages(t, "1-2")})
	p := pagesOf(d)[0].picture
	p.Parts[0].Page = 4000
	img := drawIt(t, newSources(t.Context(), rendertest.Shared(t)), d, p)
	if dark, ok := render.Dark(img, 0xa0); !ok || dark.Dx() < img.Rect.Dx()*9/10 {
		t.Errorf("no cross: %v", dark)
	}
}
