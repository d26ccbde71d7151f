package pressroom

import (
	"cmp"
	"net/http"
	"strings"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// searchTime is how long printers of the network are waited for: those that are awake
// answer within a second.
const searchTime = 3 * time.Second

// beginning is what the page shows where it is decided how to print.
type beginning struct {
	Prepared, Outdated bool
	Profile            string
	Guessed            bool // nobody has seen how the printer handles paper
	To                 string
	Tray, Type, Bin    string
	MayLeaveOut        bool
	Found              []ipp.Found
	Searched           bool
	Begun, Done        bool
	Lost               string // sheets that are to be printed once more
	Stopped            string // what was sent, and nobody has said yet what came out
	Files              []string
	Sheets, Paper      string
}

func (s *room) showBeginning(w http.ResponseWriter, j job, found []ipp.Found, v page.View) error {
	shown := beginning{
		Prepared: true, Outdated: j.IsOutdated(s.Setting()), Profile: j.made.Profile.Name, Guessed: len(j.made.Profile.Assumed) > 0,
		To: j.record.To, Tray: cmp.Or(j.record.Tray, j.made.Paper.Tray), Type: j.record.Type, Bin: j.record.Bin,
		MayLeaveOut: printing.MayLeaveOutCheck(s.Profiles, j.made) == nil,
		Found:       found, Searched: found != nil, Begun: j.journal.HasBegun(), Done: j.journal.IsDone(j.made),
		Lost: plan.Ranges(j.journal.Lost()), Stopped: j.journal.OpenName(), Files: printFiles(j.made),
		Sheets: reorder.Count(j.made.Sheets, "sheet"), Paper: j.made.Paper.Word(),
	}
	if shown.To == "" {
		devices, err := s.Library.Devices()
		s.Notify(&v, err)
		shown.To = devices[j.made.Profile.Name]
	}
	v.Body = shown
	return s.Show(w, printPage, v)
}

// find searches for printers and shows those that answered.
func (s *room) find(w http.ResponseWriter, r *http.Request, b library.Book) error {
	j, err := s.open(b)
	if err != nil {
		return err
	}
	found := ipp.Find(r.Context(), ipp.Spooler, searchTime)
	if found == nil {
		found = []ipp.Found{}
	}
	return s.showBeginning(w, j, found, page.View{Title: b.Name, Book: &b, At: "print"})
}

// begin begins to print, on a printer or from files.
func (s *room) begin(w http.ResponseWriter, r *http.Request, b library.Book) error {
	to := strings.TrimSpace(r.PostFormValue("to"))
	files := r.PostFormValue("way") == string(byFiles)
	toMaking := r.PostFormValue("way") == string(making)
	noCheck := r.PostFormValue("no-check") != ""
	var begun job
	err := s.change(r, b, func(j *job) error {
		if s.press(b.ID) != nil {
			return oldPage
		}
		switch {
		case toMaking:
			if !j.journal.IsDone(j.made) {
				return refusal.Use.New("not all sheets are printed yet")
			}
			j.record.Way, j.record.At = making, 0
			return nil
		case !files && to == "":
			return refusal.Use.New("no printer was chosen").Advise("type its address, search for it, or print the files yourself")
		case noCheck:
			err := printing.MayLeaveOutCheck(s.Profiles, j.made)
			if refusal.Of(err) == refusal.Use {
				err = refusal.Use.New("the check sheet cannot be left out: none of this printer was found right on this paper yet").Advise("print it first; it is one sheet")
			}
			if err != nil {
				return err
			}
		}
		j.record.NoCheck = noCheck
		if files {
			j.record.Way, j.record.At, j.record.Part = byFiles, 0, nil
			return nil
		}
		j.record.Way, j.record.To = byPrinter, to
		j.record.Tray, j.record.Type, j.record.Bin = r.PostFormValue("tray"), r.PostFormValue("paper-kind"), r.PostFormValue("delivery")
		begun = *j
		return s.Library.SetDevice(j.made.Profile.Name, to)
	})
	if err == nil && begun.record.Way == byPrinter {
		s.start(begun, nil)
	}
	return s.orShow(w, r, b, err)
}

// handleAnotherWay goes back to where it is decided how to print. What was printed stays written down.
func (s *room) handleAnotherWay(w http.ResponseWriter, r *http.Request, b library.Book) error {
	return s.orShow(w, r, b, s.change(r, b, func(j *job) error {
		j.record.Way, j.record.Part = undecided, nil
		return nil
	}))
}
