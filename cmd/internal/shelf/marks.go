package shelf

import (
	"io/fs"
	"os"
	"time"

	"foldwright/cmd/internal/plan"
)

// clockStep is longer than the step of any file system's clock (FAT: 2 s).
const clockStep = 3 * time.Second

// sighting is what was seen of a source before its title was tried.
type sighting struct {
	info fs.FileInfo // nil: it could not be seen
	sum  string      // only of a file so young that its time might not show a change
}

func sightSource(source string) sighting {
	info, err := os.Stat(source)
	if err != nil {
		return sighting{}
	}
	s := sighting{info: info}
	if time.Since(info.ModTime()) < clockStep {
		s.sum, _ = plan.FileSHA256(source) // without a sum the file counts as changed
		if s.sum == "" {
			s.info = nil
		}
	}
	return s
}

// mark notes what a failure follows from. If the source was not the same file
// all the while, nobody knows, and the failure is passing.
func (r *run) mark(t Title, before sighting, f *Failure) {
	f.Password = changeTime(t.Password)
	var errs [3]error
	var after fs.FileInfo
	f.SHA256, errs[0] = plan.FileSHA256(t.Source)
	f.Request, errs[1] = r.request(t)
	after, errs[2] = os.Stat(t.Source)
	if errs != [3]error{} || before.info == nil || after.Size() != before.info.Size() ||
		!after.ModTime().Equal(before.info.ModTime()) || before.sum != "" && before.sum != f.SHA256 {
		f.Passing = true
	}
}
