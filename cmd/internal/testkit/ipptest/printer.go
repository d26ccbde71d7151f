// Package ipptest is a small printer for tests that speaks IPP: [Start]. It takes what
// it has been told to take, keeps what arrives, and can be busy, jam, and count wrong. It is
// written from RFC 8011, and knows nothing of package ipp.
package ipptest

import (
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/OpenPrinting/goipp"
)

// Arrived is a job with its document.
type Arrived struct {
	ID         int
	Attributes goipp.Attributes // of the job
	Operation  goipp.Attributes // of Create-Job
	Format     string
	Document   []byte
	State      int // RFC 8011, section 5.3.7
	Sheets     int // counted
}

// Printer is a printer that listens on this computer. Its fields may be changed while
// it is locked.
type Printer struct {
	sync.Mutex
	Attributes goipp.Attributes
	Reasons    []string
	Busy       int      // so many of the next jobs are refused as busy
	Silent     int      // so many of the next requests get no answer
	Forgets    bool     // what has ended is no longer known to it
	Queues     []string // of a spooler
	Jobs       []*Arrived
	Asked      []goipp.Op
	// Print is done with a job whose document has arrived, nil: it is printed at once.
	Print func(*Arrived)
	URI   string
}

// Start starts a printer with these attributes until the test ends.
func Start(tb testing.TB, attributes ...goipp.Attribute) *Printer {
	tb.Helper()
	p := &Printer{Attributes: attributes}
	server := httptest.NewServer(p)
	tb.Cleanup(server.Close)
	p.URI = "ipp" + strings.TrimPrefix(server.URL, "http") + "/ipp/print"
	return p
}

// Words is an attribute of keywords.
func Words(name string, words ...string) goipp.Attribute {
	a := goipp.Attribute{Name: name}
	for _, w := range words {
		a.Values.Add(goipp.TagKeyword, goipp.String(w))
	}
	return a
}

// Numbers is an attribute of whole numbers.
func Numbers(name string, numbers ...int) goipp.Attribute {
	a := goipp.Attribute{Name: name}
	for _, n := range numbers {
		a.Values.Add(goipp.TagInteger, goipp.Integer(n))
	}
	return a
}

// Size is a member media-size, in hundredths of a millimetre.
func Size(name string, x, y int) goipp.Attribute {
	return goipp.MakeAttrCollection(name, Numbers("x-dimension", x), Numbers("y-dimension", y))
}

// PDFDuplex is what a printer says of itself that takes PDF on A4 and Letter, both sides.
func PDFDuplex() []goipp.Attribute {
	return []goipp.Attribute{
		Words("printer-name", "lamp-room"), Words("printer-make-and-model", "Simulated Duplex"), Numbers("printer-state", 3),
		Words("document-format-supported", "application/octet-stream", "application/pdf", "image/pwg-raster"),
		Words("media-supported", "iso_a4_210x297mm", "na_letter_8.5x11in"),
		{Name: "media-size-supported", Values: append(Size("", 21000, 29700).Values, Size("", 21590, 27940).Values...)},
		goipp.MakeAttrCollection("media-col-ready", Size("media-size", 21000, 29700), Words("media-source", "main"), Words("media-type", "stationery"),
			Numbers("media-top-margin", 423), Numbers("media-bottom-margin", 500), Numbers("media-left-margin", 300), Numbers("media-right-margin", 300)),
		Words("sides-supported", "one-sided", "two-sided-long-edge", "two-sided-short-edge"),
		Words("media-source-supported", "auto", "main"), Words("media-type-supported", "stationery"),
		Words("output-bin-supported", "face-down"), Words("print-scaling-supported", "auto", "fit", "none"),
		Words("page-delivery-supported", "same-order-face-down", "reverse-order-face-up"), Numbers("print-quality-supported", 4, 5),
		Words("job-creation-attributes-supported", "media", "media-col", "sides", "print-scaling", "page-delivery", "print-quality", "output-bin"),
	}
}

