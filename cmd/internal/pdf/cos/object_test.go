package cos

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

func parse(s string) Object { return (&parser{buf: []byte(s)}).object(0) }

func same(r Ref) int { return r.Num }

func TestParse(t *testing.T) {
	for text, want := range map[string]Object{
		"null": nil, "true": true, " % note\n false": false,
		"12": Int(12), "-7": Int(-7), "+3": Int(3), "1.50": Real("1.50"), "-.5": Real("-.5"), "--5": Real("--5"),
		"/Name": Name("Name"), "/A#42": Name("AB"), "/A#4": Name("A#4"), "/": Name(""),
		"(a(b)c)": String("a(b)c"), `(\(\)\\\n\r\t\101\60x)`: String("()\\\n\r\tA0x"), "(a\\\nb)": String("ab"), "(a\r\nb)": String("a\nb"), "(open": String("open"),
		"<48 65 6>": String("He`"), "<4g8>": String("H"),
		"12 0 R": Ref{12, 0}, "12 3 R": Ref{12, 3}, "[1 2 R 3]": Array{Ref{1, 2}, Int(3)}, "[1 2 RG]": Array{Int(1), Int(2)},
		"[1 2 3": Array{Int(1), Int(2), Int(3)}, "[1 ]": Array{Int(1)}, "[/A/B(c)<64>]": Array{Name("A"), Name("B"), String("c"), String("d")},
	} {
		if got := parse(text); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %#v, want %#v", text, got, want)
		}
	}
	for text, want := range map[string]string{
		"<</A 1/B[2]>>": "<</A 1/B[2]>>", "<< /A 1 /A 2 >>": "<</A 2>>", "<< /A >>": "<<>>", "<< /A /B /C": "<</A/B>>",
		"<< /A [1 2 >>": "<</A[1 2]>>", "<< 5 /A 1 >>": "<</A 1>>", "<< /A null /B 1 >>": "<</B 1>>", "<< /A << /B endobj": "<</A<<>>>>",
	} {
		if got := string(Append(nil, parse(text), same)); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

func TestManyEqualKeys(t *testing.T) {
	d, _ := parse("<<" + strings.Repeat("/A 1 /B 2 ", 40) + "/A 3 >>").(*Dict)
	if len(d.Entries) != 2 || d.Get("A") != Int(3) || d.Get("B") != Int(2) {
		t.Error(d)
	}
}

// What is written is read back as the same, and is as strict as the standard wants it.
func TestAppend(t *testing.T) {
	for want, o := range map[string]Object{
		"null": nil, "true": true, "12": Int(12), "1.5": Real("1.5"), "-5": Real("--5"), "0": Real("."), "1.2": Real("1.2.3"),
		"/A#20B#2f": Name("A B/"), "/ ": Name(""), `(a\(\\\r)`: String("a(\\\r"), "7 0 R": Ref{7, 2},
		"[1 2/A(x)3 true null<<>>]": Array{Int(1), Int(2), Name("A"), String("x"), Int(3), true, nil, &Dict{}},
		"<</A 1/B/C/D 2>>":          NewDict("A", Int(1), "B", "C", "D", Int(2)),
	} {
		if got := string(Append(nil, o, same)); got != want {
			t.Errorf("%#v: %s, want %s", o, got, want)
		}
	}
	for v, want := range map[float64]string{0.1: "0.1", -0.0000001: "0", 595.2755905: "595.27559", 1e6: "1000000", 1. / 3: "0.33333"} {
		if got := string(Append(nil, Number(v), same)); got != want {
			t.Errorf("%v: %s, want %s", v, got, want)
		}
	}
}

func TestFloat(t *testing.T) {
	for text, want := range map[string]float64{"1.5": 1.5, "--5": -5, "1.2.3": 1.2, ".": 0, "+.25": 0.25, "1-2": 1} {
		if got := Real(text).Float(); got != want {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
	if _, ok := Float(Name("A")); ok {
		t.Error("a name is no number")
	}
}

func TestDeepNestingEnds(t *testing.T) {
	for _, s := range []string{"[", "<</A", "<</A[", "("} {
		o := parse(strings.Repeat(s, 100000))
		_ = fmt.Sprint(o)
	}
}

// TestEveryEndIsWithin reads what is cut off anywhere: no object reaches beyond the end.
func TestEveryEndIsWithin(t *testing.T) {
	const text = "<< /A#20 (a(b)\\)\\\r\n\\101\\\\) /B [1 0 R -.5 <4f2> true] /C << /D null % not a string\n/E [<</F (\\" + "\r\n)>>] >> >>"
	for n := range len(text) + 1 {
		p := &parser{buf: []byte(text[:n])}
		if p.object(0); p.pos > n {
			t.Errorf("%q: stands at %d of %d", text[:n], p.pos, n)
		}
	}
}
