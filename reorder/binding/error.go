package binding

import "foldwright/reorder/refusal"

// Error says why figures or rules are refused.
type Error struct {
	What   Reason
	Advice string
	Rule   string // the key of the structure's rule that is wrong; may be empty
	Units  Units  // in which it is told; zero is MM
}

func (e *Error) Error() string { return e.What.In(e.Units) }

// Kind is whose fault it is.
func (e *Error) Kind() refusal.Kind { return refusal.Plan }

// Hint is what can be done about it.
func (e *Error) Hint() string { return e.Advice }

func refuse(advice string, what Reason) error { return &Error{What: what, Advice: advice} }
