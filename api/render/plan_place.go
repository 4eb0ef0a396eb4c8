package render

import (
	"math"
	"unicode/utf8"

	"bedline/api/render/drawing"
)

// box is a rectangle on paper, turned about its middle. A line is a box without height.
type box struct {
	middle     drawing.Spot
	half, high drawing.Millimetres // half of its length and of its height
	turn       float64             // degrees clockwise
}

// reach is half of the upright rectangle round the box.
func (b *box) reach() (x, y drawing.Millimetres) {
	sin, cos := math.Sincos(b.turn * math.Pi / 180)
	sin, cos = math.Abs(sin), math.Abs(cos)
	return drawing.Millimetres(float64(float64(b.half)*cos) + float64(float64(b.high)*sin)),
		drawing.Millimetres(float64(float64(b.half)*sin) + float64(float64(b.high)*cos))
}

// touch is how far boxes may overlap and yet only touch: what rounding does shall not decide where a label stands.
const touch = 1e-6

// meets tells whether two boxes overlap, by the axes that might part them: two convex shapes are apart only where the
// direction of a side of one of them parts them.
func (b *box) meets(o *box) bool {
	dx, dy := float64(o.middle.X-b.middle.X), float64(o.middle.Y-b.middle.Y)
	// Most are so far apart that no turn brings them together: their diagonals are no longer than their sides together.
	if far := float64(b.half + b.high + o.half + o.high); float64(dx*dx)+float64(dy*dy) > float64(far*far) {
		return false
	}
	part := func(p, q *box) bool {
		sin, cos := math.Sincos(p.turn * math.Pi / 180)
		qs, qc := math.Sincos(q.turn * math.Pi / 180)
		across := func(ax, ay float64, own drawing.Millimetres) bool {
			far := math.Abs(float64(dx*ax) + float64(dy*ay))
			other := float64(float64(q.half)*math.Abs(float64(qc*ax)+float64(qs*ay))) + float64(float64(q.high)*math.Abs(float64(qc*ay)-float64(qs*ax)))
			return far >= float64(own)+other-touch
		}
		return across(cos, sin, p.half) || across(-sin, cos, p.high)
	}
	return !part(b, o) && !part(o, b)
}

// segment is the box of a line between two places.
func segment(a, b drawing.Spot) box {
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	return box{drawing.Spot{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}, drawing.Millimetres(math.Hypot(dx, dy) / 2), 0, math.Atan2(dy, dx) * 180 / math.Pi}
}

// wide is how long a text may be in a face such as DejaVu Sans or Verdana, the widest that it may be shown in.
func wide(text string, size drawing.Millimetres, bold bool) drawing.Millimetres {
	letters := drawing.Millimetres(utf8.RuneCountInString(text))
	narrow, broad := drawing.Millimetres(0.58), drawing.Millimetres(0.65)
	if letters > 24 { // the more of them, the nearer to their mean
		narrow, broad = 0.55, 0.62
	}
	if bold {
		return max(likely(text, size)*1.12, broad*letters*size)
	}
	return max(likely(text, size), narrow*letters*size)
}

// likely is about how long a text is in such a face.
func likely(text string, size drawing.Millimetres) drawing.Millimetres {
	var sum float64
	for _, r := range text {
		switch {
		case r == 'm' || r == 'w' || r == 'M' || r == 'W' || r == '%' || r > 0x2fff:
			sum += 1
		case r >= 'A' && r <= 'Z':
			sum += 0.72
		case r >= '0' && r <= '9':
			sum += 0.64
		case r == ' ' || r == '\u00a0' || r == 'i' || r == 'j' || r == 'l' || r == '.' || r == ',' || r == ':' || r == ';' || r == '\'' || r == '/' || r == '|':
			sum += 0.34
		case r == 'f' || r == 't' || r == 'r' || r == '(' || r == ')' || r == '-' || r == 'I':
			sum += 0.42
		default:
			sum += 0.63
		}
	}
	return drawing.Millimetres(sum) * size
}

