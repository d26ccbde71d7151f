package cli

import (
	"bytes"
	"context"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"foldwright/cmd/internal/pdf"
	"foldwright/profiles"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
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

// TestPageSaysWhatHelps where a title of a shelf fails: in its own words, and without flags.
func TestPageSaysWhatHelps(t *testing.T) {
	for _, c := range []struct {
		err        error
		says, hint string
		passing    bool
	}{
		{&os.PathError{Op: "write", Path: "run.pdf", Err: syscall.ENOSPC}, "the disk is full", "make room on the disk, then start the shelf", true},
		{&pdf.Error{File: "tides.pdf", Err: pdf.ErrPassword}, "this PDF needs a password", "give the password there", false},
		{&os.PathError{Op: "mkdir", Path: "print", Err: syscall.EACCES}, "permission denied", "see that the folder of your books can be written", true},
		{refusal.Plan.New("%s is too small", phrase.Set("paper", "a6")).Advise("try %s", phrase.Set("scale", "fit")), "“Paper: A6” is too small", "try “Size of the pages: the largest that fits”", false},
	} {
		f := describeOnPage(c.err)
		if !strings.Contains(f.Sentence, c.says) || !strings.Contains(f.Hint.String(), c.hint) || f.Passing != c.passing {
			t.Errorf("%v: %q %q %t", c.err, f.Sentence, f.Hint, f.Passing)
		}
	}
}
