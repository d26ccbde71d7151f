package printerroom

import (
	"context"
	"net/http"
	"time"

	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/ipp"
)

// search is a search for printers, which goes on beside the pages.
type search struct {
	*page.Task
	found []ipp.Found // once it is done
}

// foundView is how far a search is.
type foundView struct {
	Searching, Searched bool
	Found               []ipp.Found
	Printers            []string // of the person, for which an address can be kept
	Walk                string   // where the search was begun from; empty: from the list
}

// foundText shows what a search has found.
const foundText = `{{define "found"}}{{if .Searching}}<p role="status">Looking for printers that answer…</p>
{{else}}{{if .Searched}}{{if not .Found}}<p>No printer and no queue has answered. Is the printer switched on, and in the same network as this computer? Its address can be typed, too: look in the printer's own menu for the network settings.</p>{{end}}{{end}}
{{range $i, $f := .Found}}<div class="printer-found"><h2>{{.Name}}</h2><p>{{with .Model}}{{.}}. {{end}}<span class="soft">{{.Address}}</span>{{with .Leads}} <span class="soft">A queue that leads to {{.}}.</span>{{end}}</p>
{{if $.Printers}}<form method="post" action="/printers/address"><input type="hidden" name="address" value="{{.Address}}"><p><label for="for-{{$i}}">This is the printer</label> <select id="for-{{$i}}" name="printer">{{range $.Printers}}<option>{{.}}</option>{{end}}</select> <button class="second">Keep its address</button></p></form>{{end}}
<form method="post" action="/printers/learn"><input type="hidden" name="address" value="{{.Address}}"><p><label for="name-{{$i}}">Learn it under the name</label> <input id="name-{{$i}}" name="name" required autocomplete="off"> <button class="second">Learn it</button></p></form></div>
{{end}}
<form method="post" action="/printers/found"><input type="hidden" name="walk" value="{{.Walk}}"><p><button{{if .Searched}} class="second"{{end}}>{{if .Searched}}Look again{{else}}Look for printers{{end}}</button></p></form>{{end}}{{end}}`

// startSearch looks for printers, unless somebody is looking already.
func (s *room) startSearch(w http.ResponseWriter, r *http.Request) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	s.mutex.Lock()
	if s.search == nil || s.search.IsDone() {
		k := &search{}
		k.Task = s.Start(func(ctx context.Context) error {
			k.found = s.find(ctx)
			return nil
		})
		s.search = k
	}
	s.mutex.Unlock()
	if k, err := s.walk(r.PostForm.Get("walk")); err == nil {
		return page.Go(w, r, k.path())
	}
	return page.Go(w, r, "/printers/found")
}

// foundNow is how far the search is.
func (s *room) foundNow() foundView {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	switch {
	case s.search == nil:
		return foundView{}
	case !s.search.IsDone():
		return foundView{Searching: true}
	}
	return foundView{Searched: true, Found: s.search.found}
}

func (s *room) showFound(w http.ResponseWriter, _ *http.Request) error {
	show := s.foundNow()
	names, err := s.Profiles.Names()
	if err != nil {
		return err
	}
	for _, name := range names {
		if s.about(name, nil).Own {
			show.Printers = append(show.Printers, name)
		}
	}
	v := page.View{Title: "Printers that answer", At: "printers", Body: show}
	if show.Searching {
		v.Poll = 500 * time.Millisecond
	}
	return s.Show(w, searchPage, v)
}