// The share of a letter's size that it stands above its base line, and that it hangs below.
const (
	above drawing.Millimetres = 0.76
	under drawing.Millimetres = 0.24
)

// labelIn is the label whose middle is that of a box.
func labelIn(middle drawing.Spot, turn float64, text string, size drawing.Millimetres) *drawing.Label {
	sin, cos := math.Sincos(turn * math.Pi / 180)
	down := (above - under) / 2 * size
	return &drawing.Label{At: drawing.Spot{X: middle.X - down*drawing.Millimetres(sin), Y: middle.Y + down*drawing.Millimetres(cos)},
		Text: text, Size: size, Anchor: drawing.Middle, Turn: turn, Ink: drawing.WordsInk, Halo: true}
}

// The squares by which a placer finds its boxes again.
const square drawing.Millimetres = 5

// placer keeps what paper is taken, so that labels find room one after the other. Hard boxes are never overlapped:
// labels, stakes, dimension lines. Soft ones, the lines of the ground, only where there is no better place.
type placer struct {
	low, high     drawing.Spot // the paper that labels may stand on
	columns, rows int
	squares       [][]int32
	boxes         []box
	soft          []bool
}

func newPlacer(low, high drawing.Spot) *placer {
	p := &placer{low: low, high: high}
	p.columns, p.rows = int((high.X-low.X)/square)+1, int((high.Y-low.Y)/square)+1
	p.squares = make([][]int32, p.columns*p.rows)
	return p
}

// over calls do with every square that a box may touch, until it says no.
func (p *placer) over(b *box, do func(square int) bool) bool {
	x, y := b.reach()
	clamp := func(at, low drawing.Millimetres, most int) int {
		return int(min(max((at-low)/square, 0), drawing.Millimetres(most-1)))
	}
	for row := clamp(b.middle.Y-y, p.low.Y, p.rows); row <= clamp(b.middle.Y+y, p.low.Y, p.rows); row++ {
		for column := clamp(b.middle.X-x, p.low.X, p.columns); column <= clamp(b.middle.X+x, p.low.X, p.columns); column++ {
			if !do(row*p.columns + column) {
				return false
			}
		}
	}
	return true
}

// take marks paper as taken.
func (p *placer) take(b box, soft bool) {
	x, y := b.reach()
	if b.middle.X+x < p.low.X || b.middle.X-x > p.high.X || b.middle.Y+y < p.low.Y || b.middle.Y-y > p.high.Y {
		return
	}
	i := int32(len(p.boxes)) //nolint:gosec // a plan has some thousands
	p.boxes, p.soft = append(p.boxes, b), append(p.soft, soft)
	// A long line at a slant touches few of the squares round it.
	p.over(&b, func(k int) bool {
		s := box{drawing.Spot{X: p.low.X + (drawing.Millimetres(k%p.columns)+0.5)*square, Y: p.low.Y + (drawing.Millimetres(k/p.columns)+0.5)*square}, square/2 + 0.01, square/2 + 0.01, 0}
		if k%p.columns == 0 || k%p.columns == p.columns-1 || k/p.columns == 0 || k/p.columns == p.rows-1 || s.meets(&b) {
			p.squares[k] = append(p.squares[k], i)
		}
		return true
	})
}

// undo gives back what was taken since there were so many boxes.
func (p *placer) undo(boxes int) {
	for k := range p.squares {
		s := p.squares[k]
		for len(s) > 0 && int(s[len(s)-1]) >= boxes {
			s = s[:len(s)-1]
		}
		p.squares[k] = s
	}
	p.boxes, p.soft = p.boxes[:boxes], p.soft[:boxes]
}

// inside tells whether a box is wholly on the paper.
func (p *placer) inside(b *box) bool {
	x, y := b.reach()
	return b.middle.X-x >= p.low.X-touch && b.middle.X+x <= p.high.X+touch && b.middle.Y-y >= p.low.Y-touch && b.middle.Y+y <= p.high.Y+touch
}

