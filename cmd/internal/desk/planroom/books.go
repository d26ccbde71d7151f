package planroom

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// bookLine is a book in the list.
type bookLine struct {
	library.Book
	From    string // its file or folder, if another book has the same name
	Made    string // what was prepared
	Damaged string
}

// showList shows all books, or those that are looked for.
func (s *room) showList(w http.ResponseWriter, r *http.Request) error {
	return s.showSome(w, strings.TrimSpace(r.URL.Query().Get("find")), nil, s.askBlank("", nil, nil))
}

func (s *room) showBooks(w http.ResponseWriter, wrong error) error {
	return s.showSome(w, "", wrong, s.askBlank("", nil, nil))
}

// many is from how many books on a person looks for one by its name.
const many = 12

// find is the box in which a person looks for a book.
type find struct {
	Shown      bool
	Text, Says string
}

// findByName finds the books whose names hold a text.
func findByName(all []library.Book, text string) []library.Book {
	text = strings.ToLower(text)
	return slices.DeleteFunc(slices.Clone(all), func(b library.Book) bool { return !strings.Contains(strings.ToLower(b.Name), text) })
}

// showSome shows the books whose names hold a text, below what begins another one.
func (s *room) showSome(w http.ResponseWriter, text string, wrong error, blank newBlank) error {
	all, err := s.Library.Books()
	if err != nil {
		return err
	}
	box := find{Shown: len(all) >= many || text != "" && len(all) > 0, Text: text}
	if text != "" {
		some := findByName(all, text)
		box.Says = fmt.Sprintf("%d of %s with “%s” in the name.", len(some), reorder.Count(len(all), "book"), text)
		all = some
	}
	var lines []bookLine
	apart := library.TellApart(all)
	for _, b := range all {
		line := bookLine{Book: b, From: apart[b.ID]}
		if b.Damage != nil {
			line.Damaged = s.Explain(b.Damage)
		} else if made, err := plan.ReadBrief(b.Job()); err == nil {
			line.Made = fmt.Sprintf("%s on %s", reorder.Count(made.Source.AllPages(), "page"), reorder.Count(made.Sheets, "sheet"))
		}
		lines = append(lines, line)
	}
	v := page.View{Title: "Your books", At: "books", Body: map[string]any{"Books": lines, "Most": int64(library.MostUpload), "Find": box, "Blank": blank}}
	s.Notify(&v, wrong)
	return s.Show(w, booksPage, v)
}

// slack is what a form has besides its files, in bytes.
const slack = 1 << 20

// takeIn makes a book of the PDFs of a form, which are streamed into their folder. Of what is refused or
// broken off nothing is left.
func (s *room) takeIn(w http.ResponseWriter, r *http.Request) error {
	defer s.Hold()()
	tooLarge := refusal.Source.New("that is more than 2 GB, which is more than is taken in here").Advise("make a smaller PDF, or several books of it")
	if r.ContentLength > library.MostUpload+slack {
		w.Header().Set("Connection", "close")
		return s.showBooks(w, tooLarge)
	}
	r.Body = http.MaxBytesReader(w, r.Body, library.MostUpload+slack)
	b, err := s.arrive(r)
	var most *http.MaxBytesError
	if errors.As(err, &most) {
		err = tooLarge
	}
	if err != nil {
		if r.Context().Err() != nil {
			return err
		}
		return s.showBooks(w, err)
	}
	return page.Go(w, r, "/books/"+b.ID)
}

// came is a file that has come in: where it lies, and how the person calls it.
type came struct{ path, name string }

func (s *room) arrive(r *http.Request) (b library.Book, err error) {
	a, err := s.Library.Begin()
	if err != nil {
		return b, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, a.Drop())
		}
	}()
	var files []came
	n, err := page.EachFile(r, func(name string, file io.Reader) error {
		if err := a.Add(name, file); err != nil {
			return err
		}
		files = append(files, came{a.Files[len(a.Files)-1], name})
		return nil
	})
	if err != nil {
		return b, err
	}
	if n == 0 {
		return b, refusal.Use.New("no file has come").Advise("choose a PDF first")
	}
	slices.SortStableFunc(files, func(a, b came) int { return compareNames(a.name, b.name) })
	return keep(r.Context(), s.Desk, a, files)
}

// TakeIn makes a book of one PDF, which is called by its own title, else by its name. If it is refused,
// nothing of it is left.
func TakeIn(ctx context.Context, d *page.Desk, name string, from io.Reader) (b library.Book, err error) {
	a, err := d.Library.Begin()
	if err != nil {
		return b, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, a.Drop())
		}
	}()
	if err := a.Add(name, from); err != nil {
		return b, err
	}
	return keep(ctx, d, a, []came{{a.Files[0], name}})
}

