package cli

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/batch"
	"foldwright/cmd/internal/job"
	"foldwright/cmd/internal/pdf"
	"foldwright/profiles"
)

// titleCommand is the command of the process that a shelf starts for one title.
const titleCommand = "title-of-shelf"

// newTitle is the other end of batch: it reads one order and makes the title.
func newTitle(s Surroundings) *cobra.Command {
	var region string
	cmd := &cobra.Command{
		Use:    titleCommand,
		Short:  "make one title of a shelf; batch starts it",
		Hidden: true,
		Args:   cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			s.Region = job.Region(region)
			return batch.Serve(cmd.Context(), s.In, s.Out, func(ctx context.Context, o batch.Order, t *batch.Teller) error {
				return makeTitle(ctx, s, o, t)
			}, describe)
		},
	}
	cmd.Flags().StringVar(&region, "region", "", "as the shelf found it")
	return cmd
}

func makeTitle(ctx context.Context, s Surroundings, o batch.Order, t *batch.Teller) (err error) {
	options, err := titleReader{}.Read(o.Settings)
	if err != nil {
		return err
	}
	password, err := readPassword(o.Password)
	if err != nil {
		return err
	}
	engine := new(job.Engine)
	set := job.Setting{
		Profiles: profiles.Open(o.Profiles), Region: s.Region, Version: Version, Engine: engine, Password: password,
	}
	draft, err := job.NewDraft(ctx, o.Source, options, set)
	if err != nil {
		return errors.Join(err, engine.Close())
	}
	defer func() { err = errors.Join(err, draft.Close(), engine.Close()) }()
	t.Start(draft.Sides(), draft.PagesPrinted())
	_, err = draft.Write(ctx, o.Place, true, t)
	return err
}

// describe puts an error into the words that a report keeps.
func describe(err error) batch.Failure {
	status := statusOf(err)
	return batch.Failure{
		Status:   int(status),
		Sentence: message(err),
		Hint:     hintOf(err, nil),
		Passing:  status == Output || status == Interrupted || errors.Is(err, pdf.ErrChanged),
	}
}