// free tells whether a box overlaps nothing; with lines, not even the lines of the ground.
func (p *placer) free(b *box, lines bool) bool {
	return p.over(b, func(k int) bool {
		for _, i := range p.squares[k] {
			if (lines || !p.soft[i]) && p.boxes[i].meets(b) {
				return false
			}
		}
		return true
	})
}

// offLines tells whether a box overlaps none of the lines of the ground.
func (p *placer) offLines(b *box) bool {
	return p.over(b, func(k int) bool {
		for _, i := range p.squares[k] {
			if p.soft[i] && p.boxes[i].meets(b) {
				return false
			}
		}
		return true
	})
}

// candidate is a place that a label may take, and where its leader starts, if it has one.
type candidate struct {
	middle drawing.Spot
	turn   float64
	leader bool
	from   drawing.Spot
}

// leaderOf is the line from what a label speaks of to the label's nearest edge. It begins a little off.
func leaderOf(c *candidate, b *box) (from, to drawing.Spot) {
	dx, dy := c.from.X-b.middle.X, c.from.Y-b.middle.Y
	sin, cos := math.Sincos(b.turn * math.Pi / 180)
	along := dx*drawing.Millimetres(cos) + dy*drawing.Millimetres(sin)
	across := dy*drawing.Millimetres(cos) - dx*drawing.Millimetres(sin)
	along, across = min(max(along, -b.half), b.half), min(max(across, -b.high), b.high)
	to = drawing.Spot{
		X: b.middle.X + along*drawing.Millimetres(cos) - across*drawing.Millimetres(sin),
		Y: b.middle.Y + along*drawing.Millimetres(sin) + across*drawing.Millimetres(cos),
	}
	return c.from, to
}

// stands tells whether a box of a size may stand at a candidate.
func (p *placer) stands(c *candidate, half, high drawing.Millimetres, lines bool) bool {
	b := box{c.middle, half, high, c.turn}
	if !p.inside(&b) || !p.free(&b, lines) {
		return false
	}
	if !c.leader {
		return true
	}
	from, to := leaderOf(c, &b)
	l := segment(from, to)
	return p.free(&l, false)
}

// place finds the first candidate where a box of a size has room: one clear of the lines of the ground if there is any.
func (p *placer) place(candidates []candidate, half, high drawing.Millimetres) (candidate, bool) {
	for _, lines := range [...]bool{true, false} {
		for i := range candidates {
			if p.stands(&candidates[i], half, high, lines) {
				return candidates[i], true
			}
		}
	}
	return candidate{}, false
}

// beside is how many places round a spot are beside it.
const beside = 8

// round are places round a spot for a label of a size: beside it first, then farther off on a leader.
func round(at drawing.Spot, off, half, high drawing.Millimetres) []candidate {
	out := make([]candidate, 0, 48)
	for _, d := range [...][2]drawing.Millimetres{{1, -1}, {-1, -1}, {1, 1}, {-1, 1}, {1, 0}, {-1, 0}, {0, -1}, {0, 1}} {
		out = append(out, candidate{middle: drawing.Spot{X: at.X + d[0]*(half+off), Y: at.Y + d[1]*(high+off)}})
	}
	for _, far := range [...]drawing.Millimetres{3.5, 6, 9, 13} {
		for k := range 12 {
			sin, cos := math.Sincos(float64(2*k+1) * math.Pi / 12)
			dx, dy := drawing.Millimetres(cos), drawing.Millimetres(-sin)
			out = append(out, candidate{
				middle: drawing.Spot{X: at.X + dx*(far+half), Y: at.Y + dy*(far+high)}, leader: true,
				from: drawing.Spot{X: at.X + dx*off*1.2, Y: at.Y + dy*off*1.2},
			})
		}
	}
	return out
}
