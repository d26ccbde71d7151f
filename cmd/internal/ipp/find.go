package ipp

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"log"
	"net"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/OpenPrinting/goipp"
	"github.com/hashicorp/mdns"

	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Found is a printer that was found, or a spooler's queue.
type Found struct {
	Name    string
	Address string // as Open takes it
	Leads   string // where a queue sends its jobs; empty for a printer
	Model   string
}

// Spooler is where the spooler of this computer listens, if it has one that speaks IPP.
const Spooler = "ipp://localhost:631/"

// Find is the queues of a spooler and the printers of the network that have answered
// within the time, by name. Where there is no spooler, or no network, there is nothing to find.
func Find(ctx context.Context, spooler string, within time.Duration) []Found {
	ctx, cancel := context.WithTimeout(ctx, within)
	defer cancel()
	var found []Found
	var mu sync.Mutex
	add := func(more ...Found) {
		mu.Lock()
		defer mu.Unlock()
		found = append(found, more...)
	}
	var searches sync.WaitGroup
	searches.Go(func() { add(findQueues(ctx, spooler)...) })
	for _, service := range []string{"_ipp._tcp", "_ipps._tcp"} {
		for _, i := range interfaces() {
			searches.Go(func() { add(browse(ctx, service, i, within)...) })
		}
	}
	searches.Wait()
	slices.SortStableFunc(found, func(a, b Found) int {
		return cmp.Or(strings.Compare(a.Name, b.Name), strings.Compare(a.Address, b.Address))
	})
	return slices.Compact(found)
}

// mostSearches is how often a printer is searched for whose addresses do not answer.
const mostSearches = 4

// FindOne is the printer that a person means: an address stands for itself, a name for
// what is found under it and answers.
func FindOne(ctx context.Context, to, spooler string, within time.Duration) (*Printer, error) {
	if strings.Contains(to, "://") {
		return Open(to)
	}
	var found []Found
	var refused error
	// A search may hear only some of a printer's addresses: where none of them can be reached, it is heard again.
	for range mostSearches {
		found = Find(ctx, spooler, within)
		for _, f := range found {
			if !strings.EqualFold(f.Name, to) {
				continue
			}
			// A printer announces several addresses, and not every one can be reached from here.
			p, err := Open(f.Address)
			if err == nil {
				_, err = p.State(ctx)
			}
			if err == nil {
				return p, nil
			}
			refused = err
		}
		if refused == nil || ctx.Err() != nil {
			break
		}
	}
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	if refused != nil {
		return nil, refused
	}
	hint := "none was found; its address, such as ipp://printer.local/ipp/print, works always"
	if len(found) > 0 {
		hint = "found were " + strings.Join(slices.Compact(lists.Map(found, func(f Found) string { return f.Name })), ", ")
	}
	return nil, refusal.Use.New("no printer and no queue named %q was found", to).Advise("%s", hint)
}

// findQueues asks a spooler for its queues. The operation is the spooler's own: its code
// is registered with the PWG as a vendor's.
func findQueues(ctx context.Context, spooler string) (found []Found) {
	p, err := Open(spooler)
	if err != nil {
		return nil
	}
	m := p.request(goipp.OpCupsGetPrinters)
	nameAsker(m)
	m.Operation.Add(keywords("requested-attributes", "printer-name", "printer-make-and-model", "device-uri"))
	answer, err := p.exchange(ctx, m, nil)
	if err != nil {
		return nil
	}
	for _, group := range answer.AttrGroups() {
		if name := firstText(group.Attrs, "printer-name"); group.Tag == goipp.TagPrinterGroup && name != "" {
			found = append(found, Found{
				Name: name, Address: p.address.JoinPath("printers", name).String(),
				Leads: firstText(group.Attrs, "device-uri"), Model: firstText(group.Attrs, "printer-make-and-model"),
			})
		}
	}
	return found
}

// interfaces is those of this computer over which others can be asked.
func interfaces() (out []net.Interface) {
	all, err := net.Interfaces()
	if err != nil {
		return nil
	}
	for _, i := range all {
		if i.Flags&net.FlagUp != 0 && i.Flags&net.FlagMulticast != 0 && i.Flags&net.FlagLoopback == 0 {
			out = append(out, i)
		}
	}
	return out
}

// browse asks for printers by DNS-SD (RFC 6763) over multicast DNS (RFC 6762).
func browse(ctx context.Context, service string, over net.Interface, within time.Duration) (found []Found) {
	entries := make(chan *mdns.ServiceEntry, 64)
	query := mdns.DefaultParams(service)
	query.Interface, query.Timeout, query.Entries = &over, within, entries
	query.Logger = log.New(io.Discard, "", 0)
	done := make(chan struct{})
	go func() {
		defer close(done)
		for e := range entries {
			if f, ok := readEntry(service, e); ok {
				found = append(found, f)
			}
		}
	}()
	// What it couldn't ask, it couldn't find.
	_ = mdns.QueryContext(ctx, query)
	close(entries)
	<-done
	return found
}

// readEntry is a printer as it announces itself: rp is the path, ty the model (the keys
// of the Bonjour Printing Specification).
func readEntry(service string, e *mdns.ServiceEntry) (Found, bool) {
	name, isPrinter := strings.CutSuffix(strings.TrimSuffix(e.Name, "."), "."+service+".local")
	if !isPrinter || e.Port == 0 {
		return Found{}, false
	}
	host := strings.TrimSuffix(e.Host, ".")
	switch {
	case e.AddrV4 != nil: // not every computer finds names that end in .local
		host = e.AddrV4.String()
	case e.AddrV6IPAddr != nil:
		host = e.AddrV6IPAddr.String()
	}
	u := url.URL{Scheme: strings.TrimSuffix(strings.TrimPrefix(service, "_"), "._tcp"), Host: net.JoinHostPort(host, fmt.Sprint(e.Port)), Path: "/ipp/print"}
	f := Found{Name: strings.ReplaceAll(name, `\`, "")}
	for _, field := range e.InfoFields {
		switch key, value, _ := strings.Cut(field, "="); strings.ToLower(key) {
		case "rp":
			u.Path = "/" + strings.TrimPrefix(value, "/")
		case "ty":
			f.Model = value
		}
	}
	f.Address = u.String()
	return f, true
}
