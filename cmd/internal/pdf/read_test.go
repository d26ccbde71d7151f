package pdf

import (
	"testing"

	"foldwright/cmd/internal/pdf/cos"
)

// groupOfFirstForm reads the Group of the first form among resources.
func groupOfFirstForm(t *testing.T, d *Document, resources cos.Object) cos.Object {
	t.Helper()
	r, _ := resources.(*cos.Dict)
	x, _ := d.file.Resolve(r.Get("XObject")).(*cos.Dict)
	if x == nil || len(x.Entries) == 0 {
		t.Fatal("the side draws no form")
	}
	s, ok := d.file.Resolve(x.Entries[0].Value).(*cos.Stream)
	if !ok {
		t.Fatal("what the side draws is no form")
	}
	g, _ := d.file.Resolve(s.Dict.Get("Group")).(*cos.Dict)
	if g == nil {
		return nil
	}
	return *g
}
