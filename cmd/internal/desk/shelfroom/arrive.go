package shelfroom

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"

	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/desk/planroom"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// takeIn makes a book of every PDF of a form, each as it comes. What is refused of them is told by name, and
// the others are taken in all the same.
func (s *room) takeIn(w http.ResponseWriter, r *http.Request) error {
	defer s.Hold()()
	form, err := r.MultipartReader()
	if err != nil {
		return s.showChoose(w, form0, "", nil, errNoFile)
	}
	taken := 0
	var refused []string
	for {
		part, err := form.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err // what came whole before is kept
		}
		if part.FormName() != "source" || part.FileName() == "" {
			continue
		}
		if _, err := planroom.TakeIn(r.Context(), s.Desk, part.FileName(), part); err != nil {
			if r.Context().Err() != nil {
				return err
			}
			refused = append(refused, s.notTaken(part.FileName(), err))
			continue
		}
		taken++
	}
	switch {
	case taken+len(refused) == 0:
		return s.showChoose(w, form0, "", nil, errNoFile)
	case len(refused) > 0:
		return s.showChoose(w, form0, cameText(taken), nil, refusal.Source.New("%s not taken in: %s", were(len(refused)), strings.Join(refused, " ")))
	}
	return page.Go(w, r, fmt.Sprintf("/shelf?%s=%d", cameKey, taken))
}

// cameKey is how many books were just taken in, in an address.
const cameKey = "came"

// cameText says how many books were just taken in.
func cameText(n int) string {
	if n <= 0 {
		return ""
	}
	return reorder.Count(n, "book") + " taken in and ticked below."
}

// form0 is a form in which nothing was filled in.
var form0 form

var errNoFile error = refusal.Use.New("no file has come").Advise("choose PDFs first")

func were(n int) string {
	if n == 1 {
		return "1 file was"
	}
	return fmt.Sprintf("%d files were", n)
}

// notTaken says why a file was not taken in, with its name.
func (s *room) notTaken(name string, err error) string {
	says := strings.TrimSpace(s.Sentence(err) + " " + s.Upper(refusal.Hint(err)))
	if !strings.Contains(says, name) {
		says = "“" + name + "”: " + says
	}
	return says
}
