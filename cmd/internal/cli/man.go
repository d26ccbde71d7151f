package cli

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
)

func newMan(s Surroundings) *cobra.Command {
	return newCommand("man", func(cmd *cobra.Command, args []string) error { return writeMan(cmd.Context(), s, cmd.Root(), args[0]) })
}

// writeMan writes the manual pages of a command and those below it into a folder.
func writeMan(ctx context.Context, s Surroundings, cmd *cobra.Command, dir string) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	path := filepath.Join(dir, manName(cmd)+".1")
	if err := os.WriteFile(path, []byte(manPage(cmd)), 0o666); err != nil {
		return err
	}
	if err := s.printLine(path); err != nil {
		return err
	}
	for _, below := range cmd.Commands() {
		if err := ctx.Err(); err != nil {
			return err
		}
		if !below.Hidden {
			if err := writeMan(ctx, s, below, dir); err != nil {
				return err
			}
		}
	}
	return nil
}

func manName(cmd *cobra.Command) string { return strings.ReplaceAll(cmd.CommandPath(), " ", "-") }

// manPage is the help of a command in the macros of man(7).
func manPage(cmd *cobra.Command) string {
	var out strings.Builder
	fmt.Fprintf(&out, ".TH %s 1 \"\" \"foldwright %s\"\n.SH NAME\n%s \\- %s\n", strings.ToUpper(manText(manName(cmd))), Version, manText(manName(cmd)), manText(cmd.Short))
	for _, s := range helpOf(cmd) {
		fmt.Fprintf(&out, ".SH %s\n", strings.ToUpper(manText(cmp.Or(s.heading, "Description"))))
		for _, p := range s.paragraphs {
			fmt.Fprintf(&out, ".PP\n%s\n", manText(p))
		}
		if len(s.lines) > 0 {
			fmt.Fprintf(&out, ".nf\n%s\n.fi\n", manText(strings.Join(s.lines, "\n")))
		}
		for _, e := range s.entries {
			fmt.Fprintf(&out, ".TP\n.B %s\n%s\n", manText(e.name), manText(e.text))
		}
	}
	return out.String()
}

// manText is a text in which nothing is a macro or an escape.
func manText(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`, "\n.", "\n\\&.", "\n'", "\n\\&'").Replace(text)
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		return `\&` + text
	}
	return text
}
