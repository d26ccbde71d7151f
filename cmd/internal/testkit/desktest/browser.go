// Package desktest asks the page in the browser as a browser without scripts does: [Browser].
package desktest

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"
)

// Browser asks a handler. What it does not expect ends the test.
type Browser struct {
	*testing.T
	http.Handler
}

// File is a file that is sent with a form.
type File struct {
	Name string
	Data []byte
}

// NewFile is a file of a name.
func NewFile(name string, data []byte) File { return File{name, data} }

// Do is the answer to a request.
func (b Browser) Do(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	b.ServeHTTP(w, r)
	return w
}

// Visit is the answer at an address, whatever it is.
func (b Browser) Visit(path string) *httptest.ResponseRecorder {
	return b.Do(httptest.NewRequest(http.MethodGet, path, nil))
}

// Get is a page, which must be there.
func (b Browser) Get(path string) string {
	b.Helper()
	w := b.Visit(path)
	if w.Code != http.StatusOK {
		b.Fatalf("GET %s: %d %s %s", path, w.Code, w.Header().Get("Location"), w.Body)
	}
	return w.Body.String()
}

// Post sends a form.
func (b Browser) Post(path string, form url.Values) *httptest.ResponseRecorder {
	return b.Do(formRequest(path, form))
}

// Live sends a form as the script does when something in it changes.
func (b Browser) Live(path string, form url.Values) *httptest.ResponseRecorder {
	r := formRequest(path, form)
	r.Header.Set("X-Live", "yes")
	return b.Do(r)
}

func formRequest(path string, form url.Values) *http.Request {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return r
}

// Leads sends a form that must lead to an address.
func (b Browser) Leads(path string, form url.Values, to string) {
	b.Helper()
	if w := b.Post(path, form); w.Code != http.StatusSeeOther || w.Header().Get("Location") != to {
		b.Fatalf("%s leads to %d %q: %s", path, w.Code, w.Header().Get("Location"), w.Body)
	}
}

// Upload sends files with a form, in the field for the PDFs of books.
func (b Browser) Upload(path string, files ...File) *httptest.ResponseRecorder {
	b.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	for _, f := range files {
		part, err := m.CreateFormFile("source", f.Name)
		if err == nil {
			_, err = part.Write(f.Data)
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	m.Close()
	r := httptest.NewRequest(http.MethodPost, path, &body)
	r.Header.Set("Content-Type", m.FormDataContentType())
	return b.Do(r)
}

// Patience is how long a test waits for what must come: so long that it never ends on a machine that only has much else to do.
const Patience = 5 * time.Minute

// Until waits until a page says something.
func (b Browser) Until(path, text string) (page string) {
	b.Helper()
	Await(b.T, path+" to say "+text, func() bool {
		page = b.Get(path)
		return strings.Contains(page, text)
	})
	return page
}

// Await waits until something is so.
func Await(t testing.TB, what string, isSo func() bool) {
	t.Helper()
	for end := time.Now().Add(Patience); !isSo(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("waited in vain for %s", what)
		}
	}
}

// Contains tells which of some texts are missing in another one.
func Contains(t testing.TB, text string, wanted ...string) {
	t.Helper()
	for _, w := range wanted {
		if !strings.Contains(text, w) {
			t.Errorf("%q is missing in %s", w, text)
		}
	}
}

// Lacks tells which of some texts stand in another one.
func Lacks(t testing.TB, text string, unwanted ...string) {
	t.Helper()
	for _, w := range unwanted {
		if strings.Contains(text, w) {
			t.Errorf("%q stands in %s", w, text)
		}
	}
}
