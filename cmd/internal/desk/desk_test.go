package desk

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/profiles"
)

// opened is a desk that is open, and the way in that its person was shown.
type opened struct {
	entrance string
	ended    <-chan error
	quit     func()
	dir      string
}

func open(t *testing.T, o Options) opened {
	t.Helper()
	ctx, quit := context.WithCancel(t.Context())
	t.Cleanup(quit)
	shown, ended := make(chan string, 1), make(chan error, 1)
	if o.Books == "" {
		o.Books = filepath.Join(t.TempDir(), "books")
	}
	o.Profiles, o.Version = profiles.Open(t.TempDir()), "test"
	o.Browse = func(address string) error { shown <- address; return nil }
	go func() { ended <- Open(ctx, o) }()
	select {
	case address := <-shown:
		return opened{address, ended, quit, o.Books}
	case err := <-ended:
		t.Fatalf("it ended at once: %v", err)
	}
	return opened{}
}

// browser is a client that keeps cookies, as browsers do.
func browser(t *testing.T) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Jar: jar}
}

// comeIn is a browser that has come in.
func (o opened) comeIn(t *testing.T) *http.Client {
	t.Helper()
	b := browser(t)
	if status, text := get(t, b, o.entrance); status != http.StatusOK {
		t.Fatalf("the entrance says %d: %s", status, text)
	}
	return b
}

func (o opened) at(path string) string {
	u, err := url.Parse(o.entrance)
	if err != nil {
		panic(err)
	}
	return u.Scheme + "://" + u.Host + path
}

func get(t *testing.T, b *http.Client, address string) (int, string) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	return do(t, b, r)
}

func do(t *testing.T, b *http.Client, r *http.Request) (int, string) {
	t.Helper()
	answer, err := b.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}

func (o opened) post(t *testing.T, b *http.Client, path string, change func(*http.Request)) (int, string) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, o.at(path), strings.NewReader("x=1"))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if change != nil {
		change(r)
	}
	return do(t, b, r)
}

// waitFor waits until the desk has ended. The time is for what hangs.
func (o opened) waitFor(t *testing.T) {
	t.Helper()
	select {
	case err := <-o.ended:
		if err != nil {
			t.Errorf("it ended with %v", err)
		}
	case <-time.After(2 * time.Minute):
		t.Fatal("it does not end")
	}
}

func TestOnlyThePersonComesIn(t *testing.T) {
	o := open(t, Options{})
	stranger := browser(t)
	for name, try := range map[string]func() (int, string){
		"no cookie":         func() (int, string) { return get(t, stranger, o.at("/")) },
		"a cookie of sorts": func() (int, string) { return o.withCookie(t, "AAAAAAAAAAAAAAAAAAAAAAAAAA") },
		"no token":          func() (int, string) { return get(t, stranger, o.at(entrancePath)) },
		"a token of sorts":  func() (int, string) { return get(t, stranger, o.at(entrancePath+"?token=AAAA")) },
		"no key":            func() (int, string) { return o.post(t, stranger, anotherPath, nil) },
		"a key of sorts": func() (int, string) {
			return o.post(t, stranger, anotherPath, func(r *http.Request) { r.Header.Set("Authorization", "Bearer AAAA") })
		},
		"a post without a cookie": func() (int, string) { return o.post(t, stranger, "/end", nil) },
	} {
		if status, text := try(); status != http.StatusForbidden || strings.Contains(text, "<main") {
			t.Errorf("%s: %d %s", name, status, text)
		}
	}
	person := o.comeIn(t)
	if status, text := get(t, person, o.at("/")); status != http.StatusOK || !strings.Contains(text, "<main") {
		t.Errorf("the person sees %d %s", status, text)
	}
	if status, _ := get(t, stranger, o.entrance); status != http.StatusForbidden {
		t.Errorf("the token was good twice: %d", status)
	}
	if status, _ := get(t, person, o.entrance); status != http.StatusOK {
		t.Errorf("the person's own browser does not come in by the address in its history: %d", status)
	}
}

func (o opened) withCookie(t *testing.T, value string) (int, string) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, o.at("/"), nil)
	if err != nil {
		t.Fatal(err)
	}
	u, _ := url.Parse(o.entrance)
	r.AddCookie(&http.Cookie{Name: "foldwright-" + u.Port(), Value: value})
	return do(t, browser(t), r)
}

