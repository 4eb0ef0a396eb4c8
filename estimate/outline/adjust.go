package outline

import "math"

// vec is a place or a step in the plane, in metres.
type vec struct{ x, y float64 }

// network is a number of points held by tapes, to marks and to each other.
type network struct {
	points []vec
	tapes  []tie
	aside  vec // the direction in which a point on its own mark is looked for
}

// tie is the taped length from point a to point b, or to a mark where b is None.
type tie struct {
	a, b   int
	mark   vec
	length float64
}

// between is the way from the other end of a tape to its point a.
func (n *network) between(t *tie) vec {
	p, q := n.points[t.a], t.mark
	if t.b != None {
		q = n.points[t.b]
	}
	return vec{p.x - q.x, p.y - q.y}
}

// adjust moves the points to the least sum of squared misfits. Points that no checks tie together are adjusted by
// themselves, so that one point does not hang on another.
func (n *network) adjust() {
	group := make([]int, len(n.points))
	for i := range group {
		group[i] = i
	}
	root := func(i int) int {
		for group[i] != i {
			group[i] = group[group[i]]
			i = group[i]
		}
		return i
	}
	for i := range n.tapes {
		if t := &n.tapes[i]; t.b != None {
			a, b := root(t.a), root(t.b)
			group[max(a, b)] = min(a, b)
		}
	}
	place := make([]int, len(n.points)) // of a point in its part
	parts := make([]*network, len(n.points))
	members := make([][]int, len(n.points))
	for i := range n.points {
		r := root(i)
		if parts[r] == nil {
			parts[r] = &network{aside: n.aside}
		}
		place[i] = len(members[r])
		members[r] = append(members[r], i)
		parts[r].points = append(parts[r].points, n.points[i])
	}
	for _, t := range n.tapes {
		part := parts[root(t.a)]
		t.a = place[t.a]
		if t.b != None {
			t.b = place[t.b]
		}
		part.tapes = append(part.tapes, t)
	}
	for r, part := range parts {
		if part == nil {
			continue
		}
		part.settle()
		for k, i := range members[r] {
			n.points[i] = part.points[k]
		}
	}
}

const (
	mostSteps  = 100
	mostPolish = 200
	// rest is the gradient, in metres of misfit, that counts as none.
	rest = 1e-15
	// fine is a step in metres below which the gradient judges.
	fine = 1e-6
)

// settle finds the least sum of squares by Gauss-Newton steps with Levenberg's damping. The curvature of tapes that are
// too short is taken along: it keeps the matrix positive and matters where a point lies on the line of its marks. The
// sum can't tell places apart that differ by less than the root of its rounding, so at the end steps are judged by the
// gradient.
func (n *network) settle() {
	s := &step{network: n, pulls: make([]pull, len(n.tapes)), gradient: make([]vec, len(n.points)), blocks: make([]block, len(n.points))}
	damping := 1e-3
	sum := s.look()
	old := make([]vec, len(n.points))
	for range mostSteps {
		if s.slope() <= rest || damping > 1e9 {
			break
		}
		move := s.solve(damping)
		copy(old, n.points)
		n.shift(move)
		if next := n.sum(); next < sum {
			damping = math.Max(damping/10, 1e-12)
			sum = s.look()
			continue
		}
		copy(n.points, old)
		if damping <= 1 && longest(move) < fine {
			break // the sum can't tell any more
		}
		damping *= 10
	}
	s.look()
	for range mostPolish {
		slope := s.slope()
		if slope <= rest {
			return
		}
		copy(old, n.points)
		n.shift(s.solve(1e-12))
		s.look()
		// Where a misfit is large beside a short tape the slope falls slowly, but it falls.
		if !(s.slope() < slope*0.95) {
			copy(n.points, old)
			return
		}
	}
}

func (n *network) shift(by []vec) {
	for i, d := range by {
		n.points[i].x += d.x
		n.points[i].y += d.y
	}
}

// longest is the greatest part of a step.
func longest(move []vec) float64 {
	most := 0.0
	for _, d := range move {
		most = max(most, math.Abs(d.x), math.Abs(d.y))
	}
	return most
}

// sum is the sum of the squared misfits.
func (n *network) sum() float64 {
	var sum float64
	for i := range n.tapes {
		t := &n.tapes[i]
		d := n.between(t)
		off := norm(d.x, d.y) - t.length
		sum += float64(off * off)
	}
	return sum
}

// pull is what one tape does: its direction, and its stiffness square to that as a share of that along.
type pull struct {
	to    vec
	cross float64
}

// block is the part of the matrix that belongs to one point.
type block struct{ xx, xy, yy float64 }