// keep makes a book of what has come.
func keep(ctx context.Context, d *page.Desk, a *library.Arrival, files []came) (library.Book, error) {
	title, err := titleOf(ctx, d, files)
	if err != nil {
		return library.Book{}, err
	}
	if title == "" {
		title = strings.TrimSuffix(files[0].name, filepath.Ext(files[0].name))
	}
	var paths []string
	for _, f := range files {
		paths = append(paths, f.path)
	}
	return a.Keep(title, paths...)
}

// titleOf is the title of the first of the PDFs that a book is made of, which are read one after the other. A PDF
// alone that needs a password is taken as it is, for the password is asked for later.
func titleOf(ctx context.Context, d *page.Desk, files []came) (title string, err error) {
	for i, f := range files {
		source, err := survey.Open(ctx, f.path, "", d.Renderer)
		if errors.Is(err, pdf.ErrPassword) && len(files) == 1 {
			return "", nil
		}
		var known *pdf.Error
		switch {
		case errors.Is(err, pdf.ErrPassword):
			return "", refusal.Locked.New("“%s” needs a password, and cannot be one of several files", f.name).Advise("take it in by itself")
		case errors.As(err, &known):
			return "", refusal.Source.New("%w", &pdf.Error{File: "“" + f.name + "”", Page: known.Page, Err: known.Err})
		case err != nil:
			return "", err
		}
		if i == 0 {
			title = clean(source.Documents()[0].Title())
		}
		if err := source.Close(); err != nil {
			return "", err
		}
	}
	return title, nil
}

// clean is a title on one line, not longer than people read.
func clean(title string) string {
	title = strings.Join(strings.FieldsFunc(title, func(r rune) bool { return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || r == ' ' }), " ")
	if runes := []rune(title); len(runes) > 120 {
		title = string(runes[:120])
	}
	return title
}

// compareNames compares names as people count: part 2 comes before part 10.
func compareNames(a, b string) int {
	a, b = strings.ToLower(a), strings.ToLower(b)
	for a != "" && b != "" {
		x, y := chunk(a), chunk(b)
		a, b = a[len(x):], b[len(y):]
		if isDigit(x[0]) && isDigit(y[0]) {
			m, n := strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
			if len(m) != len(n) {
				return len(m) - len(n)
			}
			x, y = m, n
		}
		if c := strings.Compare(x, y); c != 0 {
			return c
		}
	}
	return len(a) - len(b)
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// chunk is the digits that a text begins with, or what comes before the next digit.
func chunk(s string) string {
	n := 1
	for n < len(s) && isDigit(s[n]) == isDigit(s[0]) {
		n++
	}
	return s[:n]
}

// findListed finds a book of the list, be it damaged.
func (s *room) findListed(r *http.Request) (library.Book, error) {
	all, err := s.Library.Books()
	if err != nil {
		return library.Book{}, err
	}
	if i := slices.IndexFunc(all, func(b library.Book) bool { return b.ID == r.PathValue("book") }); i >= 0 {
		return all[i], nil
	}
	return s.Library.Book(r.PathValue("book"))
}

func (s *room) askRemove(w http.ResponseWriter, r *http.Request) error {
	b, err := s.findListed(r)
	if err != nil {
		return err
	}
	return s.Show(w, removePage, page.View{Title: "Remove this book?", At: "books", Body: b})
}

func (s *room) remove(w http.ResponseWriter, r *http.Request) error {
	b, err := s.findListed(r)
	if err == nil {
		err = s.InUse(b)
	}
	if err != nil {
		return err
	}
	s.stop(b.ID)
	s.drafts.forget(r.Context(), b.ID)
	s.SetPassword(b, "")
	if err := b.Remove(); err != nil {
		return refusal.Output.New("the book could not be removed: %w", err).Advise("close other programs that show its files, and try again")
	}
	return page.Go(w, r, "/")
}

// unlock takes the password of a book's PDF.
func (s *room) unlock(w http.ResponseWriter, r *http.Request, b library.Book) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	s.SetPassword(b, r.PostForm.Get("password"))
	_, release, err := s.drafts.hold(r.Context(), b)
	if err != nil {
		return s.askPassword(w, b, err)
	}
	release()
	return page.Go(w, r, "/books/"+b.ID)
}

// askPassword asks for the password of a source that needs one, or tells why else it is not open.
func (s *room) askPassword(w http.ResponseWriter, b library.Book, err error) error {
	v := page.View{Title: b.Name, Book: &b, At: "plan"}
	if errors.Is(err, pdf.ErrWrongPassword) {
		v.Notice = "That is not the password."
	} else if !errors.Is(err, pdf.ErrPassword) {
		return err
	}
	return s.Show(w, passwordPage, v)
}
