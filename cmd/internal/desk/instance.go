package desk

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"

	"foldwright/profiles/lock"
	"foldwright/reorder/refusal"
)

// One desk is open for a folder of books. It holds a lock there, and a file beside it says
// where it is and with which key another start of the program asks for a way in.
const (
	lockFile    = ".desk.lock"
	addressFile = ".desk.json" // readable by its person only
)

// openElsewhere says that a desk is open already, and how to come in.
type openElsewhere struct{ address string }

func (e *openElsewhere) Error() string { return "is open already at " + e.address }

// instance is the right to be the one desk that is open.
type instance struct {
	dir  string
	held *lock.Lock
}

// whereabouts is the file beside the lock.
type whereabouts struct {
	Host string `json:"host"`
	Key  string `json:"key"`
}

// claim takes the right for a folder of books. The error is *openElsewhere if another one has it
// and answers.
func claim(dir string) (*instance, error) {
	for end := time.Now().Add(patience); ; {
		held, err := lock.Acquire(filepath.Join(dir, lockFile))
		if err == nil {
			return &instance{dir, held}, nil
		}
		if !errors.Is(err, lock.ErrHeld) {
			return nil, err
		}
		if address, err := askForWayIn(dir); err == nil {
			return nil, &openElsewhere{address}
		}
		if time.Now().After(end) {
			return nil, refusal.Output.New("Foldwright is open already, but does not answer").Advise("end its process, then open it again")
		}
		time.Sleep(100 * time.Millisecond) // it is just beginning, or just ending
	}
}

// patience is how long another start may take until it answers.
const patience = 20 * time.Second

// askForWayIn asks the desk that is open for an address that lets a browser in.
func askForWayIn(dir string) (string, error) {
	data, err := os.ReadFile(filepath.Join(dir, addressFile))
	if err != nil {
		return "", err
	}
	var at whereabouts
	if err := json.Unmarshal(data, &at); err != nil {
		return "", err
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience/4)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://"+at.Host+anotherPath, nil)
	if err != nil {
		return "", err
	}
	r.Header.Set("Authorization", "Bearer "+at.Key)
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return "", err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(io.LimitReader(answer.Body, 4096))
	if err != nil || answer.StatusCode != http.StatusOK || !strings.HasPrefix(string(text), "http://"+at.Host+entrancePath) {
		return "", errors.Join(err, errors.New("gives no way in"))
	}
	return string(text), nil
}

// tell writes down where the desk is.
func (i *instance) tell(g *guard) error {
	data, err := json.Marshal(whereabouts{g.host, g.key})
	if err != nil {
		return err
	}
	path := filepath.Join(i.dir, addressFile)
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return os.WriteFile(path, data, 0o600)
}

func (i *instance) release() {
	_ = os.Remove(filepath.Join(i.dir, addressFile)) // without the lock it tells nothing
	_ = i.held.Release()
}
