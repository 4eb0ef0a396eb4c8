package measure

import "math"

// The functions of this file are adapted from FreeBSD's msun library (e_log.c, e_exp.c); see the notice in trig.go.

// The natural logarithm of 2 in two pieces, the first of 32 bits.
const (
	logTwoHigh = 6.93147180369123816490e-01
	logTwoLow  = 1.90821492927058770002e-10
)

// Log is the natural logarithm, within 1 ulp and with the same bits on every machine. NaN below zero, minus infinity of
// zero.
func Log(x float64) float64 {
	const (
		l1 = 6.666666666666735130e-01
		l2 = 3.999999999940941908e-01
		l3 = 2.857142874366239149e-01
		l4 = 2.222219843214978396e-01
		l5 = 1.818357216161805012e-01
		l6 = 1.531383769920937332e-01
		l7 = 1.479819860511658591e-01
	)
	switch {
	case x != x || x > math.MaxFloat64:
		return x
	case x < 0:
		return math.NaN()
	case x == 0:
		return math.Inf(-1)
	}
	part, power := math.Frexp(x)
	if part < math.Sqrt2/2 {
		part *= 2
		power--
	}
	f, k := part-1, float64(power)
	s := f / (2 + f)
	z := float64(s * s)
	w := float64(z * z)
	odd := float64(z * (l1 + float64(w*(l3+float64(w*(l5+float64(w*l7)))))))
	even := float64(w * (l2 + float64(w*(l4+float64(w*l6)))))
	half := float64(float64(0.5*f) * f)
	return float64(k*logTwoHigh) - ((half - (float64(s*(half+(odd+even))) + float64(k*logTwoLow))) - f)
}

// Exp is e to the power of x, within 1 ulp and with the same bits on every machine.
func Exp(x float64) float64 {
	const (
		p1 = 1.66666666666666657415e-01
		p2 = -2.77777777770155933842e-03
		p3 = 6.61375632143793436117e-05
		p4 = -1.65339022054652515390e-06
		p5 = 4.13813679705723846039e-08

		perLogTwo = 1.44269504088896338700e+00
		most      = 7.09782712893383973096e+02
		least     = -7.45133219101941108420e+02
	)
	switch {
	case x != x:
		return x
	case x > most:
		return math.Inf(1)
	case x < least:
		return 0
	}
	k := math.RoundToEven(float64(perLogTwo * x))
	high, low := x-float64(k*logTwoHigh), float64(k*logTwoLow)
	r := high - low
	t := float64(r * r)
	c := r - float64(t*(p1+float64(t*(p2+float64(t*(p3+float64(t*(p4+float64(t*p5)))))))))
	return math.Ldexp(1-((low-float64(r*c)/(2-c))-high), int(k))
}
