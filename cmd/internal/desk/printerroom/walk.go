package printerroom

import (
	"net/http"
	"slices"
	"strconv"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/learn"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// walk is a printer that is being learned, as far as it is known. It is kept after every answer.
type walk struct {
	ID      string            `json:"id"`
	Name    string            `json:"name"`    // of the printer
	Address string            `json:"address"` // where it answers; empty: its files are printed by hand
	Paper   string            `json:"paper"`   // as reorder.ParsePaper takes it; empty: not chosen yet
	Anew    bool              `json:"anew"`    // the paper is chosen anew
	Screen  int               `json:"screen"`  // of printing the test sheet, from 0
	Printed bool              `json:"printed"` // the test sheet is
	Ahead   int               `json:"ahead"`   // so many answers were given before it was printed
	Sending bool              `json:"sending"` // the test sheet is being printed from here
	Given   []learn.Given     `json:"given"`
	Back    map[string]string `json:"taken-back"`
	Change  int               `json:"change"` // counts changes, so that the form of an old page is known
}

// walksFile holds what has been answered so far of printers that are being learned.
const walksFile = "learning.json"

const (
	walksKind   = "foldwright learning"
	walksFormat = 1
)

// walksRecord is learning.json.
type walksRecord struct {
	Kind   string `json:"kind"`
	Format int    `json:"format"`
	Walks  []walk `json:"walks"`
}

func (k walk) path() string { return "/printers/learn/" + k.ID }

// walks are all printers that are being learned, the one begun last first.
func (s *room) walks() ([]walk, error) {
	var r walksRecord
	if err := s.Library.ReadRecord(walksFile, &r); err != nil {
		return nil, err
	}
	if r.Kind != "" && (r.Kind != walksKind || r.Format != walksFormat) {
		return nil, refusal.Output.New("the file %s is not what this version of the program writes", walksFile).Advise("move this file out of the folder of your books, and learn the printer anew")
	}
	return r.Walks, nil
}

// walk is a printer that is being learned.
func (s *room) walk(id string) (walk, error) {
	all, err := s.walks()
	if err != nil {
		return walk{}, err
	}
	i, err := indexOf(all, id)
	if err != nil {
		return walk{}, err
	}
	return all[i], nil
}

func indexOf(all []walk, id string) (int, error) {
	i := slices.IndexFunc(all, func(k walk) bool { return k.ID == id })
	if i < 0 {
		return 0, refusal.Source.New("no printer is being learned here any more").Advise("the list of printers shows those that are known")
	}
	return i, nil
}

// handleWalk registers a route about a walk, which the part "walk" of its path names.
func (s *room) handleWalk(pattern string, h func(http.ResponseWriter, *http.Request, walk) error) {
	s.Handle(pattern, func(w http.ResponseWriter, r *http.Request) error {
		k, err := s.walk(r.PathValue("walk"))
		if err != nil {
			return err
		}
		return h(w, r, k)
	})
}

// update changes all walks and keeps them, unless that is refused.
func (s *room) update(do func([]walk) ([]walk, error)) error {
	s.walking.Lock()
	defer s.walking.Unlock()
	all, err := s.walks()
	if err == nil {
		all, err = do(all)
	}
	if err != nil {
		return err
	}
	return s.Library.KeepRecord(walksFile, walksRecord{walksKind, walksFormat, all})
}

// change changes a walk and keeps it, unless that is refused.
func (s *room) change(id string, do func(*walk) error) (k walk, err error) {
	err = s.update(func(all []walk) ([]walk, error) {
		i, err := indexOf(all, id)
		if err != nil {
			return nil, err
		}
		if err = do(&all[i]); err == nil {
			all[i].Change++
		}
		k = all[i]
		return all, err
	})
	return k, err
}

// removeWalk forgets a walk.
func (s *room) removeWalk(id string) error {
	return s.update(func(all []walk) ([]walk, error) {
		i, err := indexOf(all, id)
		if err != nil {
			return nil, err
		}
		return slices.Delete(all, i, i+1), nil
	})
}

// addWalk keeps a new walk.
func (s *room) addWalk(name, address string) (k walk, err error) {
	k = walk{ID: library.Slug(name), Name: name, Address: address}
	err = s.update(func(all []walk) ([]walk, error) {
		taken := func(id string) bool { return slices.ContainsFunc(all, func(k walk) bool { return k.ID == id }) }
		for n, id := 2, k.ID; taken(k.ID); n++ {
			k.ID = id + "-" + strconv.Itoa(n)
		}
		return slices.Insert(all, 0, k), nil
	})
	return k, err
}

// interview is the questions of a walk whose paper has been chosen, with the answers so far.
func (k walk) interview() (*learn.Interview, error) {
	paper, err := reorder.ParsePaper(k.Paper)
	if err != nil {
		return nil, err
	}
	return learn.Resume(paper, learn.Heard{Paper: k.Paper}, k.Given, k.Back)
}

// keepAnswers takes over what an interview knows.
func (k *walk) keepAnswers(i *learn.Interview) { k.Given, k.Back = i.Given() }