// step works out steps from where the network stands.
type step struct {
	*network
	pulls    []pull
	gradient []vec
	blocks   []block
}

// look takes in the gradient and the matrix where the points are, and gives the sum of squares.
func (s *step) look() float64 {
	clear(s.gradient)
	clear(s.blocks)
	var sum float64
	for i := range s.tapes {
		t := &s.tapes[i]
		d := s.between(t)
		size := norm(d.x, d.y)
		p := pull{to: s.aside}
		off := size - t.length
		if size > 0 {
			p.to = vec{d.x / size, d.y / size}
			p.cross = max(0, off) / size
		} else if t.length == 0 {
			p.cross = 1
		}
		sum += float64(off * off)
		s.pulls[i] = p
		g := vec{float64(off * p.to.x), float64(off * p.to.y)}
		flat := 1 - p.cross // cross I + (1 - cross) u u'
		b := block{p.cross + float64(float64(flat*p.to.x)*p.to.x), float64(float64(flat*p.to.x) * p.to.y), p.cross + float64(float64(flat*p.to.y)*p.to.y)}
		s.gather(t.a, g, b)
		if t.b != None {
			s.gather(t.b, vec{-g.x, -g.y}, b)
		}
	}
	return sum
}

func (s *step) gather(i int, g vec, b block) {
	s.gradient[i].x += g.x
	s.gradient[i].y += g.y
	s.blocks[i].xx += b.xx
	s.blocks[i].xy += b.xy
	s.blocks[i].yy += b.yy
}

// slope is the greatest part of the gradient.
func (s *step) slope() float64 {
	most := 0.0
	for _, g := range s.gradient {
		most = max(most, math.Abs(g.x), math.Abs(g.y))
	}
	return most
}

// mostTurns is the most rounds of the solver below.
const mostTurns = 200

// solve gives the step of (matrix + damping) step = -gradient by conjugate gradients, each point's own block going
// before: exact at once where there are no checks.
func (s *step) solve(damping float64) []vec {
	n := len(s.points)
	x, r, z, p, q := make([]vec, n), make([]vec, n), make([]vec, n), make([]vec, n), make([]vec, n)
	for i, g := range s.gradient {
		r[i] = vec{-g.x, -g.y}
	}
	s.ease(z, r, damping)
	copy(p, z)
	rz := inner(r, z)
	goal := float64(rz * 1e-30)
	for range min(mostTurns, 4*n+1) {
		if !(rz > goal) {
			break
		}
		s.times(q, p, damping)
		pq := inner(p, q)
		if !(pq > 0) {
			break
		}
		f := rz / pq
		for i := range x {
			x[i].x += float64(f * p[i].x)
			x[i].y += float64(f * p[i].y)
			r[i].x -= float64(f * q[i].x)
			r[i].y -= float64(f * q[i].y)
		}
		s.ease(z, r, damping)
		next := inner(r, z)
		f = next / rz
		rz = next
		for i := range p {
			p[i] = vec{z[i].x + float64(f*p[i].x), z[i].y + float64(f*p[i].y)}
		}
	}
	return x
}

// times is the product of the damped matrix with a vector.
func (s *step) times(to, v []vec, damping float64) {
	for i, p := range v {
		to[i] = vec{float64(damping * p.x), float64(damping * p.y)}
	}
	for i := range s.tapes {
		t, u := &s.tapes[i], &s.pulls[i]
		d := v[t.a]
		if t.b != None {
			d.x, d.y = d.x-v[t.b].x, d.y-v[t.b].y
		}
		along := float64(dot(u.to.x, u.to.y, d.x, d.y) * (1 - u.cross))
		f := vec{float64(u.cross*d.x) + float64(along*u.to.x), float64(u.cross*d.y) + float64(along*u.to.y)}
		to[t.a].x += f.x
		to[t.a].y += f.y
		if t.b != None {
			to[t.b].x -= f.x
			to[t.b].y -= f.y
		}
	}
}

// ease divides by the damped blocks.
func (s *step) ease(to, v []vec, damping float64) {
	for i, b := range s.blocks {
		xx, yy := b.xx+damping, b.yy+damping
		det := float64(xx*yy) - float64(b.xy*b.xy)
		to[i] = vec{(float64(yy*v[i].x) - float64(b.xy*v[i].y)) / det, (float64(xx*v[i].y) - float64(b.xy*v[i].x)) / det}
		if !(det > 0) {
			to[i] = vec{v[i].x / xx, v[i].y / yy}
		}
	}
}

func inner(a, b []vec) float64 {
	var sum float64
	for i := range a {
		sum += float64(a[i].x*b[i].x) + float64(a[i].y*b[i].y)
	}
	return sum
}
