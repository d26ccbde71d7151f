package cli

import (
	"testing"

	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/virtual"
)

// frontsUp lays printed sheets with the fronts up, turning the stack as a whole if it has
// to, and reads the numeral on the sheet on top.
func frontsUp(t testing.TB, stack virtual.Stack[printtest.Page]) string {
	t.Helper()
	return printtest.Numeral(layUp(t, stack, "front").Upper().Image)
}

// backsUp lays test sheets with the backs up, turning the stack as a whole if it has
// to, and reads the numerals of back and front of the sheet on top.
func backsUp(t testing.TB, stack virtual.Stack[printtest.Page]) (front, back string) {
	t.Helper()
	top := layUp(t, stack, "back")
	return printtest.Numeral(top.Lower().Image), printtest.Numeral(top.Upper().Image)
}

// layUp is the sheet on top once the stack lies with this face up.
func layUp(t testing.TB, stack virtual.Stack[printtest.Page], side string) virtual.Sheet[printtest.Page] {
	t.Helper()
	if up := stack[0].Upper(); !up.Printed || printtest.Face(up.Image) != side {
		var err error
		if stack, err = virtual.Reload(stack, printer.TurnLong); err != nil {
			t.Fatal(err)
		}
	}
	return stack[0]
}
