package course

import "bedline/estimate/measure"

// CutKind tells what a cut is for.
type CutKind uint8

const (
	Closer CutKind = iota // square across, to the length that ends a run
	Wedge                 // one face at a joint of an arc
	Mitre                 // one end of a run at a mitred corner
	Splay                 // one end of a run at a butted corner that isn't square
)

// Cut is a number of like cuts in one run.
type Cut struct {
	Kind         CutKind
	Count        int
	Run          int // index in Course.Runs
	Side, Corner int

	// Angle is that from a square cut across the unit. Off is the most that the cut takes off the length of the unit,
	// Left the length of the closer, or of the shorter face after this one cut; Length is that of the cut.
	Angle             measure.Angle
	Off, Left, Length measure.Length
}

// mostCuts is the number of kinds of cut in one run: closers, wedges and a mitre at each end.
const mostCuts = 4

// appendCuts lists the cuts of run k.
func appendCuts(list []Cut, k int, r *Run, s *Spec) []Cut {
	add := func(c Cut) {
		c.Run, c.Side, c.Corner = k, r.Side, r.Corner
		list = append(list, c)
	}
	along := s.along()
	if r.Closers > 0 {
		add(Cut{Kind: Closer, Count: r.Closers, Off: along - r.Closer, Left: r.Closer, Length: s.across()})
	}
	if n := r.WedgeCuts(); n > 0 {
		add(Cut{Kind: Wedge, Count: n, Angle: r.Wedge, Off: r.Off, Left: along - r.Off, Length: r.CutLength})
	}
	for _, end := range [...]End{r.First, r.Last} {
		if end.Off > 0 && r.Units.Total > 0 {
			kind := Splay
			if end.Kind == Mitred {
				kind = Mitre
			}
			left := max(0, along-end.Off)
			if left < along*1e-9 { // rounding error
				left = 0
			}
			add(Cut{Kind: kind, Count: 1, Angle: end.Cut, Off: end.Off, Left: left,
				Length: measure.Length(float64(s.across()) / measure.Cos(end.Cut))})
		}
	}
	return list
}
