package printerroom

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/learn"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// shownPrinter is a printer as the pages tell of it.
type shownPrinter struct {
	Name, Does, Has string
	Path            string // of its page
	Note            string
	Own             bool
	Default         bool
	Wrong, Hint     string   // why its profile cannot be used
	Assumed         string   // which facts nobody has looked at
	Checked         []string // the papers on which its check sheet was found right
	Address         string
}

// shownWalk is a printer that is being learned.
type shownWalk struct {
	ID, Name string
	Answers  int
}

func (s *room) showList(w http.ResponseWriter, _ *http.Request) error {
	v := page.View{Title: "Printers", At: "printers"}
	show := struct {
		Own, Builtin []shownPrinter
		Walks        []shownWalk
	}{}
	names, err := s.Profiles.Names()
	if err != nil {
		return refusal.Output.New("the folder of your printers cannot be read: %w", err)
	}
	devices, wrong := s.Library.Devices()
	walks, wrong2 := s.walks()
	for _, e := range []error{wrong, wrong2} {
		s.Notify(&v, e)
	}
	papers := s.papers()
	for _, name := range names {
		p := s.about(name, papers)
		p.Address = devices[name]
		if p.Own {
			show.Own = append(show.Own, p)
		} else {
			show.Builtin = append(show.Builtin, p)
		}
	}
	for _, k := range walks {
		show.Walks = append(show.Walks, shownWalk{k.ID, k.Name, len(k.Given)})
	}
	v.Body = show
	return s.Show(w, listPage, v)
}

// about is a printer that there is, by its name.
func (s *room) about(name string, papers []reorder.Paper) shownPrinter {
	out := shownPrinter{Name: name, Path: pathOf(name), Own: !slices.Contains(profiles.Builtin(), name)}
	chosen, err := s.Profiles.Default()
	out.Default = err == nil && chosen == name
	p, err := s.Profiles.Find(name)
	if err != nil {
		out.Wrong, out.Hint = s.Sentence(err), s.Hint(err)
		return out
	}
	out.Does, out.Has, out.Note = learn.Summary(p), learn.Equipment(p), p.Note
	if len(p.Assumed) > 0 && out.Own {
		out.Assumed = assumedWords(p.Assumed)
	}
	for _, paper := range papers {
		if right, err := s.Profiles.IsChecked(p, paper.Name); err == nil && right {
			out.Checked = append(out.Checked, paper.Word())
		}
	}
	return out
}

// assumedWords tells which facts nobody has looked at.
func assumedWords(assumed []string) string {
	if len(assumed) == 1 {
		return fmt.Sprintf("One thing was not tested, and is assumed to be as on most printers: %s.", learn.FactWords[assumed[0]])
	}
	var words []string
	for _, name := range assumed {
		words = append(words, learn.FactWords[name])
	}
	return fmt.Sprintf("%s were not tested, and are assumed to be as on most printers: %s.", reorder.Count(len(assumed), "thing"), refusal.List(words, "and"))
}

// papers are those of which a check sheet may have been printed: the papers with short names, one's own, and what
// the profiles and the books name.
func (s *room) papers() (out []reorder.Paper) {
	add := func(text string) {
		if p, err := reorder.ParsePaper(text); err == nil && !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	for _, name := range reorder.ShortPaperNames() {
		add(name)
	}
	own, _ := s.Profiles.Papers()
	for _, name := range own {
		if p, err := s.Profiles.FindPaper(name); err == nil {
			add(p.Size)
		}
	}
	names, _ := s.Profiles.Names()
	for _, name := range names {
		if p, err := s.Profiles.Find(name); err == nil {
			add(p.Paper)
		}
	}
	books, _ := s.Library.Books()
	for _, b := range books {
		add(b.Choices["paper"])
	}
	return out
}

// booksOn are the books that are to be printed on a printer, by their names.
func (s *room) booksOn(name string) string {
	var words []string
	books, _ := s.Library.Books()
	for _, b := range books {
		if b.Choices["printer"] == name {
			words = append(words, "“"+b.Name+"”")
		}
	}
	return strings.Join(words, ", ")
}
