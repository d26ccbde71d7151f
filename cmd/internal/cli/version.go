package cli

import (
	"fmt"
	"runtime"

	"github.com/spf13/cobra"
)

func newVersion(s Surroundings) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "print the program's version",
		Example: "  foldwright version",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintf(s.Out, "foldwright %s (%s, %s/%s)\n", Version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
			return err
		},
	}
}
