package plan

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"foldwright/profiles/lock"
	"foldwright/reorder/refusal"
)

// PrintingLock is the name of the file that is locked in a job's folder while the job is being printed.
const PrintingLock = ".printing.lock"

// CheckIdle refuses a folder whose job is being printed: its files must stay what they are.
func CheckIdle(folder string) error {
	path := filepath.Join(folder, PrintingLock)
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	held, err := lock.Acquire(path)
	if errors.Is(err, lock.ErrHeld) {
		return refusal.Output.New("%s is being printed at this moment", folder).Advise("wait until it is printed, or stop printing first")
	}
	if err != nil {
		return err
	}
	return held.Release()
}
