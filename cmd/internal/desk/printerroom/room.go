// Package printerroom is where a person gets to know the printers: which there are, what each does with
// paper, at which address it answers; and where one is learned from its test sheet, a question a screen.
//
// list.go shows all printers, profile.go one of them, search.go looks for some in the network. A walk
// (walk.go) is a printer that is being learned; screens.go is what it shows now, answers.go what a person
// does there, pictures.go the drawings, send.go prints the test sheet without a dialog. What is asked, and
// what follows, is package learn's.
package printerroom

import (
	"context"
	_ "embed"
	"sync"
	"time"

	"foldwright/cmd/internal/desk/asking"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/ipp"
)

//go:embed list.html
var listText string

//go:embed profile.html
var profileText string

//go:embed learn.html
var learnText string

//go:embed printer.css
var style string

var (
	listPage    = page.Parse(listText)
	profilePage = page.Parse(profileText)
	removePage  = page.Parse(`<p>What is known of “{{.Body.Name}}” is removed from this computer. This cannot be undone; you would have to learn it again from a test sheet.</p>
{{with .Body.Books}}<p>These books are to be printed on it, and you would have to choose another printer for them: {{.}}.</p>{{end}}
<form method="post" action="{{.Body.Path}}/remove"><button>Remove the printer</button> <a class="button second" href="{{.Body.Path}}">Keep it</a></form>`)
	searchPage = page.Parse(`<div id="found" data-swap>{{template "found" .Body}}</div>
<p><a href="/printers">Back to your printers</a></p>
` + foundText)
	beginPage  = page.Parse(beginText)
	learnPage  = page.Parse(learnText + asking.Template + foundText)
	giveUpPage = page.Parse(`<p>Your answers so far are thrown away. What was known of printers before stays as it is.</p>
<form method="post" action="/printers/learn/{{.Body.ID}}/remove"><button>Throw the answers away</button> <a class="button second" href="/printers/learn/{{.Body.ID}}">Go on learning</a></form>`)
)

// room is the screen.
type room struct {
	*page.Desk
	find func(context.Context) []ipp.Found // printers that answer

	walking sync.Mutex // held while walks are read and written

	mutex   sync.Mutex
	search  *search
	sending map[string]*asking.Person // test sheets that are being printed, by their walks
}

// searchTime is how long printers of the network are waited for: those that are awake
// answer within a second.
const searchTime = 3 * time.Second

// Add registers the screen.
func Add(d *page.Desk) { add(d) }

func add(d *page.Desk) *room {
	s := &room{Desk: d, sending: map[string]*asking.Person{}}
	s.find = func(ctx context.Context) []ipp.Found { return ipp.Find(ctx, ipp.Spooler, searchTime) }
	d.Style(style)
	d.Handle("GET /printers", s.showList)
	d.Handle("GET /printers/found", s.showFound)
	d.Handle("POST /printers/found", s.startSearch)
	d.Handle("POST /printers/address", s.keepAddress)
	s.handlePrinter("GET /printers/of/{name}", s.checkKnown, s.handleProfile)
	s.handlePrinter("POST /printers/of/{name}/rename", s.checkOwn, s.rename)
	s.handlePrinter("POST /printers/of/{name}/copy", s.checkKnown, s.copy)
	s.handlePrinter("POST /printers/of/{name}/default", s.checkKnown, s.makeDefault)
	s.handlePrinter("POST /printers/of/{name}/ask", s.checkKnown, s.ask)
	s.handlePrinter("GET /printers/of/{name}/remove", s.checkOwn, s.askRemove)
	s.handlePrinter("POST /printers/of/{name}/remove", s.checkOwn, s.remove)
	d.Handle("GET /printers/learn", s.begin)
	d.Handle("POST /printers/learn", s.beginWalk)
	s.handleWalk("GET /printers/learn/{walk}", s.show)
	d.Handle("POST /printers/learn/{walk}", s.take)
	s.handleWalk("GET /printers/learn/{walk}/sheet/{file}", s.sendTestSheet)
	d.Handle("POST /printers/learn/{walk}/send", s.send)
	s.handleWalk("GET /printers/learn/{walk}/printing", s.showPrinting)
	s.handleWalk("POST /printers/learn/{walk}/tell", s.tell)
	s.handleWalk("POST /printers/learn/{walk}/stop", s.stop)
	s.handleWalk("GET /printers/learn/{walk}/remove", s.askGiveUp)
	s.handleWalk("POST /printers/learn/{walk}/remove", s.giveUp)
	return s
}
