package cos

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Object is null (nil), bool, Int, Real, Name, String, Array, *Dict, *Stream or Ref.
type Object any

// Int is a number without a fraction.
type Int int64

// Real is any other number as it is written in the file, so that it leaves as it came.
type Real string

// Name is a name without its slash, #-escapes resolved.
type Name string

// String is a string's bytes, escapes resolved and decrypted.
type String string

// Array is an array.
type Array []Object

// Ref is a reference to an indirect object.
type Ref struct{ Num, Gen int }

// Entry is a key of a dictionary and its value.
type Entry struct {
	Key   Name
	Value Object
}

// Dict is a dictionary in the order of the file; no key stands in it twice.
type Dict struct{ Entries []Entry }

// Stream is a dictionary and the bytes that follow it: a part of the file, or data.
type Stream struct {
	Dict   *Dict
	Ref    Ref   // the object it was read from; its number takes part in decryption
	offset int64 // in the file
	length int64
	data   []byte // instead of a part of the file
	plain  bool   // not encrypted although the file is
}

// NewStream is a stream whose bytes, packed as dict says, are in memory.
func NewStream(dict *Dict, data []byte) *Stream {
	return &Stream{Dict: dict, data: data, length: int64(len(data)), plain: true}
}

// Len is the number of bytes as they are stored.
func (s *Stream) Len() int64 { return s.length }

// NewDict makes a dictionary from keys and values in turn. A Go string among them stands for a name; values that
// are nil are left out.
func NewDict(pairs ...Object) *Dict {
	d := &Dict{}
	for pair := range slices.Chunk(pairs, 2) {
		for i, o := range pair {
			if text, ok := o.(string); ok {
				pair[i] = Name(text)
			}
		}
		if pair[1] != nil {
			d.Entries = append(d.Entries, Entry{pair[0].(Name), pair[1]})
		}
	}
	return d
}

// Get is the value of a key, nil if it is missing; d may be nil.
func (d *Dict) Get(key Name) Object {
	if d == nil {
		return nil
	}
	for i := range d.Entries {
		if d.Entries[i].Key == key {
			return d.Entries[i].Value
		}
	}
	return nil
}

// All are the entries; d may be nil.
func (d *Dict) All() []Entry {
	if d == nil {
		return nil
	}
	return d.Entries
}

// Set replaces the value of a key or adds it.
func (d *Dict) Set(key Name, value Object) {
	for i := range d.Entries {
		if d.Entries[i].Key == key {
			d.Entries[i].Value = value
			return
		}
	}
	d.Entries = append(d.Entries, Entry{key, value})
}

// Without is a copy that lacks some keys.
func (d *Dict) Without(keys ...Name) *Dict {
	out := &Dict{Entries: make([]Entry, 0, len(d.Entries))}
	for _, e := range d.Entries {
		if !slices.Contains(keys, e.Key) {
			out.Entries = append(out.Entries, e)
		}
	}
	return out
}

// dropDoubles lets the last of several equal keys win, as readers commonly do.
func (d *Dict) dropDoubles() {
	n := len(d.Entries)
	if n < 2 {
		return
	}
	last := func(i int) bool {
		for j := i + 1; j < n; j++ {
			if d.Entries[j].Key == d.Entries[i].Key {
				return false
			}
		}
		return true
	}
	if n > 24 {
		where := make(map[Name]int, n)
		for i, e := range d.Entries {
			where[e.Key] = i
		}
		if len(where) == n {
			return
		}
		last = func(i int) bool { return where[d.Entries[i].Key] == i }
	}
	kept := 0
	for i := range n {
		if last(i) {
			d.Entries[kept] = d.Entries[i]
			kept++
		}
	}
	d.Entries = d.Entries[:kept]
}

// Float is the value of a number; ok is false for anything else.
func Float(o Object) (v float64, ok bool) {
	switch n := o.(type) {
	case Int:
		return float64(n), true
	case Real:
		return n.Float(), true
	}
	return 0, false
}

// Float reads a number as liberally as viewers do: what can't be understood
// ends it ("1.2.3" is 1.2, "--5" is -5).
func (r Real) Float() float64 {
	if v, err := strconv.ParseFloat(string(r), 64); err == nil && !math.IsInf(v, 0) && !math.IsNaN(v) {
		return v
	}
	digits := strings.TrimLeft(string(r), "+-")
	signs := string(r[:len(r)-len(digits)])
	points := 0
	if end := strings.IndexFunc(digits, func(c rune) bool {
		if c == '.' {
			points++
		}
		return points > 1 || c != '.' && (c < '0' || c > '9')
	}); end >= 0 {
		digits = digits[:end]
	}
	v, _ := strconv.ParseFloat(digits, 64) // nothing is 0
	if math.IsInf(v, 0) {
		v = math.MaxFloat32
	}
	if strings.Contains(signs, "-") {
		return -v
	}
	return v
}
