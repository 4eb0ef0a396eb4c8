package fabric

import (
	"math"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// MostDirections is the number of different directions that are tried; further ones are left out.
const MostDirections = 64

// MostPieces is the largest number of pieces that a layout may take.
const MostPieces = 100_000

// Strip is one strip of fabric. Along and Across are where it lies, upturn included, in the frame of an outline.View
// turned by the direction of the layout.
type Strip struct {
	Length        measure.Length   // of ground and upturn, without laps of joins
	Pieces        []measure.Length // as cut from rolls: one, or more with a lap at each join
	Along, Across outline.Interval
}

// Layout is how the ground is covered.
type Layout struct {
	Direction measure.Angle // of the strips, counter-clockwise from +x
	Strips    []Strip       // from right to left as seen along the direction

	CoverArea   measure.Area   // of the ground in plan
	Perimeter   measure.Length // of the ground, holes included
	ClothLength measure.Length // cut from the rolls, laps at joins included
	ClothArea   measure.Area   // that length by the width of the roll

	Joins      int            // of pieces within strips
	SeamLength measure.Length // where neighbouring strips lie on each other, and the joins across strips

	Rolls       int  // that all pieces can be cut from
	RollsProved bool // no smaller number is enough

	Pins int // round the edge and along the seams; 0 without a spacing
}

// Cut lays strips over the wanted ground, which are the cells that wanted accepts as in outline.Divide. Strips run
// along or across one of the directions, those of the straight sides (none: along +x); the fewest rolls
// decide, then the shortest seams, then the least fabric, then the first direction. The first strip lies flush with the rightmost extreme of
// the ground as seen along the strips, which is the side itself where its outline has no point beyond it; each takes
// a lap of the one before:
//
//	strips = ceil((extent - lap)/(width - lap))
//
// with the extent of the ground and upturn across the strips. Each strip reaches from the first to the last point of
// the ground in it, gaps included, and an upturn at both ends. A strip without ground is left out.
//
// Pins stand at pinSpacing (0: none) round the edge of the ground and along the seams. Without wanted
// ground the layout is empty. Errors, the first two joined: *NumberError, *LapError, *PiecesError.
func Cut(regions []outline.Region, wanted func(outline.Cover) bool, sideDirections []measure.Angle,
	roll Roll, pinSpacing measure.Length) (*Layout, error) {
	if err := roll.check(pinSpacing); err != nil {
		return nil, err
	}
	best := &Layout{}
	for i, d := range directions(sideDirections) {
		l := &Layout{Direction: d}
		if err := l.strips(regions, wanted, roll); err != nil {
			return nil, err
		}
		l.Rolls, l.RollsProved = Rolls(l.pieces(), roll.Length)
		if i == 0 || l.better(best) {
			best = l
		}
	}
	if len(best.Strips) == 0 {
		return best, nil
	}
	ground := outline.Divide(regions, 1, func(c outline.Cover) int {
		if wanted(c) {
			return 0
		}
		return outline.None
	})[0]
	best.CoverArea, best.Perimeter = ground.Area, ground.Perimeter
	if pinSpacing > 0 {
		best.Pins = measure.RoundUp((best.Perimeter + best.SeamLength).In(pinSpacing))
	}
	return best, nil
}

// directions are the sides' and those square to them, each once: strips that run the other way are the same strips but
// for the side that the first is flush with.
func directions(sides []measure.Angle) []measure.Angle {
	if len(sides) == 0 {
		sides = []measure.Angle{0}
	}
	var list []measure.Angle
	for _, side := range sides {
		for _, d := range [...]measure.Angle{side, side + measure.Pi/2} {
			known := false
			for _, k := range list {
				known = known || math.Abs(math.Remainder(float64(d-k), float64(measure.Pi))) < 1e-9
			}
			if !known && len(list) < MostDirections {
				list = append(list, d)
			}
		}
	}
	return list
}

// strips lays the strips in the direction of the layout.
func (l *Layout) strips(regions []outline.Region, wanted func(outline.Cover) bool, roll Roll) error {
	view := outline.Look(regions, wanted, l.Direction)
	along, v, ok := view.Reach()
	if !ok {
		return nil
	}
	step := roll.Width - roll.Lap
	extent := v.Length() + 2*roll.Upturn
	n := max(1, measure.RoundUp((extent - roll.Lap).In(step)))
	if most := float64(n) * math.Max(1, along.Length().In(roll.Length-roll.Lap)); most > MostPieces {
		return &PiecesError{Pieces: measure.RoundUp(most)}
	}
	bands, wide := make([]outline.Interval, n), make([]outline.Interval, n)
	for i := range bands {
		from := v.From - roll.Upturn + step.Scale(measure.Factor(i))
		bands[i] = outline.Interval{From: from, To: from + roll.Width}
		wide[i] = outline.Interval{From: from - roll.Upturn, To: from + roll.Width + roll.Upturn}
	}
	reach := view.Extents(bands)
	if roll.Upturn > 0 {
		// A strip may be needed for the upturn of its neighbour's ground alone.
		for i, u := range view.Extents(wide) {
			if reach[i].Empty() {
				reach[i] = u
			}
		}
	}
	last := -1
	for i, u := range reach {
		if u.Empty() {
			continue
		}
		u = outline.Interval{From: u.From - roll.Upturn, To: u.To + roll.Upturn}
		s := Strip{Length: u.Length(), Along: u, Across: bands[i], Pieces: roll.pieces(u.Length())}
		if last == i-1 && len(l.Strips) > 0 {
			before := l.Strips[len(l.Strips)-1].Along
			l.SeamLength += outline.Interval{From: max(u.From, before.From), To: min(u.To, before.To)}.Length()
		}
		last = i
		l.Strips = append(l.Strips, s)
		l.Joins += len(s.Pieces) - 1
		for _, p := range s.Pieces {
			l.ClothLength += p
		}
	}
	l.SeamLength += roll.Width.Scale(measure.Factor(l.Joins))
	l.ClothArea = l.ClothLength.Times(roll.Width)
	return nil
}

// better tells whether l is cut from fewer rolls than m, or from as many with shorter seams (each is more work and lets
// weeds through), or with as long seams from less fabric.
func (l *Layout) better(m *Layout) bool {
	if l.Rolls != m.Rolls {
		return l.Rolls < m.Rolls
	}
	slack := measure.Length(1e-9)
	if l.SeamLength < m.SeamLength-slack || l.SeamLength > m.SeamLength+slack {
		return l.SeamLength < m.SeamLength
	}
	return l.ClothArea < m.ClothArea-measure.Area(1e-9*float64(m.ClothArea))
}

func (l *Layout) pieces() []measure.Length {
	var all []measure.Length
	for _, s := range l.Strips {
		all = append(all, s.Pieces...)
	}
	return all
}
