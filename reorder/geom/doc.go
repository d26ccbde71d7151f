// Package geom is points, rectangles and maps on a side of a sheet, and lengths as
// people write them. All is in millimetres: x to the right, y up, origin at the lower
// left corner of the side as it is looked at.
package geom
