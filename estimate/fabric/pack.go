package fabric

import (
	"slices"

	"bedline/estimate/measure"
)

// searchSteps bounds the search for fewer rolls, searchPieces the number of pieces for which it is tried while a
// direction is chosen. Twelve pieces are always searched to the end: up to the twelfth there are 5,034,584 ways to
// share them out (sums of Bell numbers).
const (
	searchSteps  = 6_000_000
	searchPieces = 16
)

// rolls is the number of rolls from which the pieces can be cut, and whether it is proved to be the least. The longest
// piece goes first, each into the first roll that has room (first fit decreasing); where that takes more rolls than
// the bound, all ways of cutting are searched, within the limits above.
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
	p := &packing{pieces: pieces, slack: roll.Scale(1e-9), limit: searchSteps}
	p.best = p.firstFit(roll)
	p.floor = floor(pieces, roll)
	if p.best <= p.floor {
		return p.best, true
	}
	if len(pieces) > searchPieces {
		return p.best, false
	}
	proved := p.seek(roll)
	return p.best, proved
}

// mostPaired is the number of pieces up to which the bound pairs long pieces with short ones.
const mostPaired = 1000

// floor is the least number of rolls that could do, by what every way of cutting the pieces, the longest first, must
// keep to: all of their length comes from rolls; of pieces no shorter than one of them a roll holds only so many; and
// beside pieces of more than half a roll, one to a roll, there is only so much room for those of a length and more
// (Martello and Toth, Knapsack Problems, 1990, bound L2, from memory).
func floor(pieces []measure.Length, roll measure.Length) int {
	sums := make([]measure.Length, len(pieces)+1)
	for i, p := range pieces {
		sums[i+1] = sums[i] + p
	}
	least := measure.RoundUp(sums[len(pieces)].In(roll))
	for i, p := range pieces {
		if i+1 < len(pieces) && pieces[i+1] == p {
			continue
		}
		if each := measure.RoundDown(roll.In(p)); each > 0 {
			least = max(least, (i+each)/each)
		}
	}
	if len(pieces) > mostPaired {
		return least
	}
	slack := roll.Scale(1e-9)
	longer := func(than measure.Length) int { // how many pieces are
		n, _ := slices.BinarySearchFunc(pieces, than, func(p, than measure.Length) int {
			if p > than {
				return -1
			}
			return 1
		})
		return n
	}
	halves := longer(roll/2 + slack)
	for i := halves; i < len(pieces); i++ {
		if i+1 < len(pieces) && pieces[i+1] == pieces[i] {
			continue
		}
		alone := min(halves, longer(roll-pieces[i]+slack)) // with room for none of the pieces from halves to i
		room := (roll + slack).Scale(measure.Factor(halves-alone)) - (sums[halves] - sums[alone])
		if short := sums[i+1] - sums[halves] - room; short > 0 {
			least = max(least, halves+measure.RoundUp(short.In(roll)))
		}
	}
	return least
}

// packing is the search for the fewest rolls.
type packing struct {
	pieces []measure.Length // falling
	slack  measure.Length
	best   int
	found  []int // by piece: its roll in the best plan
	floor  int
	limit  int // of steps

	left  []measure.Length // of each roll that is begun
	free  measure.Length   // their sum
	where []int            // by piece: its roll
	rest  []measure.Length // by piece: the length of it and all after it
	steps int
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
	p.found = make([]int, len(p.pieces))
	rolls := 0
	for i, piece := range p.pieces {
		n := 1
		for n < leaves {
			if n *= 2; piece > most[n]+p.slack {
				n++
			}
		}
		p.found[i] = n - leaves
		rolls = max(rolls, n-leaves+1)
		most[n] -= piece
		for n /= 2; n > 0; n /= 2 {
			most[n] = max(most[2*n], most[2*n+1])
		}
	}
	return rolls
}

// seek searches all ways of cutting within the limit of steps, and tells whether the best is proved to be the least.
func (p *packing) seek(roll measure.Length) bool {
	n := len(p.pieces)
	p.left, p.free = make([]measure.Length, 0, p.best), 0
	p.where = make([]int, n)
	p.rest = make([]measure.Length, n+1)
	for i := n - 1; i >= 0; i-- {
		p.rest[i] = p.rest[i+1] + p.pieces[i]
	}
	p.search(0, roll)
	return p.best <= p.floor || p.steps <= p.limit
}

// search cuts piece i and all after it, from rolls that are begun and a new one.
func (p *packing) search(i int, roll measure.Length) {
	p.steps++
	if p.best <= p.floor || p.steps > p.limit || len(p.left) >= p.best {
		return
	}
	if i == len(p.pieces) {
		p.best = len(p.left)
		copy(p.found, p.where)
		return
	}
	room := p.free + p.slack.Scale(measure.Factor(len(p.left)))
	if over := p.rest[i] - room; over > 0 && len(p.left)+measure.RoundUp(over.In(roll)) >= p.best {
		return
	}
	piece := p.pieces[i]
	first := 0
	if i > 0 && p.pieces[i-1] == piece {
		first = p.where[i-1] // of pieces alike, a later one is in no earlier roll
	}
	for k := first; k < len(p.left); k++ {
		l := p.left[k]
		if piece > l+p.slack || slices.Contains(p.left[first:k], l) { // no room, or the same as one tried
			continue
		}
		p.left[k], p.where[i] = l-piece, k
		free := p.free
		p.free -= piece
		p.search(i+1, roll)
		p.left[k], p.free = l, free
	}
	if len(p.left)+1 < p.best {
		p.where[i] = len(p.left)
		p.left = append(p.left, roll-piece)
		free := p.free
		p.free += roll - piece
		p.search(i+1, roll)
		p.left, p.free = p.left[:len(p.left)-1], free
	}
}
