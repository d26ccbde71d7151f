package measure

import (
	"context"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/reorder/geom"
)

// mm writes a length so that it is read as the same one to a ten-thousandth of a mm.
func mm[T ~float64](v T) string {
	if v == 0 {
		return ""
	}
	text := strconv.FormatFloat(float64(v), 'f', 4, 64)
	f, _ := strconv.ParseFloat(text, 64)
	return strconv.FormatFloat(f, 'f', -1, 64) + "mm"
}

// KeepMeasured writes down what was measured of the job in a folder, unless that stands there already, or nothing was
// measured.
func KeepMeasured(ctx context.Context, folder string, a Asked) error {
	m := a.Measured
	if m.Block == 0 && m.Board == 0 && m.Thread == 0 && m.Spine == 0 && m.Stack == 0 && a.Leaf == (options.Dimensions{}) {
		return nil
	}
	of, err := joblog.PlanOf(folder)
	if err != nil {
		return err
	}
	line := joblog.Line{What: joblog.Measured}
	count := func(key string, n int) {
		if n > 0 {
			line = line.With(key, n)
		}
	}
	count("volume", a.Volume)
	line = line.With("block-thickness", mm(m.Block)).With("spine", mm(m.Spine)).With("board", mm(m.Board)).With("thread", mm(m.Thread))
	if m.Stack > 0 {
		line = line.With("stack", strconv.Itoa(m.StackLeaves)+"="+mm(m.Stack))
	}
	if a.Leaf != (options.Dimensions{}) {
		line = line.With("leaf-size", geom.Millimetres(float64(a.Leaf.W))+"x"+geom.Millimetres(float64(a.Leaf.H))+"mm")
	}
	rules := a.Structure
	if structure.IsFile(rules) {
		rules = plan.WayTo(rules, folder)
	}
	line = line.With("structure", rules)
	count("supports", m.Supports)
	if a.TwoOn {
		line = line.With("two-on", "yes")
	}
	line = line.With(joblog.PlanKey, of)
	return joblog.Update(ctx, folder, func(log joblog.Log) []joblog.Line {
		for _, l := range slices.Backward(log.Lines) {
			if l.What == joblog.Measured && l.Get("volume") == line.Get("volume") {
				if reflect.DeepEqual(l.Fields, line.Fields) {
					return nil
				}
				break
			}
		}
		return []joblog.Line{line}
	})
}

// FromLog is what a log says was measured of a volume of the plan in a folder, from 1, or of the whole book: each length as
// it was measured last, and the way of binding as it was chosen last. What cannot be read is left out.
func FromLog(log joblog.Log, folder, of string, volume int) (a Asked) {
	for _, l := range log.Lines {
		if v := l.Number("volume"); l.What != joblog.Measured || l.Get(joblog.PlanKey) != of || v != 0 && v != volume {
			continue
		}
		take := func(key string, into interface{ UnmarshalText([]byte) error }) {
			if text := l.Get(key); text != "" {
				_ = into.UnmarshalText([]byte(text))
			}
		}
		m := &a.Measured
		take("block-thickness", (*Length)(&m.Block))
		take("spine", (*Length)(&m.Spine))
		take("board", (*Length)(&m.Board))
		take("thread", (*Length)(&m.Thread))
		take("stack", Stack{Measured: m})
		take("leaf-size", &a.Leaf)
		m.Supports, a.Structure, a.TwoOn = l.Number("supports"), l.Get("structure"), l.Get("two-on") != ""
		if structure.IsFile(a.Structure) {
			a.Structure = filepath.Join(folder, filepath.FromSlash(a.Structure))
		}
	}
	a.Volume = volume
	return a
}
