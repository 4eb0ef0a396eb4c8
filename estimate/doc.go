// Package estimate turns a job into a takeoff: what there is to dig, lay, cut and buy, with the working of every figure.
//
// Its functions are pure: a job and a catalogue of materials give the same takeoff always. The package knows no
// clock, no SQL, no HTTP and no money; package pricing puts prices to a takeoff.
//
// ReadJob reads a job and collects every fault of it; Measure takes the quantities of a job that was read.
package estimate

// Version names the rules of the engine. It is part of the id of every answer and changes whenever the same job could
// give another answer.
const Version = "3"
