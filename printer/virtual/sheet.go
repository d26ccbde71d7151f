package virtual

import (
	"errors"
	"fmt"
	"slices"
)

// ErrOverprint is returned when a face is printed that carries a print already.
var ErrOverprint = errors.New("printed twice on one side")

// Sheet is a sheet of paper as it lies in a tray, with what has been printed
// on it. The zero value is no sheet; [Blank] makes them.
type Sheet[I any] struct {
	pose  pose
	above []print[I] // on the face that looks along the body's own z, as they were printed over each other
	below []print[I] // on the face that looks against it
	front int        // the face printed first: 1 above, -1 below, 0 neither yet
	cross int        // the face with a pencil cross: 1 above, -1 below, 0 neither
}

// print is an image on a face. Its right and left follow from the face and
// the head, because an image is never mirrored.
type print[I any] struct {
	image I
	head  int // the end of the body's own y where the image's head lies
	lies  lie
}

// Stack is sheets on top of each other, named from the top down.
type Stack[I any] []Sheet[I]

// Blank is a stack of n fresh sheets.
func Blank[I any](n int) Stack[I] {
	stack := make(Stack[I], n)
	for i := range stack {
		stack[i].pose = asMade
	}
	return stack
}

// face is the prints on the face that looks along the body's own z (1) or
// against it (-1).
func (s *Sheet[I]) face(z int) *[]print[I] {
	if z > 0 {
		return &s.above
	}
	return &s.below
}

// print gives the sheet after an image came to lie on the face that looks up
// (1) or down (-1) in the tray, with its head at the tray's far end.
func (s Sheet[I]) print(looks int, image I, lies lie) (Sheet[I], error) {
	z := looks * s.pose.z
	if there := *s.face(z); len(there) > 0 {
		return s, fmt.Errorf("%w: %v falls on %v", ErrOverprint, image, there[0].image)
	}
	return s.overprint(looks, image, lies), nil
}

// overprint gives the same on a face that may carry prints already.
func (s Sheet[I]) overprint(looks int, image I, lies lie) Sheet[I] {
	z := looks * s.pose.z
	there := s.face(z)
	// A sheet is a value: what other copies of it carry stays as it is.
	*there = append(slices.Clip(*there), print[I]{image: image, head: s.pose.y, lies: lies})
	if s.front == 0 {
		s.front = z
	}
	return s
}

// MarkWithPencil gives the stack with a pencil cross on the face of every sheet that
// looks up.
func (st Stack[I]) MarkWithPencil() Stack[I] {
	out := slices.Clone(st)
	for i := range out {
		out[i].cross = out[i].pose.z
	}
	return out
}

// Images are the images on the sheet, on both faces, in no certain order.
func (s Sheet[I]) Images() []I {
	var all []I
	for _, p := range slices.Concat(s.above, s.below) {
		all = append(all, p.image)
	}
	return all
}

func (s Sheet[I]) move(m Motion) Sheet[I] {
	s.pose = s.pose.turn(m)
	return s
}

// frontLooks tells whether the face printed first looks up (1) or down (-1) in
// the tray; 0 is a sheet without a print.
func (s Sheet[I]) frontLooks() int { return s.front * s.pose.z }

// move gives the stack after a motion of the whole. Turning it over brings the
// lowest sheet to the top.
func (st Stack[I]) move(m Motion) Stack[I] {
	out := make(Stack[I], len(st))
	for i, s := range st {
		to := i
		if m == AboutLong || m == AboutShort {
			to = len(st) - 1 - i
		}
		out[to] = s.move(m)
	}
	return out
}

// Motion is a motion of a sheet, or of a whole stack, after which it lies
// straight in a tray again.
type Motion int

const (
	Still      Motion = iota + 1 // shifted at most
	HalfRound                    // half a turn on the table
	AboutLong                    // turned over about a long edge, like the page of a book
	AboutShort                   // turned over about a short edge, like the leaf of a wall calendar
)

// pose tells along which way each of a body's own axes points in the tray: 1
// is the tray's own way, -1 the opposite.
type pose struct{ x, y, z int }

// asMade is the pose of a sheet whose own frame is the tray's.
var asMade = pose{1, 1, 1}

// turn turns the body by half about the axis of the motion, which keeps the
// way along that axis and reverses the two others. The long edges run along y,
// the short ones along x.
func (p pose) turn(m Motion) pose {
	switch m {
	case HalfRound:
		return pose{-p.x, -p.y, p.z}
	case AboutLong:
		return pose{-p.x, p.y, -p.z}
	case AboutShort:
		return pose{p.x, -p.y, -p.z}
	}
	return p
}