// ServeHTTP answers a request (RFC 8010, section 3.1.1: the document follows its attributes).
func (p *Printer) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	var m goipp.Message
	if err := m.Decode(r.Body); err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	document, err := io.ReadAll(r.Body)
	if err != nil {
		return // the sender is gone, and so is its document
	}
	p.Lock()
	if p.Silent > 0 {
		p.Silent--
		p.Unlock()
		panic(http.ErrAbortHandler)
	}
	answer := p.answer(&m, document)
	p.Unlock()
	data, err := answer.EncodeBytes()
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", goipp.ContentType)
	_, _ = w.Write(data) // a sender that is gone needs no answer
}

func (p *Printer) answer(m *goipp.Message, document []byte) *goipp.Message {
	op := goipp.Op(m.Code)
	p.Asked = append(p.Asked, op)
	say := func(status goipp.Status) *goipp.Message {
		a := goipp.NewResponse(m.Version, status, m.RequestID)
		a.Operation.Add(goipp.MakeAttribute("attributes-charset", goipp.TagCharset, goipp.String("utf-8")))
		a.Operation.Add(goipp.MakeAttribute("attributes-natural-language", goipp.TagLanguage, goipp.String("en")))
		return a
	}
	switch op {
	case goipp.OpGetPrinterAttributes:
		a := say(goipp.StatusOk)
		reasons := p.Reasons
		if len(reasons) == 0 {
			reasons = []string{"none"}
		}
		a.Printer = append(slices.Clone(p.Attributes), Words("printer-state-reasons", reasons...))
		return a
	case goipp.OpCupsGetPrinters:
		a := goipp.NewMessageWithGroups(m.Version, goipp.Code(goipp.StatusOk), m.RequestID, goipp.Groups{{Tag: goipp.TagOperationGroup, Attrs: say(goipp.StatusOk).Operation}})
		for _, q := range p.Queues {
			a.Groups.Add(goipp.Group{Tag: goipp.TagPrinterGroup, Attrs: goipp.Attributes{Words("printer-name", q)}})
		}
		return a
	case goipp.OpValidateJob:
		return say(goipp.StatusOk)
	case goipp.OpCreateJob:
		if p.Busy > 0 {
			p.Busy--
			return say(goipp.StatusErrorBusy)
		}
		p.Jobs = append(p.Jobs, &Arrived{ID: len(p.Jobs) + 1, Attributes: m.Job, Operation: m.Operation, State: 4})
		a := say(goipp.StatusOk)
		a.Job.Add(Numbers("job-id", len(p.Jobs)))
		return a
	}
	job := p.job(m)
	if job == nil {
		return say(goipp.StatusErrorNotFound)
	}
	switch op {
	case goipp.OpSendDocument:
		job.Document, job.Format, job.State = document, value(m.Operation, "document-format"), 5
		if p.Print == nil {
			job.State = 9
		} else {
			p.Print(job)
		}
		return say(goipp.StatusOk)
	case goipp.OpGetJobAttributes:
		if p.Forgets && job.State >= 7 {
			return say(goipp.StatusErrorNotFound)
		}
		a := say(goipp.StatusOk)
		a.Job.Add(goipp.MakeAttribute("job-state", goipp.TagEnum, goipp.Integer(job.State)))
		a.Job.Add(Numbers("job-media-sheets-completed", job.Sheets))
		return a
	case goipp.OpCancelJob:
		job.State = 7
		return say(goipp.StatusOk)
	}
	return say(goipp.StatusErrorOperationNotSupported)
}

func (p *Printer) job(m *goipp.Message) *Arrived {
	for _, a := range m.Operation {
		if id, ok := a.Values[0].V.(goipp.Integer); ok && a.Name == "job-id" && id > 0 && int(id) <= len(p.Jobs) {
			return p.Jobs[id-1]
		}
	}
	return nil
}

func value(attributes goipp.Attributes, name string) string {
	for _, a := range attributes {
		if a.Name == name {
			return a.Values[0].V.String()
		}
	}
	return ""
}

// Asks is the values of an attribute that came with a job, as text; empty if it didn't come.
func (a *Arrived) Asks(name string) string { return value(a.Attributes, name) }

// Named is the value of an attribute of the operation that made the job, as text; empty if it didn't come.
func (a *Arrived) Named(name string) string { return value(a.Operation, name) }
