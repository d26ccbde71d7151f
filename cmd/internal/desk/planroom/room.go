// Package planroom is where books are taken in, looked at and planned.
//
// books.go takes PDFs in, blank.go begins books that have none; drafts.go keeps what is planned of them; choices.go is what a person can
// choose, form.go how it is asked and read; plan.go the page of a book; work.go prepares its print files.
package planroom

import (
	_ "embed"
	"sync"

	"foldwright/cmd/internal/desk/look"
	"foldwright/cmd/internal/desk/page"
)

//go:embed books.html
var booksText string

//go:embed plan.html
var planText string

//go:embed plan.css
var style string

var (
	booksPage  = page.Parse(booksText + ForAllTemplate)
	planPage   = page.Parse(planText + ForAllTemplate)
	removePage = page.Parse(`<p>The PDF, your choices and the print files of “{{.Body.Name}}” are removed from this computer. This cannot be undone.</p>
<form method="post" action="/books/{{.Body.ID}}/remove"><button>Remove the book</button> <a class="button second" href="/">Keep it</a></form>`)
	passwordPage = page.Parse(`<p>This PDF needs a password. It is kept until you end Foldwright and is written down nowhere: after that you are asked again.</p>
<form method="post" action="/books/{{.Book.ID}}/password"><p><label for="password">Password</label> <input type="password" id="password" name="password" required autocomplete="off"></p><button>Open the book</button></form>`)
	workPage = page.Parse(`<div id="work" data-swap>{{with .Body}}{{if .Wrong}}<p class="wrong">{{.Wrong}}</p><p>Nothing half written is left, and print files from before are as they were.</p>{{else}}<p><label for="done">{{.What}}</label></p>
<p><progress id="done" max="{{.Total}}" value="{{.Done}}">{{.Done}} of {{.Total}}</progress> {{.Done}} of {{.Total}} sides done</p>{{end}}{{end}}</div>
<p><a href="/books/{{.Book.ID}}">Go to the plan</a></p>`)
)

// room is the screen.
type room struct {
	*page.Desk
	drafts *drafts

	mutex sync.Mutex
	works map[string]*work // by the IDs of books
}

// Add registers the screen.
func Add(d *page.Desk) { add(d) }

func add(d *page.Desk) *room {
	s := &room{Desk: d, drafts: &drafts{desk: d}, works: map[string]*work{}}
	d.Words = words{}
	look.Add(d, s.drafts)
	d.Style(style)
	d.Handle("GET /{$}", s.showList)
	d.Handle("POST /books", s.takeIn)
	d.Handle("POST /books/blank", s.beginBlank)
	d.Handle("GET /books/{book}/remove", s.askRemove)
	d.Handle("POST /books/{book}/remove", s.remove)
	d.HandleBook("GET /books/{book}", s.plan)
	d.HandleBook("POST /books/{book}/choices", s.choose)
	d.HandleBook("POST /books/{book}/password", s.unlock)
	d.HandleBook("POST /books/{book}/prepare", s.prepare)
	d.HandleBook("GET /books/{book}/prepare", s.showWork)
	d.HandleBook("POST /books/{book}/kit", s.makeKit)
	d.HandleBook("GET /books/{book}/kit", s.sendKit)
	d.HandleBook("GET /books/{book}/files/{file}", s.sendFile)
	return s
}