// TestOtherHostsAreRefused: a name of the network that points to this computer is not ours, whatever the cookie.
func TestOtherHostsAreRefused(t *testing.T) {
	o := open(t, Options{})
	person := o.comeIn(t)
	u, _ := url.Parse(o.entrance)
	for _, host := range []string{"larkhaven.example", "larkhaven.example:" + u.Port(), "localhost:" + u.Port(), "127.0.0.1", "127.0.0.1:1", "[::1]:" + u.Port()} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, o.at("/"), nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Host = host
		if status, text := do(t, person, r); status != http.StatusMisdirectedRequest || strings.Contains(text, "<main") {
			t.Errorf("%s: %d %s", host, status, text)
		}
	}
}

// TestOtherSitesChangeNothing: what a browser sends on behalf of another site is refused, also with the cookie.
func TestOtherSitesChangeNothing(t *testing.T) {
	o := open(t, Options{})
	person := o.comeIn(t)
	for name, change := range map[string]func(*http.Request){
		"a foreign origin":          func(r *http.Request) { r.Header.Set("Origin", "http://larkhaven.example") },
		"an origin of another port": func(r *http.Request) { r.Header.Set("Origin", "http://127.0.0.1:1") },
		"an origin without a name":  func(r *http.Request) { r.Header.Set("Origin", "null") },
		"a cross-site post":         func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") },
		"a post of the same site":   func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") },
	} {
		if status, _ := o.post(t, person, "/end", change); status != http.StatusForbidden {
			t.Errorf("%s: %d", name, status)
		}
	}
	if status, _ := get(t, person, o.at("/end")); status == http.StatusOK {
		t.Errorf("a GET ends it: %d", status)
	}
	if status, _ := get(t, person, o.at("/alive")); status != http.StatusNoContent {
		t.Fatal("it has been ended")
	}
	status, text := o.post(t, person, "/end", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-origin") })
	if status != http.StatusOK || !strings.Contains(text, "has ended") {
		t.Errorf("our own page ends it with %d %s", status, text)
	}
	o.waitFor(t)
}

// TestPagesMayDoLittle: whatever comes, also what is refused, says what may run on it.
func TestPagesMayDoLittle(t *testing.T) {
	o := open(t, Options{})
	person := o.comeIn(t)
	for _, path := range []string{"/", "/desk.css", "/desk.js", "/books/none", "/no/such/page"} {
		answer, err := person.Get(o.at(path))
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		policy := answer.Header.Get("Content-Security-Policy")
		if !strings.HasPrefix(policy, "default-src 'none';") || strings.Contains(policy, "unsafe") || answer.Header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s may do %q", path, policy)
		}
	}
	u, _ := url.Parse(o.at("/"))
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, o.entrance, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.AddCookie(person.Jar.Cookies(u)[0])
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if c := answer.Cookies(); len(c) != 1 || !c[0].HttpOnly || c[0].SameSite != http.SameSiteStrictMode {
		t.Errorf("the cookie is %v", c)
	}
}

// TestTheSecondStartShowsTheFirst: it gets a way in of its own, and serves nothing.
func TestTheSecondStartShowsTheFirst(t *testing.T) {
	o := open(t, Options{})
	again := open(t, Options{Books: o.dir})
	again.waitFor(t)
	if again.entrance == o.entrance {
		t.Error("the same token was given out twice")
	}
	if status, _ := get(t, again.comeIn(t), o.at("/alive")); status != http.StatusNoContent {
		t.Errorf("it shows %d", status)
	}
	if info, err := os.Stat(filepath.Join(o.dir, addressFile)); err != nil || info.Mode().Perm()&0o077 != 0 && os.PathSeparator == '/' {
		t.Errorf("others may read the key: %v, %v", info, err)
	}
	o.quit()
	o.waitFor(t)
	third := open(t, Options{Books: o.dir})
	if status, _ := get(t, third.comeIn(t), third.at("/alive")); status != http.StatusNoContent {
		t.Errorf("after the first has ended the page says %d", status)
	}
}

// TestAKilledDeskIsForgotten: its file lies there, and nobody holds the lock.
func TestAKilledDeskIsForgotten(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, addressFile), []byte(`{"host":"127.0.0.1:1","key":"K"}`), 0o600); err != nil {
		t.Fatal(err)
	}
	o := open(t, Options{Books: dir})
	if status, _ := get(t, o.comeIn(t), o.at("/alive")); status != http.StatusNoContent {
		t.Errorf("the page says %d", status)
	}
}

