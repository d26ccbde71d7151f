package runsheet

// Text is what a note or a step says.
type Text struct {
	Lead      Sentence   // what to do or to know
	List      []Sentence // what the lead speaks of, item by item
	More      []Sentence // how, and what if not
	Important bool       // must not be overlooked
}

// Step is one thing to do. What it says follows from its facts, so that
// whoever acts on the facts does what the text says.
type Step interface{ Text() Text }

// Note is something to know.
type Note interface{ Text() Text }

// Stage is steps that belong together, and what to know before them.
type Stage struct {
	Heading string
	Notes   []Note
	Steps   []Step
}

// Part is a chapter of the run sheet.
type Part struct {
	Anchor  string // unique within the sheet
	Heading string
	Stages  []Stage
}

// Parts is the whole run sheet.
func Parts(j Job) []Part {
	parts := []Part{openingPart(j), dialogPart(j)}
	if len(j.Trial.Files) > 0 {
		parts = append(parts, trialPart(j))
	}
	for _, r := range j.Runs {
		parts = append(parts, runPart(j, r))
	}
	parts = append(parts, troublePart(j), makingPart(j))
	if len(j.Bench) > 0 {
		parts = append(parts, figuresPart(j.Bench, j.Folder))
	}
	return parts
}

// Steps is what the person does if nothing goes wrong, in order.
func Steps(j Job) []Step {
	var steps []Step
	for _, p := range Parts(j) {
		if p.Anchor == troubleAnchor {
			continue
		}
		for _, s := range p.Stages {
			steps = append(steps, s.Steps...)
		}
	}
	return steps
}
