package cli

import (
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
)

// TestVersionIsNeverInvented: what is told is what the Go command has noted, and
// nothing where it has noted nothing.
func TestVersionIsNeverInvented(t *testing.T) {
	revision := func(modified string) []debug.BuildSetting {
		return []debug.BuildSetting{{Key: "vcs.revision", Value: "0123456789abcdef0123"}, {Key: "vcs.modified", Value: modified}}
	}
	for name, c := range map[string]struct {
		info  debug.BuildInfo
		known bool
		want  string
	}{
		"nothing is known":     {debug.BuildInfo{Main: debug.Module{Version: "v1.2.3"}}, false, "unreleased"},
		"a test or go run":     {debug.BuildInfo{Main: debug.Module{Version: "(devel)"}}, true, "unreleased"},
		"no module":            {debug.BuildInfo{}, true, "unreleased"},
		"a module's version":   {debug.BuildInfo{Main: debug.Module{Version: "v1.2.3"}}, true, "1.2.3"},
		"a commit's version":   {debug.BuildInfo{Main: debug.Module{Version: "v0.0.0-20260102030405-0123456789ab+dirty"}, Settings: revision("true")}, true, "0.0.0-20260102030405-0123456789ab+dirty"},
		"a commit alone":       {debug.BuildInfo{Main: debug.Module{Version: "(devel)"}, Settings: revision("false")}, true, "unreleased-0123456789ab"},
		"a changed tree of it": {debug.BuildInfo{Settings: revision("true")}, true, "unreleased-0123456789ab+dirty"},
	} {
		if got := versionOf(&c.info, c.known); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// TestVersionIsStamped builds the program as a release does. What is said of one that anybody
// builds, of which the Go command notes as much as of this test, stands in help.txtar.
func TestVersionIsStamped(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("links the program")
	}
	program := filepath.Join(t.TempDir(), "foldwright.exe")
	if out, err := exec.CommandContext(t.Context(), "go", "build", "-buildvcs=false", "-ldflags", "-s -w -X foldwright/cmd/internal/cli.released=7.8.9", "-o", program, "foldwright/cmd/foldwright").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, ask := range []string{"version", "--version"} {
		out, err := exec.CommandContext(t.Context(), program, ask).CombinedOutput()
		if err != nil || !strings.HasPrefix(string(out), "foldwright 7.8.9 (") {
			t.Errorf("%s says %s: %v", ask, out, err)
		}
	}
}
