package pdf

import (
	"fmt"
	"testing"
)

// A layer is as BaseState says, then as ON, then as OFF (ISO 32000-1, table 101), and for
// printing as its PrintState says (table 102, and table 103 with the event Print). PDFium
// doesn't heed the layer of an annotation; the standard does (table 164, OC).
func TestLayersArePrintedAsConfigured(t *testing.T) {
	shown := map[int][]spot{1: {{100, 100, "black"}}}
	hidden := map[int][]spot{1: {{100, 100, "white"}}}
	// layer is a page on which a black square belongs to a layer in each of the
	// ways in which things can: marked content, a form, an annotation.
	ways := map[string]func(s *source, layer int){
		"content": func(s *source, layer int) {
			s.square("/OC /L BDC "+blackSquare+" EMC", fmt.Sprintf("/Resources << /Properties << /L %d 0 R >> >>", layer))
		},
		"form": func(s *source, layer int) {
			x := s.stream(fmt.Sprintf("/Type /XObject /Subtype /Form /BBox [0 0 200 200] /OC %d 0 R", layer), blackSquare)
			s.square("/X Do", fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> >>", x))
		},
		"annotation": func(s *source, layer int) {
			s.annotated("", fmt.Sprintf("/Rect [50 50 150 150] /Subtype /Stamp /F 4 /OC %d 0 R /AP << /N %d 0 R >>", layer, s.stamp("/BBox [0 0 10 10]")))
		},
	}
	for _, c := range []struct {
		name, layer, config string // LAYER stands for the layer
		spots               map[int][]spot
	}{
		{"on by default", "", "", shown},
		{"off", "", "/OFF [%[1]d 0 R]", hidden},
		{"off as a base", "", "/BaseState /OFF", hidden},
		{"off as a base, on by name", "", "/BaseState /OFF /ON [%[1]d 0 R]", shown},
		{"on and off by name", "", "/BaseState /OFF /ON [%[1]d 0 R] /OFF [%[1]d 0 R]", hidden},
		{"for viewing, in a list", "/Intent [/Design /View]", "/OFF [%[1]d 0 R]", hidden},
		{"on the screen only", "/Usage << /Print << /PrintState /OFF >> >>", "/AS [<< /Event /Print /Category [/Print] /OCGs [%[1]d 0 R] >>]", hidden},
		{"on paper only", "/Usage << /Print << /PrintState /ON >> /View << /ViewState /OFF >> >>", "/OFF [%[1]d 0 R] /AS [<< /Event /Print /Category [/Print] /OCGs [%[1]d 0 R] >>]", shown},
		{"for another purpose than viewing", "/Intent /Design", "/OFF [%[1]d 0 R]", shown},
	} {
		for way, place := range ways {
			faithful{name: c.name + ", " + way, spots: c.spots, odd: way == "annotation", build: func(s *source) {
				layer := s.add("<< /Type /OCG /Name (tides) %s >>", c.layer)
				s.catalog = fmt.Sprintf("/OCProperties << /OCGs [%d 0 R] /D << "+c.config+"%[2]s >> >>", layer, "")
				place(s, layer)
			}}.run(t)
		}
	}
}

func TestCombinationsOfLayers(t *testing.T) {
	for _, c := range []struct{ rule, want string }{
		{"/OCGs [%[1]d 0 R %[2]d 0 R]", "black"},
		{"/OCGs [%[1]d 0 R %[2]d 0 R] /P /AllOn", "white"},
		{"/OCGs [%[1]d 0 R %[2]d 0 R] /P /AnyOff", "black"},
		{"/OCGs [%[1]d 0 R %[2]d 0 R] /P /AllOff", "white"},
		{"/OCGs [%[1]d 0 R] /P /AnyOff", "white"},
		{"/OCGs [%[2]d 0 R] /P /AllOff", "black"},
		{"/OCGs []", "black"},
		{"/OCGs [null] /P /AnyOff", "black"},
		{"/OCGs %[2]d 0 R", "white"},
		{"/VE [/And %[1]d 0 R [/Not %[2]d 0 R]]", "black"},
		{"/VE [/Or %[2]d 0 R [/Not %[1]d 0 R]]", "white"},
		{"/VE [/Or %[2]d 0 R %[1]d 0 R]", "black"},
		{"/VE [/And %[1]d 0 R %[2]d 0 R]", "white"},
	} {
		for _, way := range []string{"content", "annotation"} {
			faithful{name: c.rule + ", " + way, odd: way == "annotation", spots: map[int][]spot{1: {{100, 100, c.want}}}, build: func(s *source) {
				on, off := s.add("<< /Type /OCG /Name (on) >>"), s.add("<< /Type /OCG /Name (off) >>")
				s.catalog = fmt.Sprintf("/OCProperties << /OCGs [%d 0 R %[2]d 0 R] /D << /OFF [%[2]d 0 R] >> >>", on, off)
				m := s.add("<< /Type /OCMD "+c.rule+"%[3]s >>", on, off, "")
				if way == "content" {
					s.square("/OC /L BDC "+blackSquare+" EMC", fmt.Sprintf("/Resources << /Properties << /L %d 0 R >> >>", m))
				} else {
					s.annotated("", fmt.Sprintf("/Rect [50 50 150 150] /Subtype /Stamp /F 4 /OC %d 0 R /AP << /N %d 0 R >>", m, s.stamp("/BBox [0 0 10 10]")))
				}
			}}.run(t)
		}
	}
}
