// Package measure holds the quantities of a job: lengths, areas, volumes, masses, densities, angles.
//
// Inside the program every quantity is kept in SI base units (metre, square metre, cubic metre, kilogram, radian) as
// a float64 of a defined type, so that a length can't be added to an area. Conversion happens once, at the rim, with
// the exact factors (1 in = 0.0254 m, 1 lb = 0.45359237 kg).
//
// Answers must be the same to the byte on every machine. The Go compiler may fuse x*y + z into one rounding, and
// does so under GOAMD64=v3: every product that is added to something is therefore written float64(x*y) throughout
// the project, and the trigonometric functions of this package are used in place of those of package math, whose
// polynomials are compiled with fused operations.
package measure
