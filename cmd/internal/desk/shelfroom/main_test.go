package shelfroom

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/desk/planroom"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/shelf"
	"foldwright/cmd/internal/testkit/desktest"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/profiles"
	"foldwright/reorder/phrase"
)

// asTitle is the argument with which the test program makes a title; the folder of its signs follows.
const asTitle = "make-a-title"

func TestMain(m *testing.M) {
	if len(os.Args) != 3 || os.Args[1] != asTitle {
		os.Exit(m.Run())
	}
	play := player{os.Args[2]}
	if err := shelf.Serve(context.Background(), os.Stdin, os.Stdout, play.make, describe); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// player makes titles, unless a sign says otherwise: a file named after the book in a folder.
type player struct{ signs string }

func (p player) sign(o shelf.Order, name string) string {
	return filepath.Join(p.signs, filepath.Base(filepath.Dir(o.Place))+"."+name)
}

func isThere(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

func (p player) make(ctx context.Context, o shelf.Order, t *shelf.Teller) error {
	seen := strings.Join(append(os.Environ(), os.Args...), "\n")
	if err := os.WriteFile(p.sign(o, "begun"), []byte(seen), 0o600); err != nil {
		return err
	}
	for isThere(p.sign(o, "hold")) {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(5 * time.Millisecond):
		}
	}
	if isThere(p.sign(o, "full")) {
		return &os.PathError{Op: "write", Path: o.Place, Err: syscall.ENOSPC}
	}
	m := shelf.Maker{Version: "test", Style: planroom.Words(), Warnings: planroom.Warnings}
	return m.Make(ctx, o, t)
}

func describe(err error) shelf.Failure {
	f := shelf.Failure{Status: 4, Sentence: phrase.Of(err, planroom.Words()), Passing: errors.Is(err, syscall.ENOSPC)}
	if errors.Is(err, context.Canceled) {
		f.Status, f.Passing = 130, true
	}
	if errors.Is(err, pdf.ErrPassword) {
		f.Hint = phrase.New("give the password on its Plan page")
	}
	return f
}

// browser asks a desk as a browser without scripts does.
type browser struct {
	desktest.Browser
	room  *room
	signs string
}

func open(t *testing.T) browser { return openIn(t, t.TempDir(), t.TempDir()) }

// openIn opens a desk in a folder of books, as another start of the program does.
func openIn(t *testing.T, books, signs string) browser {
	t.Helper()
	l, err := library.Open(books)
	if err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(t.Context())
	d := &page.Desk{
		Context: ctx, Library: l, Profiles: profiles.Open(t.TempDir()), Region: "GB", Version: "test", Renderer: rendertest.Shared(t),
		Titles: page.Titles{Program: []string{os.Args[0], asTitle, signs}, Describe: describe},
	}
	planroom.Add(d)
	s := add(d)
	t.Cleanup(func() {
		end()
		if k := s.current(); k != nil {
			k.Stop()
		}
		l.Close()
	})
	return browser{desktest.Browser{T: t, Handler: d.Routes()}, s, signs}
}

// start starts a shelf of books, with choices for all.
func (b browser) start(books []string, choices ...string) {
	b.Helper()
	form := url.Values{"do": {"start"}, "book": books}
	for i := 0; i < len(choices); i += 2 {
		form.Set(choices[i], choices[i+1])
	}
	b.Leads("/shelf", form, "/shelf/work")
}

// finish waits for the end of the shelf and returns its report.
func (b browser) finish() string {
	b.Helper()
	k := b.room.current()
	select {
	case <-k.Done():
	case <-time.After(desktest.Patience):
		b.Fatal("it is never done")
	}
	return b.Get("/shelf/report")
}

// give lays a sign for the process of a book; take takes it away.
func (b browser) give(sign string) {
	b.Helper()
	if err := os.WriteFile(filepath.Join(b.signs, sign), nil, 0o600); err != nil {
		b.Fatal(err)
	}
}

func (b browser) take(sign string) {
	b.Helper()
	if err := os.Remove(filepath.Join(b.signs, sign)); err != nil {
		b.Fatal(err)
	}
}

// begun waits until the process of a book has begun.
func (b browser) begun(book string) {
	b.Helper()
	desktest.Await(b.T, book+" to be begun", func() bool { return isThere(filepath.Join(b.signs, book+".begun")) })
}

// takeIn takes books in by their names, of 4 pages and of 4 more each.
func (b browser) takeIn(names ...string) {
	b.Helper()
	var files []desktest.File
	for i, name := range names {
		files = append(files, desktest.NewFile(name+".pdf", pages(b.T, 4+4*i, "")))
	}
	if w := b.Upload("/shelf/books", files...); w.Code != http.StatusSeeOther {
		b.Fatalf("%d %s", w.Code, w.Body)
	}
}

// pages is a PDF of so many pages, locked if there is a password.
func pages(t *testing.T, n int, password string) []byte {
	t.Helper()
	doc := pdftest.New(148, 210)
	if password != "" {
		doc.SetProtection(fpdf.CnProtectPrint, password, "the keeper's")
	}
	for range n {
		doc.AddPage()
		doc.Circle(60, 60, 20, "F")
	}
	var out bytes.Buffer
	if err := doc.Output(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func (b browser) book(id string) library.Book {
	b.Helper()
	book, err := b.room.Library.Book(id)
	if err != nil {
		b.Fatal(err)
	}
	return book
}
