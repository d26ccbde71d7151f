package shelfroom

import (
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
	var refused []string
	came, err := page.EachFile(r, func(name string, file io.Reader) error {
		_, err := planroom.TakeIn(r.Context(), s.Desk, name, file)
		if err == nil || r.Context().Err() != nil {
			return err
		}
		refused = append(refused, s.refusedText(name, err))
		return nil
	})
	taken := came - len(refused)
	switch {
	case err != nil:
		return err // what came whole before is kept
	case came == 0:
		return s.showChoose(w, form{}, errNoFile)
	case len(refused) > 0:
		return s.showChoose(w, form{came: cameText(taken)}, refusal.Source.New("%s not taken in: %s", wereText(len(refused)), strings.Join(refused, " ")))
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

var errNoFile error = refusal.Use.New("no file has come").Advise("choose PDFs first")

func wereText(n int) string {
	if n == 1 {
		return "1 file was"
	}
	return fmt.Sprintf("%d files were", n)
}

// refusedText says why a file was not taken in, with its name.
func (s *room) refusedText(name string, err error) string {
	says := s.Explain(err)
	if !strings.Contains(says, name) {
		says = "“" + name + "”: " + says
	}
	return says
}
