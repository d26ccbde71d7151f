package cli

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/term"

	"foldwright/cmd/internal/visible"
)

// section is a part of the help of a command. All but a heading can be missing.
type section struct {
	heading    string
	paragraphs []string
	lines      []string // to be written exactly so
	entries    []entry
}

// entry is a command or a flag, and what it does.
type entry struct{ name, text string }

// headingKey is the annotation of a flag that says under which heading it stands.
const headingKey = "heading"

// addUnder gives the flags that add makes a heading in the help.
func addUnder(f *pflag.FlagSet, heading string, add func(*pflag.FlagSet)) {
	part := pflag.NewFlagSet("", pflag.ContinueOnError)
	part.SortFlags = false
	add(part)
	part.VisitAll(func(one *pflag.Flag) { one.Annotations = map[string][]string{headingKey: {heading}} })
	f.AddFlagSet(part)
}

// helpOf is what there is to say of a command.
func helpOf(cmd *cobra.Command) []section {
	all := []section{
		{paragraphs: strings.Split(cmp.Or(cmd.Long, strings.ToUpper(cmd.Short[:1])+cmd.Short[1:]+"."), "\n\n")},
		{heading: "Usage", lines: []string{usageOf(cmd)}},
		{heading: "Examples", lines: strings.Split(strings.ReplaceAll(strings.TrimPrefix(cmd.Example, "  "), "\n  ", "\n"), "\n")},
	}
	all = slices.Concat(all, commandsOf(cmd), flagsOf(cmd))
	if !cmd.HasParent() {
		all = append(all, section{heading: "Exit statuses", entries: statusEntries()})
	}
	if cmd.HasAvailableSubCommands() {
		all = append(all, section{paragraphs: []string{fmt.Sprintf("'%s COMMAND --help' says more about a command.", cmd.CommandPath())}})
	}
	return all
}

func usageOf(cmd *cobra.Command) string {
	use := cmd.CommandPath() + strings.TrimPrefix(cmd.Use, cmd.Name())
	if cmd.HasAvailableSubCommands() {
		return use + " COMMAND"
	}
	return use + " [FLAGS]"
}

// commandsOf lists the commands below a command, by their groups.
func commandsOf(cmd *cobra.Command) (out []section) {
	groups := cmd.Groups()
	if len(groups) == 0 {
		groups = []*cobra.Group{{Title: "Commands"}}
	}
	for _, g := range groups {
		s := section{heading: g.Title}
		for _, c := range cmd.Commands() {
			if c.GroupID == g.ID && !c.Hidden {
				s.entries = append(s.entries, entry{c.Name(), c.Short})
			}
		}
		if len(s.entries) > 0 {
			out = append(out, s)
		}
	}
	return out
}

// flagsOf lists the flags of a command, by their headings.
func flagsOf(cmd *cobra.Command) (out []section) {
	add := func(f *pflag.Flag) {
		heading := "Flags"
		if h := f.Annotations[headingKey]; h != nil {
			heading = h[0]
		}
		i := slices.IndexFunc(out, func(s section) bool { return s.heading == heading })
		if i < 0 {
			i = len(out)
			out = append(out, section{heading: heading})
		}
		if !f.Hidden {
			out[i].entries = append(out[i].entries, entry{flagText(f), f.Usage})
		}
	}
	cmd.LocalFlags().VisitAll(add)
	cmd.InheritedFlags().VisitAll(add)
	return slices.DeleteFunc(out, func(s section) bool { return len(s.entries) == 0 })
}

// flagText is a flag with the kind of its value.
func flagText(f *pflag.Flag) string {
	if kind := f.Value.Type(); kind != "bool" {
		return "--" + f.Name + " " + kind
	}
	return "--" + f.Name
}

// writeHelp writes sections in lines of so many columns.
func writeHelp(w io.Writer, sections []section, columns int) error {
	var out strings.Builder
	indent := indentOf(sections, columns)
	for i, s := range sections {
		if i > 0 {
			out.WriteString("\n")
		}
		if s.heading != "" {
			out.WriteString(s.heading + ":\n")
		}
		for j, p := range s.paragraphs {
			if j > 0 {
				out.WriteString("\n")
			}
			for _, line := range fill(p, columns) {
				out.WriteString(line + "\n")
			}
		}
		for _, line := range s.lines {
			out.WriteString("  " + line + "\n")
		}
		writeEntries(&out, s.entries, indent, columns)
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// indentOf is where begins what entries do: beside their names, but for long ones, or below them where
// lines are short.
func indentOf(sections []section, columns int) int {
	const widest = 24
	if columns < 72 {
		return 6
	}
	beside := 0
	for _, s := range sections {
		for _, e := range s.entries {
			if n := len(e.name); n <= widest {
				beside = max(beside, n)
			}
		}
	}
	return 2 + beside + 2
}

// writeEntries writes names with what they do.
func writeEntries(out *strings.Builder, entries []entry, indent, columns int) {
	for _, e := range entries {
		line := "  " + e.name
		if len(line)+2 > indent {
			out.WriteString(line + "\n")
			line = ""
		}
		for _, text := range fill(e.text, columns-indent) {
			fmt.Fprintf(out, "%-*s%s\n", indent, line, text)
			line = ""
		}
	}
}

// fill breaks a text into lines of so many columns.
func fill(text string, columns int) []string {
	return visible.Lines(text, func(line string, _ int) bool { return len(line) <= columns })
}

// columnsOf is how wide help is written: as wide as the terminal, but for lines that are hard to read.
func columnsOf(w io.Writer) int {
	if c, ok := w.(interface{ Raw() io.Writer }); ok {
		w = c.Raw()
	}
	if f, ok := w.(interface{ Fd() uintptr }); ok {
		if columns, _, err := term.GetSize(int(f.Fd())); err == nil && columns > 0 {
			return min(max(columns, 40), 100)
		}
	}
	return 80
}
