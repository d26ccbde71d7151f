// Package shelfroom is where many books are prepared at once, overnight.
//
// It is a page before the engine of package shelf: arrive.go takes in many PDFs, choose.go asks which books
// and begins, work.go runs the shelf and tells how far it is, report.go is what one reads in the morning.
// Which books were asked for lies in shelf.json of the library, what became of each in the record of package
// shelf beside it: so a program that was killed goes on.
package shelfroom

import (
	_ "embed"
	"sync"

	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/desk/planroom"
)

//go:embed choose.html
var chooseText string

//go:embed work.html
var workText string

//go:embed report.html
var reportText string

//go:embed failure.html
var failureText string

//go:embed shelf.css
var style string

var (
	choosePage = page.Parse(chooseText + planroom.ForAllTemplate)
	workPage   = page.Parse(workText + failureText)
	reportPage = page.Parse(reportText + failureText)
)

// room is the screen.
type room struct {
	*page.Desk

	mutex sync.Mutex
	work  *work // of this start of the program; nil: none
}

// Add registers the screen.
func Add(d *page.Desk) { add(d) }

func add(d *page.Desk) *room {
	s := &room{Desk: d}
	d.Style(style)
	d.Guard(s.inUse)
	d.Handle("GET /shelf", s.choose)
	d.Handle("POST /shelf", s.take)
	d.Handle("POST /shelf/books", s.takeIn)
	d.Handle("GET /shelf/work", s.showWork)
	d.Handle("POST /shelf/stop", s.stop)
	d.Handle("POST /shelf/on", s.goOn)
	d.Handle("POST /shelf/leave", s.leave)
	d.Handle("GET /shelf/report", s.report)
	return s
}
