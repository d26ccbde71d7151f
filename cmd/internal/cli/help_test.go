package cli

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// everyCommand visits all commands.
func everyCommand(t *testing.T, visit func(*cobra.Command)) {
	t.Helper()
	var look func(*cobra.Command)
	look = func(c *cobra.Command) {
		visit(c)
		for _, below := range c.Commands() {
			look(below)
		}
	}
	look(newRoot(Surroundings{}))
}

// said is what a command line says on standard output.
func said(t *testing.T, args ...string) string {
	t.Helper()
	var out, problem bytes.Buffer
	if status := Run(t.Context(), args, Surroundings{Out: &out, Err: &problem}); status != Done {
		t.Fatalf("%q: status %d, %s", args, status, problem.String())
	}
	return out.String()
}

// TestEveryCommandHasItsHelp, with an example that calls it, and no text is left over.
func TestEveryCommandHasItsHelp(t *testing.T) {
	texts := map[string]bool{}
	if err := fs.WalkDir(helpTexts, "help", func(path string, d fs.DirEntry, err error) error {
		if !d.IsDir() {
			texts[strings.TrimSuffix(d.Name(), ".txt")] = true
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	everyCommand(t, func(c *cobra.Command) {
		delete(texts, strings.ReplaceAll(strings.TrimPrefix(c.CommandPath(), "foldwright "), " ", "-"))
		if c.Short == "" || !strings.Contains("\n"+c.Example, c.CommandPath()) {
			t.Errorf("%s: %q, for example %q", c.CommandPath(), c.Short, c.Example)
		}
	})
	for name := range texts {
		t.Errorf("there is no command for help/%s.txt", name)
	}
}

// TestHelpFitsItsLines at every width that it is written in; nothing is lost where lines are short.
func TestHelpFitsItsLines(t *testing.T) {
	everyCommand(t, func(c *cobra.Command) {
		words := func(columns int) (all []string, widest int) {
			var out bytes.Buffer
			if err := writeHelp(&out, helpOf(c), columns); err != nil {
				t.Fatal(err)
			}
			for line := range strings.Lines(out.String()) {
				line = strings.TrimRight(line, "\n")
				if !strings.HasPrefix(line, "  ") || !slices.Contains(strings.Split(c.Example, "\n"), line) {
					widest = max(widest, len(line))
				}
			}
			return strings.Fields(out.String()), widest
		}
		all, _ := words(100)
		for columns := 60; columns <= 100; columns += 5 {
			same, widest := words(columns)
			if widest > columns {
				t.Errorf("%s: a line of %d letters in %d columns", c.CommandPath(), widest, columns)
			}
			if !slices.Equal(all, same) {
				t.Errorf("%s says something else in %d columns", c.CommandPath(), columns)
			}
		}
		for line := range strings.Lines(c.Example) {
			if len(line) > 100 {
				t.Errorf("%s: an example of %d letters", c.CommandPath(), len(line))
			}
		}
	})
}

// TestKindsOfValuesAreInCapitals: no type of the language shows.
func TestKindsOfValuesAreInCapitals(t *testing.T) {
	kind := regexp.MustCompile(`^(BOOK\.pdf|[A-Z][A-Z,/=]*)$`)
	everyCommand(t, func(c *cobra.Command) {
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if k := f.Value.Type(); k != "bool" && !kind.MatchString(k) && !f.Hidden {
				t.Errorf("%s --%s %s", c.CommandPath(), f.Name, k)
			}
		})
	})
}

// TestStatusesStandInTheHelpOfTheProgram, and in no other.
func TestStatusesStandInTheHelpOfTheProgram(t *testing.T) {
	everyCommand(t, func(c *cobra.Command) {
		var out bytes.Buffer
		if err := writeHelp(&out, helpOf(c), 80); err != nil {
			t.Fatal(err)
		}
		if got, want := strings.Contains(out.String(), "Exit statuses:\n"), !c.HasParent(); got != want {
			t.Errorf("%s: exit statuses %t", c.CommandPath(), got)
		}
	})
}

// TestHelpAndReadmeAgree on the commands' groups and on the headings of the flags of prepare.
func TestHelpAndReadmeAgree(t *testing.T) {
	data, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	readme := string(data)
	for _, g := range groups(Surroundings{}) {
		if !strings.Contains(readme, "\n## "+g.title+"\n") {
			t.Errorf("the README has no chapter %q", g.title)
		}
	}
	of := map[string]string{} // heading of a flag in the README
	heading := ""
	for line := range strings.Lines(readme) {
		if h, ok := strings.CutPrefix(line, "##"); ok {
			heading = strings.Trim(h, "# \n")
		}
		if flags, _, ok := strings.Cut(strings.TrimPrefix(line, "| "), " |"); ok && strings.HasPrefix(line, "| `--") {
			for _, f := range regexp.MustCompile(`--[a-z-]+`).FindAllString(flags, -1) {
				if of[f] == "" {
					of[f] = heading
				}
			}
		}
	}
	for _, s := range flagsOf(newPrepare(Surroundings{})) {
		for _, e := range s.entries {
			name, _, _ := strings.Cut(e.name, " ")
			if name != "--help" && of[name] != s.heading {
				t.Errorf("%s stands under %q in the help, in the README under %q", name, s.heading, of[name])
			}
		}
	}
}

func TestVersion(t *testing.T) {
	if flag, command := said(t, "--version"), said(t, "version"); flag != command || !strings.HasPrefix(flag, "foldwright "+Version+" (") {
		t.Errorf("%q and %q", flag, command)
	}
}

// TestMistypedCommands are answered with what may be meant.
func TestMistypedCommands(t *testing.T) {
	for typed, want := range map[string]string{
		"prepair": "prepare", "testshet": "testsheet", "printers lsit": "list", "help measur": "measure", "xyzzy": "",
	} {
		var problem bytes.Buffer
		status := Run(t.Context(), strings.Fields(typed), Surroundings{Out: &problem, Err: &problem})
		hint := "hint: did you mean " + want + "?"
		if status != WrongUse || strings.Contains(problem.String(), hint) != (want != "") {
			t.Errorf("%s: status %d, %s", typed, status, problem.String())
		}
	}
}

// TestCompletion asks as a shell does.
func TestCompletion(t *testing.T) {
	profiles := t.TempDir()
	if err := os.WriteFile(filepath.Join(profiles, "attic.yaml"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	const nothingElse, files, byExtension, folders = ":4", ":0", ":8", ":16"
	for typed, want := range map[string][]string{
		"prepare ":                              {"pdf", byExtension},
		"proof ":                                {folders},
		"batch ":                                {"yaml", byExtension},
		"prepare b.pdf --fold ":                 {"folio", "concertina", nothingElse},
		"prepare b.pdf --paper ":                {"a4", "letter", nothingElse},
		"prepare b.pdf --structure ":            {"case", "stab", files},
		"prepare b.pdf --place ":                {"spine", "middle", "classic", nothingElse},
		"prepare b.pdf --out ":                  {folders},
		"prepare b.pdf --profiles P --printer ": {"attic", "by-hand-long", files},
		"printers show --profiles P ":           {"attic", files},
		"measure F --structure ":                {"cords", files},
		"reprint F --source ":                   {"pdf", byExtension},
		"learn desk --pencil ":                  {"printed", "unprinted", nothingElse},
		"completion ":                           {"bash", "fish", "powershell", "zsh", nothingElse},
		"rep":                                   {"reprint\t", nothingElse},
		"prepare b.pdf --cut-o":                 {"--cut-overhang\t", nothingElse},
		"prepare b.pdf --units ":                {"mm", "in", nothingElse},
		"simulate F --reload ":                  {"as-delivered", "turn-short", nothingElse},
	} {
		args := strings.Split(strings.Replace(typed, " P ", " "+profiles+" ", 1), " ")
		got := said(t, append([]string{"__complete"}, args...)...)
		for _, w := range want {
			if !strings.Contains("\n"+got, "\n"+w) {
				t.Errorf("%q is not proposed for %q, but %q", w, typed, got)
			}
		}
	}
	for shell := range shells {
		if script := said(t, "completion", shell); !strings.Contains(script, "foldwright") || len(script) < 1000 {
			t.Errorf("for %s: %q", shell, script)
		}
	}
}

// TestManualPages has one for each command, with all its flags.
func TestManualPages(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "man1")
	said(t, "man", dir)
	everyCommand(t, func(c *cobra.Command) {
		data, err := os.ReadFile(filepath.Join(dir, manName(c)+".1"))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range flagsOf(c) {
			for _, e := range s.entries {
				if !strings.Contains(string(data), "\n.B "+manText(e.name)+"\n"+manText(e.text)+"\n") {
					t.Errorf("the page of %s lacks %s", c.CommandPath(), e.name)
				}
			}
		}
		for line := range strings.Lines(string(data)) {
			if macro := regexp.MustCompile(`^\.(TH|SH|PP|TP|B|nf|fi)\b`); line[0] == '.' && !macro.MatchString(line) || line[0] == '\'' {
				t.Errorf("%s: a line that is taken for a macro: %q", c.CommandPath(), line)
			}
		}
	})
}
