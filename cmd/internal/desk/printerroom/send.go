package printerroom

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"foldwright/cmd/internal/desk/asking"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/learn"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/reorder/refusal"
)

// sendTestSheet sends a print file of the test sheet, to be saved and printed.
func (s *room) sendTestSheet(w http.ResponseWriter, r *http.Request, k walk) error {
	i, err := k.interview()
	if err != nil {
		return err
	}
	heard, paper := i.Heard()
	files := testsheet.Files(paper, heard.Three)
	n := slices.IndexFunc(files, func(f testsheet.File) bool { return f.Name == r.PathValue("file") })
	if n < 0 {
		return refusal.Source.New("there is no such file of the test sheet")
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `attachment; filename="`+files[n].Name+`"`)
	return files[n].Encode(r.Context(), w)
}

// send prints the test sheet on a printer that answers.
func (s *room) send(w http.ResponseWriter, r *http.Request) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	address := cmp.Or(strings.TrimSpace(r.PostForm.Get("other")), r.PostForm.Get("address"))
	k, err := s.change(r.PathValue("walk"), func(k *walk) error {
		i, err := k.begun()
		if err != nil {
			return err
		}
		if where, _ := k.at(i); where != atPrinting {
			return errOld
		}
		if address == "" {
			return refusal.Use.New("no printer was chosen").Advise("choose one, or type its address")
		}
		if _, err := ipp.Open(address); err != nil {
			return err
		}
		k.Address, k.Sending = address, true
		return nil
	})
	switch {
	case k.ID == "":
		return err
	case err != nil:
		return s.showWalk(w, k, r.PostForm, err)
	}
	s.startSending(k)
	return page.Go(w, r, k.path())
}

// startSending prints the test sheet of a walk, unless it is being printed already.
func (s *room) startSending(k walk) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if p := s.sending[k.ID]; p != nil && !p.Now().Ended {
		return
	}
	release := s.Hold()
	s.sending[k.ID] = asking.Begin(s.Context, func(ctx context.Context, p *asking.Person) error {
		defer release()
		err := s.printTestSheet(ctx, k, p)
		if s.Context.Err() != nil {
			return err // the next start tells it
		}
		_, kept := s.change(k.ID, func(k *walk) error {
			k.Sending = false
			if err == nil {
				k.setPrinted()
			}
			return nil
		})
		return errors.Join(err, kept)
	})
}

func (s *room) printTestSheet(ctx context.Context, k walk, person *asking.Person) error {
	i, err := k.interview()
	if err != nil {
		return err
	}
	heard, paper := i.Heard()
	opened, err := ipp.Open(k.Address)
	if err != nil {
		return err
	}
	p, says, err := opened.AskDirectly(ctx)
	if err != nil {
		return err
	}
	if says.Spooler != "" {
		person.Tell("Jobs go through the spooler of this computer, which may fit pages to the paper. You will see it when you measure.")
	}
	dir, err := os.MkdirTemp("", "foldwright-learn")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	folder := filepath.Join(dir, testsheet.Folder)
	if err := testsheet.Write(ctx, folder, testsheet.Options{Paper: paper, Three: heard.Three, Version: s.Version}); err != nil {
		return err
	}
	session := &printing.Session{Folder: folder, Printer: p, Says: says, Person: person, Bar: person, Renderer: s.Renderer, Every: time.Second, Ways: ways}
	return session.PrintTestSheetBy(ctx, heard.TwoSided, paper, sheetCount(heard))
}

// ways are how a person stops printing on the page, and goes on with it.
var ways = printing.Ways{Stop: "“Stop printing” stops", GoOn: "“Print the test sheet there”"}

// askingForm is what a page shows of a test sheet that is being printed.
func askingForm(now asking.Now, k walk) *asking.Form {
	f := &asking.Form{Now: now, Action: k.path() + "/tell"}
	if now.Question != nil && now.Question.Text == printing.ReadyQuestion {
		f.Yes, f.No = "It lies in the tray: print", "Stop"
	}
	return f
}

func sheetCount(heard learn.Heard) int {
	if heard.Three {
		return 3
	}
	return 1
}

// sendingNow is what a test sheet that is being printed shows; nil: none is. ended is what the printing of one
// has ended with, which is told once.
func (s *room) sendingNow(id string) (now *asking.Now, ended error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	p := s.sending[id]
	if p == nil {
		return nil, nil
	}
	n := p.Now()
	if !n.Ended {
		return &n, nil
	}
	delete(s.sending, id)
	return nil, n.Err
}

func (s *room) isSending(id string) bool {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	p := s.sending[id]
	return p != nil && !p.Now().Ended
}

// showPrinting shows how far the printing of a test sheet is, and goes on when it has ended.
func (s *room) showPrinting(w http.ResponseWriter, r *http.Request, k walk) error {
	if !s.isSending(k.ID) {
		return page.Go(w, r, k.path())
	}
	return s.showWalk(w, k, nil, nil)
}

// tell takes the answer to what the printing of a test sheet asks.
func (s *room) tell(w http.ResponseWriter, r *http.Request, k walk) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	s.mutex.Lock()
	p := s.sending[k.ID]
	s.mutex.Unlock()
	if p != nil {
		if err := p.Take(r.PostForm); err != nil {
			return s.showWalk(w, k, nil, err)
		}
	}
	return page.Go(w, r, k.path())
}

// stop stops the printing of a test sheet.
func (s *room) stop(w http.ResponseWriter, r *http.Request, k walk) error {
	s.stopSending(k.ID)
	return page.Go(w, r, k.path())
}

func (s *room) stopSending(id string) {
	s.mutex.Lock()
	p := s.sending[id]
	delete(s.sending, id)
	s.mutex.Unlock()
	if p != nil {
		p.Stop()
	}
}

// addresses are where the test sheet can be printed: where this printer or other printers of the person answer, and
// where one was found. The first is chosen.
func (s *room) addresses(of string, found []ipp.Found) (out []option) {
	add := func(address, says string) {
		if address != "" && !slices.ContainsFunc(out, func(o option) bool { return o.Value == address }) {
			out = append(out, option{Value: address, Says: says, On: address == of})
		}
	}
	add(of, of)
	devices, _ := s.Library.Devices()
	names, _ := s.Profiles.Names()
	for _, name := range names {
		add(devices[name], "“"+name+"” at "+devices[name])
	}
	for _, f := range found {
		add(f.Address, f.Name+" at "+f.Address)
	}
	return out
}
