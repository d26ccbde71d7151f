package printerroom

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/learn"
	"foldwright/profiles"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// checkKnown refuses names that no printer has: none of them is ever a path.
func (s *room) checkKnown(name string) error {
	names, err := s.Profiles.Names()
	if err == nil && !slices.Contains(names, name) {
		err = refusal.Source.New("there is no printer “%s”", name).Advise("the list of printers shows those that there are")
	}
	return err
}

// checkOwn refuses printers besides that are not the person's own.
func (s *room) checkOwn(name string) error {
	err := s.checkKnown(name)
	if err == nil && slices.Contains(profiles.Builtin(), name) {
		err = refusal.Use.New("“%s” is built in and stays as it is", name).Advise("make a copy of it, which is yours to change")
	}
	return err
}

// handlePrinter registers a route about a printer, which the part "name" of its path names, if the name passes a check.
func (s *room) handlePrinter(
	pattern string, check func(name string) error, h func(w http.ResponseWriter, r *http.Request, name string) error,
) {
	s.Handle(pattern, func(w http.ResponseWriter, r *http.Request) error {
		name := r.PathValue("name")
		if err := check(name); err != nil {
			return err
		}
		return h(w, r, name)
	})
}

// pathOf is the page of a printer.
func pathOf(name string) string { return "/printers/of/" + url.PathEscape(name) }

func (s *room) handleProfile(w http.ResponseWriter, _ *http.Request, name string) error {
	return s.showProfile(w, name, nil, nil)
}

// showProfile shows a printer, with what it said of itself, or with what was refused.
func (s *room) showProfile(w http.ResponseWriter, name string, said []ipp.Fact, refused error) error {
	v := page.View{Title: "Printer " + name, At: "printers"}
	show := struct {
		shownPrinter
		Says  []string
		Fit   []string // what was measured
		Books string
		Said  []ipp.Fact
	}{shownPrinter: s.about(name, s.papers()), Books: s.booksOn(name), Said: said}
	devices, err := s.Library.Devices()
	show.Address = devices[name]
	if p, err := s.Profiles.Find(name); err == nil {
		show.Says = learn.Sentences(p)
		show.Fit = phrase.Strings(learn.Measured(p), s.Words)
	}
	if refused == nil {
		refused = err
	}
	s.Notify(&v, refused)
	v.Body = show
	return s.Show(w, profilePage, v)
}

// rename gives a printer another name: the profile, its address, its check sheets, and the books that name it.
func (s *room) rename(w http.ResponseWriter, r *http.Request, name string) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	to := strings.TrimSpace(r.PostForm.Get("to"))
	if to == name {
		return page.Go(w, r, pathOf(name))
	}
	if err := s.carryOver(name, to); err != nil {
		return s.showProfile(w, name, nil, err)
	}
	chosen, err := s.Profiles.Default()
	if err == nil && chosen == name {
		err = s.Profiles.SetDefault(to)
	}
	if err == nil {
		_, err = s.Profiles.Remove(name)
	}
	if err == nil {
		err = s.moveAddress(name, to)
	}
	if err == nil {
		err = s.moveBooks(name, to)
	}
	if err != nil {
		return err
	}
	return page.Go(w, r, pathOf(to))
}

// copy makes another printer of the same facts, for another tray or another paper.
func (s *room) copy(w http.ResponseWriter, r *http.Request, name string) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	to := strings.TrimSpace(r.PostForm.Get("to"))
	p, err := s.Profiles.Find(name)
	if err == nil {
		p.Name = to
		_, err = s.Profiles.Save(p, false)
	}
	if err != nil {
		return s.showProfile(w, name, nil, err)
	}
	return page.Go(w, r, pathOf(to))
}

// carryOver saves a profile under another name, with the papers on which its check sheet was right.
func (s *room) carryOver(name, to string) error {
	p, err := s.Profiles.Find(name)
	if err != nil {
		return err
	}
	next := p
	next.Name = to
	if _, err := s.Profiles.Save(next, false); err != nil {
		return err
	}
	if next, err = s.Profiles.Find(to); err != nil {
		return err
	}
	for _, paper := range s.papers() {
		right, err := s.Profiles.IsChecked(p, paper.Name)
		if err == nil && right {
			err = s.Profiles.SetChecked(next, paper.Name)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *room) moveAddress(name, to string) error {
	devices, err := s.Library.Devices()
	if err != nil || devices[name] == "" {
		return err
	}
	return errors.Join(s.Library.SetDevice(to, devices[name]), s.Library.SetDevice(name, ""))
}

func (s *room) moveBooks(name, to string) error {
	books, err := s.Library.Books()
	if err != nil {
		return err
	}
	for _, b := range books {
		if b.Damage == nil && b.Choices["printer"] == name {
			b.Choices["printer"] = to
			if err := b.Keep(); err != nil {
				return err
			}
		}
	}
	return nil
}

func (s *room) makeDefault(w http.ResponseWriter, r *http.Request, name string) error {
	if err := s.Profiles.SetDefault(name); err != nil {
		return s.showProfile(w, name, nil, err)
	}
	return page.Go(w, r, pathOf(name))
}

// keepAddress keeps at which address the printer of a profile answers; an empty one forgets it.
func (s *room) keepAddress(w http.ResponseWriter, r *http.Request) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	name := r.PostForm.Get("printer")
	if err := s.checkKnown(name); err != nil {
		return err
	}
	address := strings.TrimSpace(r.PostForm.Get("address"))
	if address != "" {
		if _, err := ipp.Open(address); err != nil {
			return s.showProfile(w, name, nil, err)
		}
	}
	if err := s.Library.SetDevice(name, address); err != nil {
		return err
	}
	return page.Go(w, r, pathOf(name))
}

// ask asks the printer what it says of itself.
func (s *room) ask(w http.ResponseWriter, r *http.Request, name string) error {
	devices, err := s.Library.Devices()
	if err != nil {
		return err
	}
	p, err := ipp.Open(devices[name])
	if err != nil {
		return s.showProfile(w, name, nil, err)
	}
	_, d, err := p.AskDirectly(r.Context())
	if err != nil {
		return s.showProfile(w, name, nil, err)
	}
	return s.showProfile(w, name, d.Facts(), nil)
}

func (s *room) askRemove(w http.ResponseWriter, _ *http.Request, name string) error {
	return s.Show(w, removePage, page.View{Title: "Remove this printer?", At: "printers", Body: struct{ Name, Path, Books string }{name, pathOf(name), s.booksOn(name)}})
}

func (s *room) remove(w http.ResponseWriter, r *http.Request, name string) error {
	if _, err := s.Profiles.Remove(name); err != nil {
		return err
	}
	if err := s.Library.SetDevice(name, ""); err != nil {
		return err
	}
	return page.Go(w, r, "/printers")
}
