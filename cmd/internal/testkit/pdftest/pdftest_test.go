package pdftest

import (
	"bytes"
	"testing"
	"testing/synctest"
	"time"
)

// TestTheSecondChangesNothing writes the same page in two seconds.
func TestTheSecondChangesNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var written [2]bytes.Buffer
		for i := range written {
			doc := New(148, 210)
			doc.AddPage()
			doc.SetFont("Helvetica", "", 12)
			doc.Text(20, 20, "High water at Larkhaven")
			if err := doc.Output(&written[i]); err != nil {
				t.Fatal(err)
			}
			time.Sleep(90 * time.Second)
		}
		if !bytes.Equal(written[0].Bytes(), written[1].Bytes()) {
			t.Error("the same page in another second is another file")
		}
	})
}
