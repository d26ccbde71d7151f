package cli

import (
	"context"
	"errors"
	"io"
	"time"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/proof/preview"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/publish"
	"foldwright/reorder/refusal"
)

// previewOptions is what the command line says.
type previewOptions struct {
	folder   string
	dpi      dpi
	width    int
	html     bool
	out      string
	replace  bool
	quiet    bool
	pageTime time.Duration
}

func newPreview(s Surroundings) *cobra.Command {
	var o previewOptions
	cmd := newCommand("preview", func(cmd *cobra.Command, args []string) error {
		o.folder = args[0]
		switch {
		case cmd.Flags().Changed("dpi") && cmd.Flags().Changed("width"):
			return refusal.Command.New("--dpi and --width cannot be used together")
		case cmd.Flags().Changed("width") && (o.width < 20 || o.width > 10000):
			return refusal.Command.New("--width must be between 20 and 10000 pixels")
		}
		return runPreview(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	o.dpi = 60
	addText(f, &o.dpi, "dpi", "NUMBER", "resolution of the pictures in pixels per inch (default: 60)")
	addNumber(f, &o.width, "width", "the width of a picture in pixels instead")
	addPageTimeoutFlag(f, &o.pageTime)
	f.BoolVar(&o.html, "html", false, "write one HTML page instead of a folder")
	addWord(f, &o.out, "out", "PATH", "folder or page to write (default: NAME-preview or NAME-preview.html beside the folder)")
	f.BoolVar(&o.replace, "replace", false, "replace an existing preview")
	addQuietFlag(f, &o.quiet)
	return cmd
}

func runPreview(ctx context.Context, s Surroundings, o previewOptions) (err error) {
	out := o.out
	var kept []string
	place := publish.Options{Replace: o.replace, Ours: preview.Files, Reads: []string{o.folder}, Kept: func(names []string) { kept = names }}
	if out == "" {
		out = proof.Beside(o.folder, "preview")
		if o.html {
			out += ".html"
		}
	}
	if o.html {
		place.Ours = publish.Single(preview.IsPage)
	}
	if err := publish.Check(out, place); err != nil {
		return err
	}
	p, err := proof.Open(ctx, o.folder)
	if err != nil {
		return err
	}
	engine, end := s.startRenderer(o.pageTime)
	defer func() { err = errors.Join(err, p.Close(), end()) }()
	bar := barUnless(o.quiet, s)
	var undrawn []string
	how := preview.Options{
		Renderer: engine, DPI: float64(o.dpi), Progress: bar,
		Undrawn: func(side string) { undrawn = append(undrawn, side) },
	}
	if o.width > 0 {
		how.DPI = float64(o.width) * 25.4 / p.Paper().W
	}
	bar.Start("drawing "+out, preview.Sides(p))
	if o.html {
		err = publish.Write(ctx, out, place, func(ctx context.Context, w io.Writer) error { return preview.Page(ctx, p, how, w) })
	} else {
		err = publish.Folder(ctx, out, place, func(ctx context.Context, dir string) error { return preview.Folder(ctx, p, how, dir) })
	}
	bar.End()
	if err != nil {
		return err
	}
	if !o.quiet {
		tellKept(s, kept)
	}
	if _, err = visible.Fprintln(s.Out, out); err != nil || len(undrawn) == 0 {
		return err
	}
	return preview.RefuseIncomplete(undrawn)
}
