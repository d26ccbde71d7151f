package cli

import (
	"cmp"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// Version is the version of the program. It stands in every plan, and a shelf
// is prepared again when it changes.
var Version = cmp.Or(released, versionOf(debug.ReadBuildInfo()))

// released is the version of a release, which .ci/release stamps; empty in what
// anybody builds otherwise.
var released string

// unreleased is the version of a program that nothing is known of.
const unreleased = "unreleased"

// versionOf is the version that the Go command has noted in the program: that of the
// module where it was installed by its version, or the commit it was built from.
func versionOf(info *debug.BuildInfo, known bool) string {
	if !known {
		return unreleased
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return strings.TrimPrefix(v, "v")
	}
	noted := map[string]string{}
	for _, s := range info.Settings {
		noted[s.Key] = s.Value
	}
	version := unreleased
	if revision := noted["vcs.revision"]; revision != "" {
		version += "-" + revision[:min(12, len(revision))]
		if noted["vcs.modified"] == "true" {
			version += "+dirty"
		}
	}
	return version
}

func newVersion(s Surroundings) *cobra.Command {
	return newCommand("version", func(*cobra.Command, []string) error {
		_, err := io.WriteString(s.Out, versionText())
		return err
	})
}

func versionText() string {
	return fmt.Sprintf("foldwright %s (%s, %s/%s)\n", Version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
