package cli

import (
	"bytes"
	"context"
	"net/http"
	"net/http/cookiejar"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"foldwright/profiles"
)

// TestOpenShowsThePageUntilItIsInterrupted, and says its address where no browser is to be shown.
func TestOpenShowsThePageUntilItIsInterrupted(t *testing.T) {
	t.Setenv(profiles.Environment, t.TempDir())
	for _, args := range [][]string{{"open"}, {"open", "--no-browser"}} {
		ctx, interrupt := context.WithCancel(t.Context())
		defer interrupt()
		said, shown, ended := make(lineWriter, 10), make(chan string, 1), make(chan Status, 1)
		args = append(args, "--books", filepath.Join(t.TempDir(), "my books"))
		go func() {
			ended <- Run(ctx, args, Surroundings{In: strings.NewReader(""), Out: &bytes.Buffer{}, Err: said, Browse: func(url string) error {
				shown <- url
				return nil
			}})
		}()
		var line string
		select {
		case line = <-said:
		case s := <-ended:
			t.Fatalf("%v ended with %d", args, s)
		}
		address := regexp.MustCompile(`http://127\.0\.0\.1:\d+/in\?token=\w+`).FindString(line)
		if len(args) == 3 && <-shown != address {
			t.Errorf("another page is shown than %s", line)
		}
		jar, err := cookiejar.New(nil)
		if err != nil {
			t.Fatal(err)
		}
		answer, err := (&http.Client{Jar: jar}).Get(address)
		if err != nil || answer.StatusCode != http.StatusOK {
			t.Fatalf("%s: %v, %v", line, answer, err)
		}
		answer.Body.Close()
		interrupt()
		select {
		case s := <-ended:
			if s != Done {
				t.Errorf("interrupted it ends with %d", s)
			}
		case <-time.After(2 * time.Minute):
			t.Fatal("it does not end")
		}
	}
}

// lineWriter hands on what is written.
type lineWriter chan string

func (w lineWriter) Write(p []byte) (int, error) {
	w <- string(p)
	return len(p), nil
}