func TestItEndsWhenIdle(t *testing.T) {
	open(t, Options{Idle: 100 * time.Millisecond}).waitFor(t)
}

// TestItDoesNotEndWhileSomethingIsInWork, and asks before it is ended then.
func TestItDoesNotEndWhileSomethingIsInWork(t *testing.T) {
	d := &page.Desk{Context: t.Context(), Quit: func() { t.Error("it ended") }}
	release := d.Hold()
	routes := d.Routes()
	o := httptestServer(t, routes)
	answer, err := http.Post(o+"/end", "application/x-www-form-urlencoded", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if text, _ := io.ReadAll(answer.Body); !strings.Contains(string(text), "End it all the same") {
		t.Errorf("it says %s", text)
	}
	release()
	release()
	if d.IsBusy() {
		t.Error("it is busy still")
	}
}

func httptestServer(t *testing.T, h http.Handler) string {
	t.Helper()
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &http.Server{Handler: h}
	go func() { _ = s.Serve(l) }() // until it is closed
	t.Cleanup(func() { _ = s.Close() })
	return "http://" + l.Addr().String()
}

// TestWhatComesTooSlowlyIsGivenUp: a byte now and then holds no place for ever.
func TestWhatComesTooSlowlyIsGivenUp(t *testing.T) {
	window = 200 * time.Millisecond
	t.Cleanup(func() { window = 30 * time.Second })
	read := make(chan error, 1)
	at := httptestServer(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		watchBody(w, r)
		_, err := io.Copy(io.Discard, r.Body)
		read <- err
	}))
	body, sends := io.Pipe()
	defer sends.Close()
	go func() {
		for {
			if _, err := sends.Write([]byte("x")); err != nil {
				return
			}
			time.Sleep(20 * time.Millisecond)
		}
	}()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, at, body)
	if err != nil {
		t.Fatal(err)
	}
	if answer, err := http.DefaultClient.Do(r); err == nil {
		answer.Body.Close()
	}
	if err := <-read; !errors.Is(err, errTooSlow) {
		t.Errorf("it was read to %v", err)
	}
	// What comes at once is taken, whatever its size.
	if answer, err := http.Post(at, "text/plain", bytes.NewReader(make([]byte, 5<<20))); err != nil || answer.StatusCode != http.StatusOK {
		t.Errorf("%v, %v", answer, err)
	}
	if err := <-read; err != nil {
		t.Errorf("what came at once was read to %v", err)
	}
}

// TestNamesFromOutsideAreNoPaths: whatever a file or a book is called, nothing is read or
// written outside of the folder of books.
func TestNamesFromOutsideAreNoPaths(t *testing.T) {
	dir := t.TempDir()
	outside := filepath.Join(dir, "outside.pdf")
	if err := os.WriteFile(outside, []byte("the keeper's own"), 0o600); err != nil {
		t.Fatal(err)
	}
	l, err := library.Open(filepath.Join(dir, "books"))
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	for _, name := range []string{"../outside.pdf", `..\outside.pdf`, "/etc/passwd", "con.pdf", "", ".", "..", "a\x00b.pdf", strings.Repeat("x", 5000) + ".pdf", "книга.pdf", "COM1.pdf", "tide/../../outside.pdf"} {
		a, err := l.Begin()
		if err != nil {
			t.Fatal(err)
		}
		if err := a.Add(name, strings.NewReader("pdf")); err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		b, err := a.Keep(name, a.Files[0])
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		if rel, err := filepath.Rel(l.Dir(), b.Sources()[0]); err != nil || !filepath.IsLocal(rel) {
			t.Errorf("%q lies at %s", name, b.Sources()[0])
		}
		if again, err := l.Book(b.ID); err != nil || again.Files[0] != b.Files[0] || again.Name != name {
			t.Errorf("%q is read back as %+v, %v", name, again, err)
		}
	}
	if data, err := os.ReadFile(outside); err != nil || string(data) != "the keeper's own" {
		t.Errorf("outside lies %q, %v", data, err)
	}
	for _, id := range []string{"..", ".", "", "../outside", "a/b", `a\b`, ".desk.lock"} {
		if _, err := l.Book(id); err == nil {
			t.Errorf("there is a book %q", id)
		}
	}
}
