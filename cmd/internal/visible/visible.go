// Package visible keeps what comes from outside from doing anything to a
// terminal, or to a page: names of files, and texts out of PDFs, plans, profiles and worklists
// can hold what clears the screen, sets the window's title, turns the order of letters round,
// or stands for nothing that is seen.
//
// [Fprintf] is how a message is written, [Writer] where it goes. Instead of a letter that
// is not seen as such stands its number as JSON writes it, \u001b or \u202e, and instead of a byte
// that is no letter of UTF-8 \xff. The backslashes of a text with such a thing, or with what looks
// like one, are doubled, so what is shown is never said of two texts.
package visible

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
	"sync"
	"text/tabwriter"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// isSeen tells whether a letter is shown, takes its place in the line and does nothing else.
func isSeen(r rune) bool {
	return unicode.IsGraphic(r) && !unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r)
}

// escaped is what looks like that which stands instead of a letter.
var escaped = regexp.MustCompile(`\\(u[0-9a-f]{4}|x[0-9a-f]{2})`)

// Text is a text on one line as it may stand in a message.
func Text(s string) string {
	isSeen := func(r rune) bool { return r != utf8.RuneError && isSeen(r) }
	if !strings.ContainsFunc(s, func(r rune) bool { return !isSeen(r) }) && !escaped.MatchString(s) {
		return s
	}
	var out strings.Builder
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch instead := escape(r, n, s[i]); {
		case r == '\\':
			out.WriteString(`\\`)
		case instead != "":
			out.WriteString(instead)
		default:
			out.WriteString(s[i : i+n])
		}
		i += n
	}
	return out.String()
}

// escape is what stands instead of a letter of n bytes, of which first is the first; empty if it is seen.
func escape(r rune, n int, first byte) string {
	switch {
	case r == utf8.RuneError && n == 1:
		return fmt.Sprintf(`\x%02x`, first)
	case isSeen(r):
		return ""
	case r > 0xffff:
		high, low := utf16.EncodeRune(r)
		return fmt.Sprintf(`\u%04x\u%04x`, high, low)
	}
	return fmt.Sprintf(`\u%04x`, r)
}

// cleaner is what a message is cleaned for.
type cleaner interface{ cleans() bool }

func cleans(w io.Writer) bool {
	c, ok := w.(cleaner)
	return ok && c.cleans()
}

// Fprintf writes a message. Where w is a [Writer] or leads to one, every text, error
// and value with a text of its own among args stays on its line, by [Text]; the format is ours and may have
// as many lines as it likes. Elsewhere it is fmt.Fprintf.
func Fprintf(w io.Writer, format string, args ...any) (int, error) {
	if !cleans(w) {
		return fmt.Fprintf(w, format, args...)
	}
	cleaned := make([]any, len(args))
	for i, arg := range args {
		switch v := arg.(type) {
		case string:
			arg = Text(v)
		case error:
			arg = Text(v.Error())
		case fmt.Stringer:
			arg = Text(v.String())
		}
		cleaned[i] = arg
	}
	return fmt.Fprintf(w, format, cleaned...)
}

// Fprintln writes one text on a line of its own, as [Fprintf] does.
func Fprintln(w io.Writer, text any) (int, error) { return Fprintf(w, "%s\n", text) }

// Writer passes text on, and of what is not seen only ends of lines and tabs.
type Writer struct {
	w    io.Writer
	mu   sync.Mutex
	rest []byte // of a letter whose end has not come yet
}

// NewWriter makes a writer that cleans what goes to w.
func NewWriter(w io.Writer) *Writer { return &Writer{w: w} }

func (*Writer) cleans() bool { return true }

// Raw is where the writer writes, for what has to move a terminal's cursor.
func (w *Writer) Raw() io.Writer { return w.w }

// Write cleans p. A letter can come in two pieces.
func (w *Writer) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.rest == nil && !bytes.ContainsFunc(p, func(r rune) bool { return (r < ' ' || r > '~') && r != '\n' && r != '\t' }) {
		return w.w.Write(p)
	}
	text := append(w.rest, p...)
	w.rest = nil
	var out bytes.Buffer
	out.Grow(len(text))
	for i := 0; i < len(text); {
		if text[i] >= utf8.RuneSelf && !utf8.FullRune(text[i:]) {
			w.rest = bytes.Clone(text[i:])
			break
		}
		r, n := utf8.DecodeRune(text[i:])
		if instead := escape(r, n, text[i]); instead != "" && r != '\n' && r != '\t' {
			out.WriteString(instead)
		} else {
			out.Write(text[i : i+n])
		}
		i += n
	}
	if _, err := w.w.Write(out.Bytes()); err != nil {
		return 0, err
	}
	return len(p), nil
}

// Table is a tabwriter through which messages go as they would go to w.
type Table struct {
	*tabwriter.Writer
	clean bool
}

// NewTable makes a table whose columns are two spaces apart.
func NewTable(w io.Writer) *Table {
	return &Table{tabwriter.NewWriter(w, 0, 0, 2, ' ', 0), cleans(w)}
}

func (t *Table) cleans() bool { return t.clean }

// AddRow writes a row of two columns; what goes wrong is told by Flush.
func (t *Table) AddRow(what, format string, args ...any) {
	_, _ = Fprintf(t, "%s\t%s\n", what, fmt.Sprintf(format, args...))
}

// Lines breaks a text at its spaces, at least into one line; fits tells whether a
// line is short enough to stand at its place, counted from 0. A word that is
// longer than a line stands alone.
func Lines(text string, fits func(line string, at int) bool) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && !fits(longer, len(out)) {
			out = append(out, line)
			longer = word
		}
		line = longer
	}
	return append(out, line)
}
