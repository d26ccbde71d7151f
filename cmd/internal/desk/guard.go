package desk

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"foldwright/reorder/refusal"
)

// guard stands before all routes and decides who may ask. In this order:
//
//  1. The host that a request names has to be ours, or a name of the network that was made to
//     point here (DNS rebinding) could read the page.
//  2. A token in the address, good once, is exchanged for a cookie that scripts cannot read and
//     other sites do not send.
//  3. Without the cookie nothing is told.
//  4. What changes something comes from our own pages ([http.CrossOriginProtection]).
type guard struct {
	host   string // 127.0.0.1:PORT
	next   http.Handler
	cookie string // its name; cookies know no ports, so that two programs would share one
	secret string // what the cookie holds
	key    string // what another start of the program asks with for a way in
	last   atomic.Int64

	mutex  sync.Mutex
	tokens map[[sha256.Size]byte]time.Time // given out, with the time until which they are good
}

// tokenTime is how long a way in is good: a slow computer may take a while to start its browser.
const tokenTime = 10 * time.Minute

// Paths of the guard itself.
const (
	entrancePath = "/in"
	anotherPath  = "/another-way-in"
)

func newGuard(host string, next http.Handler) *guard {
	_, port, _ := net.SplitHostPort(host) // it is that of a listener
	g := &guard{
		host: host, next: http.NewCrossOriginProtection().Handler(next), cookie: "foldwright-" + port,
		secret: rand.Text(), key: rand.Text(), tokens: map[[sha256.Size]byte]time.Time{},
	}
	g.last.Store(time.Now().UnixNano())
	return g
}

// entrance is an address that lets one browser in, once.
func (g *guard) entrance() string {
	token := rand.Text()
	g.mutex.Lock()
	defer g.mutex.Unlock()
	g.tokens[sha256.Sum256([]byte(token))] = time.Now().Add(tokenTime)
	return fmt.Sprintf("http://%s%s?token=%s", g.host, entrancePath, url.QueryEscape(token))
}

// redeem tells whether a token is good, which it is once.
func (g *guard) redeem(token string) bool {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	sum := sha256.Sum256([]byte(token))
	until, known := g.tokens[sum]
	delete(g.tokens, sum)
	return known && time.Now().Before(until)
}

func isSame(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

func (g *guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Host != g.host {
		http.Error(w, "This address is not Foldwright's.", http.StatusMisdirectedRequest)
		return
	}
	protect(w.Header())
	watchBody(w, r)
	switch {
	case r.URL.Path == anotherPath && r.Method == http.MethodPost:
		if !isSame(r.Header.Get("Authorization"), "Bearer "+g.key) {
			http.Error(w, "This key is not known.", http.StatusForbidden)
			return
		}
		fmt.Fprint(w, g.entrance())
		return
	case r.URL.Path == entrancePath && r.Method == http.MethodGet:
		g.enter(w, r)
		return
	}
	if c, err := r.Cookie(g.cookie); err != nil || !isSame(c.Value, g.secret) {
		http.Error(w, "Open Foldwright by its program: this window has no way in.", http.StatusForbidden)
		return
	}
	g.last.Store(time.Now().UnixNano())
	g.next.ServeHTTP(w, r)
}

// enter exchanges a token for the cookie. A browser that has it may come again by an old address.
func (g *guard) enter(w http.ResponseWriter, r *http.Request) {
	c, err := r.Cookie(g.cookie)
	known := err == nil && isSame(c.Value, g.secret)
	if !known && !g.redeem(r.URL.Query().Get("token")) {
		http.Error(w, "This address has been used before. Open Foldwright by its program once more.", http.StatusForbidden)
		return
	}
	http.SetCookie(w, &http.Cookie{Name: g.cookie, Value: g.secret, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	// A redirect would be sent without the cookie where another program opened the address: a
	// strict cookie only goes with what our own page asks for.
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	fmt.Fprint(w, `<!DOCTYPE html><html lang="en"><title>Foldwright</title><meta http-equiv="refresh" content="0; url=/"><p><a href="/">Go to Foldwright</a></p></html>`)
}

// protect says what a page of ours may do: nothing that does not come from here.
func protect(h http.Header) {
	h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
}

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
