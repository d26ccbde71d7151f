package visible

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"
)

// hostile is what must not reach a terminal: it sets the title, rings, clears, begins a line anew,
// turns letters round, hides.
const hostile = "a\x1b]0;title\x07\x1b[2J\r\u009b31m\u202egnp\u2066\u200b\u2028\u00ad\u3164\ufeff\U000e0041\x7f\xff\xc3\nforged: z"

func TestText(t *testing.T) {
	for text, want := range map[string]string{
		"":                        "",
		"terns of Larkhaven.pdf":  "terns of Larkhaven.pdf",
		"Bücher 海鳥 e\u0301.pdf":   "Bücher 海鳥 e\u0301.pdf",
		"a\x1b[2Jb":               `a\u001b[2Jb`,
		"two\nlines\tand\r":       `two\u000alines\u0009and\u000d`,
		"fdp.\u202egnp":           `fdp.\u202egnp`,
		"B\xfccher":               `B\xfccher`,
		"\U000e0041":              `\udb40\udc41`,
		`C:\books\tides.pdf`:      `C:\books\tides.pdf`,
		`\u001b`:                  `\\u001b`,
		`\xff \xfg \u12 \\u202e`:  `\\xff \\xfg \\u12 \\\\u202e`,
		"\\\x1b":                  `\\\u001b`,
		"\ufffd is a letter, too": "\ufffd is a letter, too",
	} {
		if got := Text(text); got != want {
			t.Errorf("%q is shown as %s, want %s", text, got, want)
		}
	}
}

// TestTextsAreToldApart makes all short texts of what could be mixed up.
func TestTextsAreToldApart(t *testing.T) {
	pieces := []string{`\`, "u001b", "x1b", "\x1b", "\xff", "xff", "a"}
	of := map[string]string{}
	var try func(text string, left int)
	try = func(text string, left int) {
		shown := Text(text)
		if other, ok := of[shown]; ok && other != text {
			t.Fatalf("%q and %q are both shown as %s", other, text, shown)
		}
		of[shown] = text
		if left == 0 {
			return
		}
		for _, p := range pieces {
			try(text+p, left-1)
		}
	}
	try("", 5)
}

// clean fails the test if something is left that is not seen.
func clean(t *testing.T, text string) {
	t.Helper()
	for i, r := range text {
		if r != '\n' && r != '\t' && (!unicode.IsGraphic(r) || unicode.Is(unicode.Cf, r)) {
			t.Errorf("%U is left in %q", r, text)
		}
		if r == utf8.RuneError && !strings.HasPrefix(text[i:], "\ufffd") {
			t.Errorf("a byte that is no letter is left in %q", text)
		}
	}
}

func TestMessages(t *testing.T) {
	var out strings.Builder
	w := NewWriter(&out)
	table := NewTable(w)
	for _, arg := range []any{hostile, errors.New(hostile), fmt.Errorf("%w", &json.UnsupportedValueError{Str: hostile}), named(hostile)} {
		Fprintf(w, "name %s, %d\nour line\n", arg, 7)
		Fprintln(w, arg)
		Fprintf(table, "%s\tour cell\n", arg)
	}
	if err := table.Flush(); err != nil {
		t.Fatal(err)
	}
	clean(t, out.String())
	for line := range strings.Lines(out.String()) {
		if strings.HasPrefix(line, "forged") {
			t.Errorf("a line is forged:\n%s", out.String())
		}
	}
	if n := strings.Count(out.String(), "\nour line\n"); n != 4 {
		t.Errorf("%d lines of ours:\n%s", n, out.String())
	}
	// Elsewhere it is as it is.
	out.Reset()
	Fprintf(&out, "%s %v", hostile, time.Second)
	if out.String() != hostile+" 1s" {
		t.Errorf("got %q", out.String())
	}
}

type named string

func (n named) String() string { return string(n) }

// TestPieces writes byte by byte.
func TestPieces(t *testing.T) {
	const text = "Bücher 海鳥\x1b[2J\u202e\xff tab\tline\n"
	var whole, pieces strings.Builder
	if _, err := NewWriter(&whole).Write([]byte(text)); err != nil {
		t.Fatal(err)
	}
	w := NewWriter(&pieces)
	for i := range len(text) {
		if n, err := w.Write([]byte(text[i : i+1])); n != 1 || err != nil {
			t.Fatal(n, err)
		}
	}
	if want := "Bücher 海鳥\\u001b[2J\\u202e\\xff tab\tline\n"; whole.String() != want || pieces.String() != want {
		t.Errorf("whole %q, in pieces %q", whole.String(), pieces.String())
	}
}

// TestJSONStaysJSON shows at a terminal what is valid and means the same.
func TestJSONStaysJSON(t *testing.T) {
	text := strings.ToValidUTF8(hostile, "")
	data, err := json.Marshal(text)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	if _, err := NewWriter(&out).Write(data); err != nil {
		t.Fatal(err)
	}
	clean(t, out.String())
	var again string
	if err := json.Unmarshal([]byte(out.String()), &again); err != nil || again != text {
		t.Errorf("read back %q, %v", again, err)
	}
}
