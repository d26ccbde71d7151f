// Package ipp speaks to a printer, or to a spooler's queue, by the Internet Printing
// Protocol.
//
// [Open] takes an address, [Printer.Ask] what the printer says of itself. A [Ticket] is
// what is asked for one print file; [Ticket.Check] refuses what the printer would not
// print as planned, before anything is sent, and [Printer.Create], [Printer.Send] and
// [Printer.Watch] print it.
//
// Sources: RFC 8010 and RFC 8011 (the protocol), PWG 5100.7 (print-scaling, media-col),
// PWG 5101.1 (names of papers).
package ipp

import (
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"strings"
	"sync/atomic"
	"time"

	"github.com/OpenPrinting/goipp"

	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Printer is a printer or a queue at an address. Its methods can be called side by side.
type Printer struct {
	address *url.URL // as the printer is named in requests: ipp or ipps
	target  *url.URL // where requests go: http or https
	client  *http.Client
	number  atomic.Uint32 // of requests
	pause   time.Duration // for which a busy printer is left alone
}

// port is the protocol's own (RFC 8010, section 5).
const port = "631"

// largestAnswer is more than any printer says of itself, in bytes.
const largestAnswer = 16 << 20

// Open takes an address such as ipp://printer.local/ipp/print or ipps://10.0.0.7:631/ipp/print.
// It doesn't ask anything yet.
func Open(address string) (*Printer, error) {
	u, err := url.Parse(address)
	if err != nil || u.Host == "" || u.Hostname() == "" {
		return nil, refusal.Use.New("%q is not the address of a printer", address).Advise("write such as ipp://printer.local/ipp/print")
	}
	target := *u
	switch u.Scheme {
	case "ipp":
		target.Scheme = "http"
	case "ipps":
		target.Scheme = "https"
	default:
		return nil, refusal.Use.New("%q: foldwright prints by ipp:// and ipps:// only", address).Advise("write such as ipp://printer.local/ipp/print")
	}
	if u.User != nil {
		return nil, refusal.Use.New("the address of a printer takes no user name and no password")
	}
	if u.Port() == "" {
		target.Host = net.JoinHostPort(u.Hostname(), port)
	}
	return &Printer{address: u, target: &target, client: newClient(), pause: 5 * time.Second}, nil
}

// newClient waits as long as a busy printer takes to begin its answer. A home printer
// makes its own certificate, which nobody has signed, so that it isn't compared with any.
func newClient() *http.Client {
	return &http.Client{
		Transport: &http.Transport{
			DialContext:           (&net.Dialer{Timeout: 10 * time.Second}).DialContext,
			TLSClientConfig:       &tls.Config{InsecureSkipVerify: true},
			TLSHandshakeTimeout:   10 * time.Second,
			ResponseHeaderTimeout: 2 * time.Minute,
		},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
}

// Address is the printer's address as it was given.
func (p *Printer) Address() string { return p.address.String() }

// request is an operation with the attributes that each begins with (RFC 8011, section 4.1.4).
func (p *Printer) request(op goipp.Op) *goipp.Message {
	m := goipp.NewRequest(goipp.MakeVersion(2, 0), op, p.number.Add(1))
	add := func(name string, tag goipp.Tag, text string) {
		m.Operation.Add(goipp.MakeAttribute(name, tag, goipp.String(text)))
	}
	add("attributes-charset", goipp.TagCharset, "utf-8")
	add("attributes-natural-language", goipp.TagLanguage, "en")
	add("printer-uri", goipp.TagURI, p.address.String())
	return m
}

// nameAsker names who asks: the program, since nobody needs to know more.
func nameAsker(m *goipp.Message) {
	m.Operation.Add(goipp.MakeAttribute("requesting-user-name", goipp.TagName, goipp.String("foldwright")))
}

// RefusedError is an answer by which the printer refuses a request.
type RefusedError struct {
	Printer string
	Status  goipp.Status
	Message string   // the printer's own words, often none
	Unknown []string // names of attributes that it doesn't take
}

func (e *RefusedError) Error() string {
	text := fmt.Sprintf("the printer at %s refuses: %s", e.Printer, e.Status)
	if e.Message != "" {
		text += fmt.Sprintf(" (%s)", e.Message)
	}
	if len(e.Unknown) > 0 {
		text += ", because of " + strings.Join(e.Unknown, ", ")
	}
	return text
}

func (e *RefusedError) Kind() refusal.Kind { return refusal.Plan }

// isBusy tells whether a later try can succeed.
func (e *RefusedError) isBusy() bool {
	switch e.Status {
	case goipp.StatusErrorBusy, goipp.StatusErrorTemporary, goipp.StatusErrorNotAcceptingJobs, goipp.StatusErrorServiceUnavailable:
		return true
	}
	return false
}

// exchange sends a request, with a document behind it if there is one, and reads the
// answer. A refusal is a [*RefusedError].
func (p *Printer) exchange(ctx context.Context, m *goipp.Message, document io.Reader) (*goipp.Message, error) {
	head, err := m.EncodeBytes()
	if err != nil {
		return nil, err
	}
	body := io.Reader(bytes.NewReader(head))
	if document != nil {
		body = io.MultiReader(body, document)
	}
	ask, err := http.NewRequestWithContext(ctx, http.MethodPost, p.target.String(), body)
	if err != nil {
		return nil, err
	}
	ask.Header.Set("Content-Type", goipp.ContentType)
	got, err := p.client.Do(ask)
	if err != nil {
		return nil, p.unreachable(ctx, err)
	}
	defer got.Body.Close()
	switch got.StatusCode {
	case http.StatusOK:
	case http.StatusUnauthorized, http.StatusForbidden:
		return nil, refusal.Locked.New("the printer at %s asks for a user name and a password, which foldwright doesn't send", p.Address())
	case http.StatusUpgradeRequired:
		return nil, refusal.Plan.New("the printer at %s speaks in secret only", p.Address()).Advise("write its address with ipps:// in place of ipp://")
	case http.StatusNotFound:
		return nil, refusal.Plan.New("at %s there is no printer", p.Address()).Advise("the part of the address behind the computer's name is often /ipp/print")
	default:
		return nil, refusal.Plan.New("what answers at %s is not a printer that speaks IPP: %s", p.Address(), got.Status)
	}
	var answer goipp.Message
	if err := answer.Decode(io.LimitReader(got.Body, largestAnswer)); err != nil {
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		return nil, refusal.Plan.New("what answers at %s is not a printer that speaks IPP: %w", p.Address(), err)
	}
	if status := goipp.Status(answer.Code); status >= 0x0100 {
		refused := &RefusedError{Printer: p.Address(), Status: status, Message: firstText(answer.Operation, "status-message")}
		refused.Unknown = lists.Map(answer.Unsupported, func(a goipp.Attribute) string { return a.Name })
		return nil, refused
	}
	return &answer, nil
}

// unreachable says in words why there was no answer.
func (p *Printer) unreachable(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if _, ok := errors.AsType[*net.DNSError](err); ok {
		return &SilentError{refusal.Plan.New("no computer or printer named %s was found", p.target.Hostname()).Advise("is it switched on, and in the same network?")}
	}
	if whole, ok := errors.AsType[*url.Error](err); ok {
		err = whole.Err
	}
	return &SilentError{refusal.Plan.New("the printer at %s doesn't answer: %w", p.Address(), err).Advise("is it switched on, and in the same network?")}
}

// SilentError is of a printer that cannot be reached: it may be asleep, and answer later.
type SilentError struct{ err *refusal.Error }

func (e *SilentError) Error() string { return e.err.Error() }
func (e *SilentError) Unwrap() error { return e.err }

// firstText is the first value of an attribute as text, or none.
func firstText(attributes goipp.Attributes, name string) string {
	if all := texts(attributes, name); len(all) > 0 {
		return all[0]
	}
	return ""
}

// find is the values of an attribute: with several of one name the first one counts.
func find(attributes goipp.Attributes, name string) goipp.Values {
	for _, a := range attributes {
		if a.Name == name {
			return a.Values
		}
	}
	return nil
}

// texts is the values of an attribute as texts, without those that say that there is none.
func texts(attributes goipp.Attributes, name string) (out []string) {
	for _, v := range find(attributes, name) {
		switch text := v.V.(type) {
		case goipp.Void:
		case goipp.TextWithLang:
			out = append(out, text.Text)
		default:
			out = append(out, text.String())
		}
	}
	return out
}

// numbers is the whole numbers among the values of an attribute.
func numbers(attributes goipp.Attributes, name string) (out []int) {
	for _, v := range find(attributes, name) {
		if n, ok := v.V.(goipp.Integer); ok {
			out = append(out, int(n))
		}
	}
	return out
}

// collections is the collections among the values of an attribute.
func collections(attributes goipp.Attributes, name string) (out []goipp.Attributes) {
	for _, v := range find(attributes, name) {
		if c, ok := v.V.(goipp.Collection); ok {
			out = append(out, goipp.Attributes(c))
		}
	}
	return out
}

// firstNumber is the first whole number among the values of an attribute, or 0.
func firstNumber(attributes goipp.Attributes, name string) int {
	if n := numbers(attributes, name); len(n) > 0 {
		return n[0]
	}
	return 0
}
