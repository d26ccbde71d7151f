package printerroom

import (
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
	i := slices.IndexFunc(all, func(k walk) bool { return k.ID == id })
	if i < 0 {
		return walk{}, refusal.Source.New("no printer is being learned here any more").Advise("the list of printers shows those that are known")
	}
	return all[i], nil
}

// change changes a walk and keeps it, unless that is refused; ok says that it is kept any longer.
func (s *room) change(id string, do func(k *walk) (keep bool, err error)) (walk, error) {
	s.walking.Lock()
	defer s.walking.Unlock()
	all, err := s.walks()
	if err != nil {
		return walk{}, err
	}
	i := slices.IndexFunc(all, func(k walk) bool { return k.ID == id })
	if i < 0 {
		_, err := s.walk(id)
		return walk{}, err
	}
	keep, err := do(&all[i])
	if err != nil {
		return all[i], err
	}
	all[i].Change++
	k := all[i]
	if !keep {
		all = slices.Delete(all, i, i+1)
	}
	return k, s.Library.KeepRecord(walksFile, walksRecord{walksKind, walksFormat, all})
}

// addWalk keeps a new walk.
func (s *room) addWalk(name, address string) (walk, error) {
	s.walking.Lock()
	defer s.walking.Unlock()
	all, err := s.walks()
	if err != nil {
		return walk{}, err
	}
	k := walk{ID: library.Slug(name), Name: name, Address: address}
	taken := func(id string) bool { return slices.ContainsFunc(all, func(k walk) bool { return k.ID == id }) }
	for n, id := 2, k.ID; taken(k.ID); n++ {
		k.ID = id + "-" + strconv.Itoa(n)
	}
	all = slices.Insert(all, 0, k)
	return k, s.Library.KeepRecord(walksFile, walksRecord{walksKind, walksFormat, all})
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
