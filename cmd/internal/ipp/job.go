package ipp

import (
	"context"
	"io"
	"slices"
	"time"

	"github.com/OpenPrinting/goipp"

	"foldwright/reorder/refusal"
)

// Job is a job that the printer has taken.
type Job int

// Progress is how far a job is, as the printer says. Its counter is a hint and no more:
// printers and spoolers were seen to count sheets that never came out.
type Progress struct {
	Sheets  int // said to have come out; 0 where only sides are counted
	Sides   int // said to have been printed
	Ended   bool
	Failed  bool // ended otherwise than by having been printed, or the printer does not know how
	Reasons []string
	Printer State
}

// Create asks whether the printer would print a document as the ticket says, and then
// announces it. While the printer is busy with another job it is asked again, and waiting
// is told so; it ends with the context.
func (p *Printer) Create(ctx context.Context, t Ticket, d Description, waiting func(State)) (Job, error) {
	format, err := d.Format()
	if err != nil {
		return 0, err
	}
	// Validate-Job (RFC 8011, section 4.2.3) sends nothing but the question.
	if _, err := p.insist(ctx, waiting, func() *goipp.Message {
		m := p.jobRequest(goipp.OpValidateJob, t, d)
		m.Operation.Add(goipp.MakeAttribute("document-format", goipp.TagMimeType, goipp.String(format)))
		return m
	}); err != nil {
		return 0, err
	}
	got, err := p.insist(ctx, waiting, func() *goipp.Message { return p.jobRequest(goipp.OpCreateJob, t, d) })
	if err != nil {
		return 0, err
	}
	id := firstNumber(got.Job, "job-id")
	if id == 0 {
		return 0, refusal.Plan.New("the printer at %s has taken a job without giving it a number", p.Address())
	}
	return Job(id), nil
}

func (p *Printer) jobRequest(op goipp.Op, t Ticket, d Description) *goipp.Message {
	m := p.request(op)
	nameAsker(m)
	m.Operation.Add(goipp.MakeAttribute("job-name", goipp.TagName, goipp.String(t.Name)))
	m.Job = t.attributes(d)
	return m
}

// insist sends a request until the printer isn't busy any more.
func (p *Printer) insist(ctx context.Context, waiting func(State), request func() *goipp.Message) (*goipp.Message, error) {
	for {
		got, err := p.exchange(ctx, request(), nil)
		refused, isRefused := err.(*RefusedError)
		if !isRefused || !refused.isBusy() {
			return got, err
		}
		state, err := p.State(ctx)
		if err != nil {
			return nil, err
		}
		waiting(state)
		if err := wait(ctx, p.pause); err != nil {
			return nil, err
		}
	}
}

func wait(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return context.Cause(ctx)
	case <-time.After(d):
		return nil
	}
}

// jobOperation is a request about a job that the printer has taken.
func (p *Printer) jobOperation(op goipp.Op, j Job) *goipp.Message {
	m := p.request(op)
	m.Operation.Add(goipp.MakeAttribute("job-id", goipp.TagInteger, goipp.Integer(j)))
	nameAsker(m)
	return m
}

// Send brings the document of a job (RFC 8011, section 4.3.1). It returns when the
// printer has read it all, which can be long before or after it is printed.
func (p *Printer) Send(ctx context.Context, j Job, format string, document io.Reader) error {
	m := p.jobOperation(goipp.OpSendDocument, j)
	m.Operation.Add(goipp.MakeAttribute("document-format", goipp.TagMimeType, goipp.String(format)))
	m.Operation.Add(goipp.MakeAttribute("last-document", goipp.TagBoolean, goipp.Boolean(true)))
	_, err := p.exchange(ctx, m, document)
	return err
}

// Cancel stops a job (RFC 8011, section 4.3.3); sheets that are under way come out.
func (p *Printer) Cancel(ctx context.Context, j Job) error {
	_, err := p.exchange(ctx, p.jobOperation(goipp.OpCancelJob, j), nil)
	return err
}

// States of a job (RFC 8011, section 5.3.7).
const (
	jobCanceled = 7
	jobAborted  = 8
)

// Progress is how far a job is, and what the printer says is in its way.
func (p *Printer) Progress(ctx context.Context, j Job) (Progress, error) {
	m := p.jobOperation(goipp.OpGetJobAttributes, j)
	m.Operation.Add(keywords("requested-attributes", "job-state", "job-state-reasons", "job-impressions-completed", "job-media-sheets-completed"))
	got, err := p.exchange(ctx, m, nil)
	if err != nil {
		return Progress{}, err
	}
	state, err := p.State(ctx)
	if err != nil {
		return Progress{}, err
	}
	is := numbers(got.Job, "job-state")
	return Progress{
		Ended:   slices.ContainsFunc(is, func(s int) bool { return s >= jobCanceled }),
		Failed:  slices.Contains(is, jobCanceled) || slices.Contains(is, jobAborted),
		Reasons: texts(got.Job, "job-state-reasons"), Printer: state,
		Sheets: firstNumber(got.Job, "job-media-sheets-completed"), Sides: firstNumber(got.Job, "job-impressions-completed"),
	}, nil
}

// Watch asks how far a job is until it has ended, and tells each answer. A printer that
// doesn't answer is asked again, for it may be switched off in the middle of a jam;
// silent is told how long it has been so. Of a job that it no longer knows it is only sure
// that it has ended: printers forget jobs sooner or later.
func (p *Printer) Watch(ctx context.Context, j Job, every time.Duration, tell func(Progress), silent func(time.Duration)) (Progress, error) {
	heard := time.Now()
	for {
		progress, err := p.Progress(ctx, j)
		refused, isRefused := err.(*RefusedError)
		switch _, isSilent := err.(*SilentError); {
		case isSilent:
			silent(time.Since(heard))
		case isRefused && (refused.Status == goipp.StatusErrorNotFound || refused.Status == goipp.StatusErrorGone):
			return Progress{Ended: true, Failed: true}, nil
		case err != nil:
			return Progress{}, err
		default:
			heard = time.Now()
			tell(progress)
			if progress.Ended {
				return progress, nil
			}
		}
		if err := wait(ctx, every); err != nil {
			return Progress{}, err
		}
	}
}

// IsDone tells whether a job has ended because all of it was printed, as the printer says.
func (p Progress) IsDone() bool { return p.Ended && !p.Failed }
