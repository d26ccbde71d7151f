package options

import (
	"cmp"
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Read makes options of settings, each by its key in worklists and with its value as a text.
func Read(settings ...phrase.Setting) (o Options, err error) {
	for _, s := range settings {
		if err := o.Set(s); err != nil {
			return Options{}, fmt.Errorf("%w (%s)", err, phrase.Set(s.Key))
		}
	}
	return o, nil
}

// Keys are the keys of all options, as worklists have them.
func Keys() []string {
	return slices.DeleteFunc(allKeys(), func(key string) bool { return key == notAsked })
}

// KeysWithoutFiles are those that name no file beside the book, as a page in the browser has them.
func KeysWithoutFiles() []string {
	return slices.DeleteFunc(Keys(), func(key string) bool { return key == "insert" || key == "end-leaves" })
}

// notAsked is the key of a field that nobody sets by a text.
const notAsked = "-"

// allKeys are the keys of all fields, in their order.
func allKeys() (keys []string) {
	for f := range reflect.TypeFor[Options]().Fields() {
		keys = append(keys, keyOf(f.Tag))
	}
	return keys
}

// keyOf is the key of an option: that of plan.json without its unit, if it has no other.
func keyOf(tag reflect.StructTag) string {
	key, _, _ := strings.Cut(tag.Get("json"), ",")
	return cmp.Or(tag.Get("key"), strings.TrimSuffix(key, "-mm"))
}

// field is the option of a key.
func (o *Options) field(key string) (field any, ok bool) {
	i := slices.Index(allKeys(), key)
	if i < 0 || key == notAsked {
		return nil, false
	}
	return reflect.ValueOf(o).Elem().Field(i).Addr().Interface(), true
}

// Set sets an option by its key, and its value as a text.
func (o *Options) Set(s phrase.Setting) error {
	field, ok := o.field(s.Key)
	if !ok {
		return refusal.Use.New("%s: there is no such option", s)
	}
	var err error
	switch field := field.(type) {
	case *Length:
		if above0[s.Key] {
			*field, err = ReadPositive([]byte(s.Value))
		} else {
			err = field.UnmarshalText([]byte(s.Value))
		}
	case encoding.TextUnmarshaler:
		err = field.UnmarshalText([]byte(s.Value))
	case *string:
		*field = s.Value
	case *int:
		least := 1
		if from0[s.Key] {
			least = 0
		}
		*field, err = ReadNumber([]byte(s.Value), least)
	case *bool:
		if *field, err = strconv.ParseBool(s.Value); err != nil {
			err = refusal.Use.New("%q is neither true nor false", s.Value)
		}
	}
	return err
}

// Value is what an option is set to, as [Options.Set] reads it; empty if it was not given.
func (o Options) Value(key string) string {
	field, _ := o.field(key)
	if v := reflect.ValueOf(field); !v.IsValid() || v.Elem().IsZero() {
		return ""
	}
	if text, ok := field.(fmt.Stringer); ok {
		return text.String()
	}
	return fmt.Sprint(reflect.ValueOf(field).Elem())
}

// Where nothing is given an option is 0. Of some numbers a person may say 0, and some lengths must be more.
var (
	from0  = map[string]bool{"blanks-before": true, "blanks-after": true}
	above0 = map[string]bool{"caliper": true, "creep-measured": true, "overlap": true, "spacing": true}
)

// ReadNumber reads a whole number of at least 0 or 1.
func ReadNumber(text []byte, least int) (int, error) {
	n, err := strconv.Atoi(string(text))
	switch {
	case errors.Is(err, strconv.ErrRange):
		return 0, refusal.Use.New("%q is too large a number", text)
	case err != nil:
		return 0, refusal.Use.New("%q is not a whole number", text)
	case n < least && least > 0:
		return 0, refusal.Use.New("%q must be greater than 0", text)
	case n < least:
		return 0, refusal.Use.New("%q must not be negative", text)
	}
	return n, nil
}

// ReadPositive reads a length of more than 0.
func ReadPositive(text []byte) (l Length, err error) {
	if err = l.UnmarshalText(text); err == nil && l <= 0 {
		return 0, refusal.Use.New("%q must be greater than 0", text)
	}
	return l, err
}
