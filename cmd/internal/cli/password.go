package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"
	"golang.org/x/term"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/regular"
	"foldwright/reorder/refusal"
)

// Secret asks a person for something that nobody else should see.
type Secret func(ctx context.Context, question string) (string, error)

// terminalSecret asks on the terminal, without showing what is typed. It is
// nil where there is no terminal. An interrupt gives the terminal back as it was.
func terminalSecret(in *os.File, out io.Writer) Secret {
	fd := int(in.Fd())
	if !term.IsTerminal(fd) {
		return nil
	}
	return func(ctx context.Context, question string) (string, error) {
		before, err := term.GetState(fd)
		if err != nil {
			return "", err
		}
		visible.Fprintf(visible.NewWriter(out), "%s", question)
		defer fmt.Fprintln(out)
		text, err := await(ctx, func() (string, error) {
			text, err := term.ReadPassword(fd)
			return string(text), err
		})
		if ctx.Err() != nil {
			err = errors.Join(err, term.Restore(fd, before))
		}
		return text, err
	}
}

// await waits for an answer until the context ends.
func await(ctx context.Context, ask func() (string, error)) (string, error) {
	type answer struct {
		text string
		err  error
	}
	got := make(chan answer, 1)
	go func() {
		text, err := ask()
		got <- answer{text, err}
	}()
	select {
	case a := <-got:
		return a.text, a.err
	case <-ctx.Done():
		return "", ctx.Err()
	}
}

// addPasswordFlag is the flag of every command that reads a source. A
// password itself is no flag: other users of the machine could read it there.
func addPasswordFlag(f *pflag.FlagSet, file *string) {
	addWord(f, file, "password-file", "FILE", "file whose first line is the PDF's password (default: you are asked on a terminal)")
}

// readPassword is the first line of a file, or of a pipe: what keeps a person's
// passwords can write into one that lasts no longer than the command. It is waited for until the
// context ends.
func readPassword(ctx context.Context, file string) (string, error) {
	info, err := os.Stat(file)
	if err != nil || info.Mode()&fs.ModeNamedPipe == 0 {
		return readPasswordIn(file, regular.Open)
	}
	return await(ctx, func() (string, error) { return readPasswordIn(file, os.Open) })
}

// readPasswordIn is the first line of what open opens.
func readPasswordIn(file string, open func(string) (*os.File, error)) (string, error) {
	if file == "" {
		return "", nil
	}
	refuse := func(why any) error { return refusal.Use.New("--password-file %s: %v", file, why) }
	f, err := open(file)
	var path *fs.PathError
	var kind *regular.KindError
	if errors.As(err, &kind) {
		return "", fmt.Errorf("--password-file %s: %w", file, kind)
	}
	if errors.As(err, &path) {
		return "", refuse(path.Err)
	}
	defer f.Close()
	const longest = 4096
	text, err := io.ReadAll(io.LimitReader(f, longest))
	if errors.As(err, &path) {
		return "", refuse(path.Err)
	}
	line, _, _ := strings.Cut(string(text), "\n")
	line = strings.TrimSuffix(strings.TrimPrefix(line, "\ufeff"), "\r")
	if line == "" {
		return "", refuse("its first line is empty")
	}
	return line, err
}

// attempts is how often a password is asked for.
const attempts = 3

// withPassword opens a source with a password and, where there is a terminal and no password was given,
// asks for the one that it needs.
func withPassword[T any](ctx context.Context, s Surroundings, source, password string, open func(password string) (T, error)) (T, error) {
	opened, err := open(password)
	if password != "" || s.Secret == nil {
		return opened, err
	}
	for range attempts {
		if !errors.Is(err, pdf.ErrPassword) && !errors.Is(err, pdf.ErrWrongPassword) {
			break
		}
		if errors.Is(err, pdf.ErrWrongPassword) {
			visible.Fprintln(s.Err, "that is not the password")
		}
		password, err = s.Secret(ctx, fmt.Sprintf("password of %s: ", filepath.Base(source)))
		if err != nil {
			return opened, err
		}
		opened, err = open(password)
	}
	return opened, err
}
