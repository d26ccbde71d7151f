package cli

import (
	"runtime"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/visible"
)

func newVersion(s Surroundings) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "print the program's version",
		Example: "  foldwright version",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := visible.Fprintf(s.Out, "foldwright %s (%s, %s/%s)\n", Version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
			return err
		},
	}
}
