package cli

import (
	"context"
	"os"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/desk"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
)

// openOptions is what the command line says.
type openOptions struct {
	books    string
	profiles string
	noShow   bool
}

func newOpen(s Surroundings) *cobra.Command {
	var o openOptions
	cmd := newCommand("open", func(cmd *cobra.Command, _ []string) error { return runOpen(cmd.Context(), s, o) })
	f := cmd.Flags()
	addWord(f, &o.books, "books", "DIR", "folder in which your books are kept (default: Foldwright in your own folder)")
	f.BoolVar(&o.noShow, "no-browser", false, "only say the address of the page; it lets one browser in, once")
	addProfilesFlag(f, &o.profiles)
	return cmd
}

func runOpen(ctx context.Context, s Surroundings, o openOptions) error {
	program, err := os.Executable()
	if err != nil {
		return err
	}
	options := desk.Options{
		Titles: page.Titles{Program: []string{program, pageTitleCommand}, Describe: describeOnPage, Time: usualTitleTime},
		Books:  o.books, Profiles: profiles.Open(o.profiles), Region: s.Region, Version: Version,
		Tell: func(address string) { visible.Fprintf(s.Err, "the page is at %s\n", address) },
	}
	if !o.noShow {
		options.Browse = s.Browse
	}
	return desk.Open(ctx, options)
}
