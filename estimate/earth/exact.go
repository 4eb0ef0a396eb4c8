package earth

import (
	"math"
	"math/big"
)

// vec is a place or a direction in the plane, in metres.
type vec struct{ x, y float64 }

func (a vec) plus(b vec) vec             { return vec{a.x + b.x, a.y + b.y} }
func (a vec) minus(b vec) vec            { return vec{a.x - b.x, a.y - b.y} }
func (a vec) times(f float64) vec        { return vec{float64(a.x * f), float64(a.y * f)} }
func (a vec) dot(b vec) float64          { return float64(a.x*b.x) + float64(a.y*b.y) }
func (a vec) cross(b vec) float64        { return float64(a.x*b.y) - float64(a.y*b.x) }
func (a vec) length() float64            { return math.Sqrt(float64(a.x*a.x) + float64(a.y*a.y)) }
func (a vec) unit() vec                  { l := a.length(); return vec{a.x / l, a.y / l} }
func (a vec) right() vec                 { return vec{a.y, -a.x} }
func (a vec) before(b vec) bool          { return a.x < b.x || a.x == b.x && a.y < b.y }
func (a vec) near(b vec) bool            { return a.minus(b).length() <= same }
func between(a, b vec, t float64) vec    { return a.plus(b.minus(a).times(t)) }
func spread(a, b, t float64) (v float64) { return a + float64((b-a)*t) }

// exact decides on which side places lie without rounding error: in floating point where the error bound allows, and
// else on whole numbers, the places counted in the last binary digit that any of them has. The bounds are those of
// J. R. Shewchuk, Adaptive Precision Floating-Point Arithmetic and Fast Robust Geometric Predicates (1997),
// ccwerrboundA and iccerrboundA.
type exact struct {
	at    []vec
	whole [][2]*big.Int // as at; nil until first needed
}

const (
	ulp         = 1.0 / (1 << 53)
	orientBound = (3 + 16*ulp) * ulp
	circleBound = (10 + 96*ulp) * ulp
	faint       = 1e-280 // below it products of four factors may have lost digits to underflow
)

// orient is 1 where a, b, c turn left, -1 where they turn right, 0 where they lie on one line.
func (e *exact) orient(a, b, c int32) int {
	p, q := e.at[a].minus(e.at[c]), e.at[b].minus(e.at[c])
	l, r := float64(p.x*q.y), float64(p.y*q.x)
	det := l - r
	if bound := float64(orientBound * (math.Abs(l) + math.Abs(r))); math.Abs(det) > bound+faint {
		return sign(det)
	}
	px, py := e.offset(a, c)
	qx, qy := e.offset(b, c)
	px.Mul(px, qy)
	py.Mul(py, qx)
	return px.Cmp(py)
}

// inCircle is 1 where d lies inside the circle through a, b, c, which turn left, -1 outside, 0 on it.
func (e *exact) inCircle(a, b, c, d int32) int {
	o := e.at[d]
	p, q, r := e.at[a].minus(o), e.at[b].minus(o), e.at[c].minus(o)
	pq, qp := float64(p.x*q.y), float64(p.y*q.x)
	qr, rq := float64(q.x*r.y), float64(q.y*r.x)
	rp, pr := float64(r.x*p.y), float64(r.y*p.x)
	pp, qq, rr := p.dot(p), q.dot(q), r.dot(r)
	det := float64(pp*(qr-rq)) + float64(qq*(rp-pr)) + float64(rr*(pq-qp))
	sum := float64(pp*(math.Abs(qr)+math.Abs(rq))) + float64(qq*(math.Abs(rp)+math.Abs(pr))) +
		float64(rr*(math.Abs(pq)+math.Abs(qp)))
	if math.Abs(det) > float64(circleBound*sum)+faint {
		return sign(det)
	}
	var xs, ys, lifts [3]*big.Int
	for i, v := range [3]int32{a, b, c} {
		xs[i], ys[i] = e.offset(v, d)
		lifts[i] = new(big.Int).Mul(xs[i], xs[i])
		lifts[i].Add(lifts[i], new(big.Int).Mul(ys[i], ys[i]))
	}
	total, m := new(big.Int), new(big.Int)
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		minor := new(big.Int).Mul(xs[j], ys[k])
		minor.Sub(minor, m.Mul(ys[j], xs[k]))
		total.Add(total, minor.Mul(minor, lifts[i]))
	}
	return total.Sign()
}

func (e *exact) offset(a, o int32) (x, y *big.Int) {
	if e.whole == nil {
		e.count()
	}
	return new(big.Int).Sub(e.whole[a][0], e.whole[o][0]), new(big.Int).Sub(e.whole[a][1], e.whole[o][1])
}

// count writes all places as whole multiples of one power of two.
func (e *exact) count() {
	least := 0
	for _, p := range e.at {
		for _, v := range [2]float64{p.x, p.y} {
			if v != 0 {
				_, exp := math.Frexp(v)
				least = min(least, exp-53)
			}
		}
	}
	number := func(v float64) *big.Int {
		n := new(big.Int)
		if v == 0 {
			return n
		}
		fraction, exp := math.Frexp(v)
		n.SetInt64(int64(math.Ldexp(fraction, 53))) // a float64 has 53 digits: nothing is cut off
		return n.Lsh(n, uint(exp-53-least))
	}
	e.whole = make([][2]*big.Int, len(e.at))
	for i, p := range e.at {
		e.whole[i] = [2]*big.Int{number(p.x), number(p.y)}
	}
}

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}
