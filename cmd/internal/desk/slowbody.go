package desk

import (
	"errors"
	"io"
	"net/http"
	"os"
	"time"

	"foldwright/reorder/refusal"
)

// window is the time in which something has to come of what a request sends: within this
// computer anything comes faster.
var window = 30 * time.Second

// leastInWindow is how many bytes have to come in a window.
const leastInWindow = 16 << 10

// slowBody gives up a body that comes too slowly, so that nobody can hold a place for ever by
// sending a byte now and then.
type slowBody struct {
	io.ReadCloser
	control *http.ResponseController
	end     time.Time // of the window
	came    int       // bytes in this window
}

// watchBody makes the body of a request one that cannot come too slowly.
func watchBody(w http.ResponseWriter, r *http.Request) {
	if r.Body != nil && r.Body != http.NoBody {
		r.Body = &slowBody{ReadCloser: r.Body, control: http.NewResponseController(w)}
	}
}

func (b *slowBody) Read(p []byte) (int, error) {
	if now := time.Now(); b.end.IsZero() || now.After(b.end) && b.came >= leastInWindow {
		b.end, b.came = now.Add(window), 0
		if err := b.control.SetReadDeadline(b.end.Add(window / 8)); err != nil {
			return 0, err
		}
	} else if now.After(b.end) {
		return 0, errTooSlow
	}
	n, err := b.ReadCloser.Read(p)
	b.came += n
	switch {
	case errors.Is(err, os.ErrDeadlineExceeded):
		return n, errTooSlow
	case errors.Is(err, io.EOF):
		// The connection may serve other requests: they have their own time.
		if failed := b.control.SetReadDeadline(time.Time{}); failed != nil {
			return n, failed
		}
	}
	return n, err
}

var errTooSlow = refusal.Source.New("what was sent came too slowly and was given up").Advise("send it once more")
