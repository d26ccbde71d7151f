package cli

import (
	"strings"
	"testing"

	"github.com/OpenPrinting/goipp"

	"foldwright/cmd/internal/testkit/ipptest"
)

// runWith runs a command with answers typed by a person.
func runWith(t *testing.T, answers string, args ...string) (status Status, out, said string) {
	t.Helper()
	var data, screen strings.Builder
	status = Run(t.Context(), args, Surroundings{In: strings.NewReader(answers), Out: &data, Err: &screen, Region: "GB", Person: answers != ""})
	return status, data.String(), screen.String()
}

func TestAPrinterIsAsked(t *testing.T) {
	peer := ipptest.Start(t, ipptest.PDFDuplex()...)
	status, out, said := runWith(t, "", "printers", "ask", peer.URI)
	if status != Done || said != "" {
		t.Fatalf("status %d: %s", status, said)
	}
	for _, want := range []string{
		"printer       Simulated Duplex", "state         ready", "files         PDF, sent as they are", "paper         A4, Letter\n",
		"lies ready    A4, stationery, main", "cannot reach  head 4.2, tail 5.0, left 3.0, right 3.0 mm",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not said:\n%s", want, out)
		}
	}
	peer.Reasons = []string{"media-jam-error"}
	if _, out, _ = runWith(t, "", "printers", "ask", peer.URI); !strings.Contains(out, "state         paper has jammed\n") {
		t.Errorf("a jam is not said:\n%s", out)
	}
}

// A spooler's queue is only asked where to go.
func TestThePrinterBehindAQueueIsAsked(t *testing.T) {
	behind := ipptest.Start(t, ipptest.PDFDuplex()...)
	uri := goipp.MakeAttribute("device-uri", goipp.TagURI, goipp.String(behind.URI))
	version := goipp.MakeAttribute("cups-version", goipp.TagText, goipp.String("2.4.2"))
	queue := ipptest.Start(t, uri, version)
	if status, out, said := runWith(t, "", "printers", "ask", queue.URI); status != Done || !strings.Contains(out, "Simulated Duplex") || !strings.Contains(out, behind.URI) {
		t.Errorf("status %d: %s%s", status, out, said)
	}
	usb := goipp.MakeAttribute("device-uri", goipp.TagURI, goipp.String("usb://lamp"))
	queue = ipptest.Start(t, append(ipptest.PDFDuplex(), usb, version)...)
	if status, out, said := runWith(t, "", "printers", "ask", queue.URI); status != Done || !strings.Contains(out, "of a spooler, version 2.4.2, that leads to usb://lamp") {
		t.Errorf("status %d: %s%s", status, out, said)
	}
}

// What the printer says of paper goes into a profile; what was learned stays.
func TestWhatAPrinterSaysIsSaved(t *testing.T) {
	peer := ipptest.Start(t, ipptest.PDFDuplex()...)
	dir := t.TempDir()
	for _, args := range [][]string{{"printers", "copy", "by-hand-long", "desk"}, {"printers", "ask", peer.URI, "--save", "desk"}} {
		if status, _, said := runWith(t, "", append(args, "--profiles", dir)...); status != Done {
			t.Fatalf("%q: status %d: %s", args, status, said)
		}
	}
	_, out, _ := runWith(t, "", "printers", "show", "desk", "--profiles", dir)
	for _, want := range []string{"paper: iso_a4_210x297mm", "head: 4.23", "tail: 5", "flip-edge: long"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in the profile:\n%s", want, out)
		}
	}
	if status, _, said := runWith(t, "", "printers", "ask", peer.URI, "--save", "by-hand-long", "--profiles", dir); status == Done {
		t.Errorf("a built-in profile was written: %s", said)
	}
}

func TestNoPrinterAnswers(t *testing.T) {
	if status, _, said := runWith(t, "", "printers", "ask", "ipp://127.0.0.1:1/ipp/print"); status != Refused ||
		said != "foldwright: the printer at ipp://127.0.0.1:1/ipp/print doesn't answer: dial tcp 127.0.0.1:1: connect: connection refused\nhint: is it switched on, and in the same network?\n" {
		t.Errorf("status %d: %s", status, said)
	}
	if status, _, said := runWith(t, "", "printers", "ask", "file:///etc/motd"); status != WrongUse {
		t.Errorf("status %d: %s", status, said)
	}
}
