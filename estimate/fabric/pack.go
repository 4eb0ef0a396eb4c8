package fabric

import (
	"slices"

	"bedline/estimate/measure"
)

// searchSteps bounds the search for fewer rolls, searchPieces the number of pieces for which it is tried at all.
// Twelve pieces are always searched to the end: up to the twelfth there are 5,034,584 ways to share them out (sums of
// Bell numbers).
const (
	searchSteps  = 6_000_000
	searchPieces = 16
)

// rolls is the number of rolls from which the pieces can be cut, and whether it is proved to be the least. The longest
// piece goes first, each into the first roll that has room (first fit decreasing); where that takes more rolls than
// the length of all pieces asks for, all ways of cutting are searched, within the bounds above.
func rolls(pieces []measure.Length, roll measure.Length) (int, bool) {
	pieces = slices.Clone(pieces)
	slices.SortFunc(pieces, func(a, b measure.Length) int {
		switch {
		case a > b:
			return -1
		case a < b:
			return 1
		}
		return 0
	})
	p := &packing{pieces: pieces, slack: roll.Scale(1e-9)}
	p.best = p.firstFit(roll)
	p.floor = floor(pieces, roll)
	if p.best <= p.floor {
		return p.best, true
	}
	if len(pieces) > searchPieces {
		return p.best, false
	}
	p.left = make([]measure.Length, 0, p.best)
	p.search(0, roll)
	return p.best, p.best <= p.floor || p.steps <= searchSteps
}

// floor is the least number of rolls that could do: for the length of all pieces, and for those of more than half a
// roll, of which no two come from one.
func floor(pieces []measure.Length, roll measure.Length) int {
	var sum measure.Length
	long := 0
	for _, p := range pieces {
		sum += p
		if p > (roll / 2).Scale(1+1e-9) {
			long++
		}
	}
	return max(long, measure.RoundUp(sum.In(roll)))
}

// packing is the search for the fewest rolls.
type packing struct {
	pieces []measure.Length // falling
	slack  measure.Length
	left   []measure.Length // of each roll that is begun
	best   int
	floor  int
	steps  int
}

// firstFit finds each piece the first roll with room through a tree of the most that is left in ranges of rolls, so
// that a hundred thousand pieces take no longer than a moment.
func (p *packing) firstFit(roll measure.Length) int {
	leaves := 1
	for leaves < len(p.pieces) {
		leaves *= 2
	}
	most := make([]measure.Length, 2*leaves) // node n is above 2n and 2n+1; rolls not begun are whole
	for i := range most {
		most[i] = roll
	}
	rolls := 0
	for _, piece := range p.pieces {
		n := 1
		for n < leaves {
			if n *= 2; piece > most[n]+p.slack {
				n++
			}
		}
		rolls = max(rolls, n-leaves+1)
		most[n] -= piece
		for n /= 2; n > 0; n /= 2 {
			most[n] = max(most[2*n], most[2*n+1])
		}
	}
	return rolls
}

// search cuts piece i and all after it, from rolls that are begun and a new one.
func (p *packing) search(i int, roll measure.Length) {
	p.steps++
	if p.best <= p.floor || p.steps > searchSteps || len(p.left) >= p.best {
		return
	}
	if i == len(p.pieces) {
		p.best = len(p.left)
		return
	}
	piece := p.pieces[i]
	for k := range p.left {
		l := p.left[k]
		if piece > l+p.slack || slices.Contains(p.left[:k], l) { // no room, or the same as one tried
			continue
		}
		p.left[k] = l - piece
		p.search(i+1, roll)
		p.left[k] = l
	}
	if len(p.left)+1 < p.best {
		p.left = append(p.left, roll-piece)
		p.search(i+1, roll)
		p.left = p.left[:len(p.left)-1]
	}
}
