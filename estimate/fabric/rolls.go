package fabric

import (
	"cmp"
	"slices"

	"bedline/estimate/measure"
)

// Rolls is the number of rolls of a length from which the pieces of several layouts can be cut together, and whether
// it is proved to be the least. A piece is not longer than a roll.
func Rolls(pieces []measure.Length, roll measure.Length) (least int, proved bool) {
	if len(pieces) == 0 {
		return 0, true
	}
	return rolls(pieces, roll)
}

// Plan is how pieces are cut from rolls.
type Plan struct {
	Rolls []CutRoll
	Bound int // no fewer rolls can do
}

// Proved tells whether no plan takes fewer rolls.
func (p *Plan) Proved() bool { return len(p.Rolls) == p.Bound }

// CutRoll is what is cut from one roll.
type CutRoll struct {
	Pieces []int // places in the list of pieces, the longest first
	Left   measure.Length
}

// The search of Pack for many pieces takes a share of packSteps, the smaller the more rolls it has to look through.
const (
	packPieces = 200
	packSteps  = 20_000_000
)

// Pack cuts pieces from rolls of a length, none of them shorter than a piece: the fewest rolls that are found. Up to
// twelve pieces, and wherever the number of rolls is the bound, these are the fewest that there can be; beyond that the
// search stops after a while.
func Pack(pieces []measure.Length, roll measure.Length) Plan {
	if len(pieces) == 0 {
		return Plan{}
	}
	order := make([]int, len(pieces))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(pieces[b], pieces[a]) })
	p := &packing{pieces: make([]measure.Length, len(pieces)), slack: roll.Scale(1e-9), limit: searchSteps}
	for i, k := range order {
		p.pieces[i] = pieces[k]
	}
	p.floor = floor(p.pieces, roll)
	p.best = p.firstFit(roll)
	proved := p.best <= p.floor
	if n := len(pieces); !proved && n <= packPieces {
		if n > searchPieces {
			p.limit = packSteps / (p.best * p.best)
		}
		proved = p.seek(roll)
	}
	plan := Plan{Rolls: make([]CutRoll, p.best), Bound: p.floor}
	if proved {
		plan.Bound = p.best
	}
	for k := range plan.Rolls {
		plan.Rolls[k].Left = roll
	}
	for i, k := range p.found {
		r := &plan.Rolls[k]
		r.Pieces = append(r.Pieces, order[i])
		if r.Left -= p.pieces[i]; r.Left <= p.slack {
			r.Left = 0 // a rounding error is no piece
		}
	}
	return plan
}
