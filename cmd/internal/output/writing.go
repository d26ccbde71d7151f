package output

import (
	"context"
	"foldwright/cmd/internal/plan"
)

// Job is a draft that is written, as a whole or sheets of it once more.
type Job struct {
	*plan.Draft
	// Folder is the name of the job's folder, by which command lines on its run
	// sheet call it; [Job.Write] takes it from the place.
	Folder string
	// Inspect, if set, looks at the finished folder before it is published; its
	// error keeps the folder from being.
	Prove func(ctx context.Context, dir string) error
	// Kept, if set, is told what a folder that is replaced held besides the files
	// of its record; the new one holds it too.
	Kept func(names []string)
}
