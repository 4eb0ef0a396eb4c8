package outline_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// tapes are the distances from a point to marks 0, 1, ...; negative for not taped.
func tapes(lengths ...float64) outline.TiedPoint {
	var p outline.TiedPoint
	for i, l := range lengths {
		if !(l < 0) {
			p.Tapes = append(p.Tapes, outline.Tape{Mark: i, Length: measure.Length(l)})
		}
	}
	return p
}

func check(i, j int, length float64) outline.Check {
	return outline.Check{I: i, J: j, Length: measure.Length(length)}
}

func adjusted(t require.TestingT, ties outline.Ties) *outline.Adjustment {
	a, err := outline.Adjust(ties)
	require.NoError(t, err)
	return a
}

func TestTwoTapesMeetInTheTriangleOfTheirLengths(t *testing.T) {
	t.Parallel()
	// Heron's triangle of sides 13, 14 and 15 has the height 12 over the side of 14, 5 from one end and 9 from the other.
	ties := outline.Ties{Marks: pts(0, 0, 14, 0), Points: []outline.TiedPoint{tapes(13, 15)}}
	a := adjusted(t, ties)
	assert.InDelta(t, 0, dist(pt(5, 12), a.Points[0]), 1e-12)
	assert.InDelta(t, 0, float64(a.Greatest), 1e-12)
	ties.Points[0].Right = true
	assert.InDelta(t, 0, dist(pt(5, -12), adjusted(t, ties).Points[0]), 1e-12)
	// The left of the line from the first mark to the second is the other side when the marks change places.
	ties = outline.Ties{Marks: pts(14, 0, 0, 0), Points: []outline.TiedPoint{tapes(15, 13)}}
	assert.InDelta(t, 0, dist(pt(5, -12), adjusted(t, ties).Points[0]), 1e-12)
	// The right angle of 3, 4 and 5.
	ties = outline.Ties{Marks: pts(0, 0, 3, 0), Points: []outline.TiedPoint{tapes(4, 5)}}
	assert.InDelta(t, 0, dist(pt(0, 4), adjusted(t, ties).Points[0]), 1e-12)
	// A point on its mark.
	ties = outline.Ties{Marks: pts(0, 0, 3, 0), Points: []outline.TiedPoint{tapes(0, 3)}}
	assert.InDelta(t, 0, dist(pt(0, 0), adjusted(t, ties).Points[0]), 1e-12)
	// The third tape tells which of two places it is when neither of its marks is the first or second.
	ties = outline.Ties{Marks: pts(0, 0, 10, 0, 0, 5, 0, 9, 4, 4), Points: []outline.TiedPoint{
		tapes(-1, -1, math.Hypot(3, 3), math.Hypot(3, 1), math.Hypot(1, 4)),
		tapes(-1, -1, math.Hypot(3, 3), math.Hypot(3, 1), math.Hypot(7, 4)),
	}}
	assert.InDelta(t, 0, dist(pt(3, 8), adjusted(t, ties).Points[0]), 1e-9)
	assert.InDelta(t, 0, dist(pt(-3, 8), adjusted(t, ties).Points[1]), 1e-9)
}

func TestSpareTapesShareTheirMisfit(t *testing.T) {
	t.Parallel()
	wide := measure.Length(10)
	for _, c := range []struct {
		name          string
		ties          outline.Ties
		points        []outline.Point
		greatest, rms float64
	}{
		// Two tapes that miss each other by 0.2 m: half for each.
		{"tapes too short to meet", outline.Ties{Marks: pts(0, 0, 10, 0), Points: []outline.TiedPoint{tapes(3, 6.8)}}, pts(3.1, 0), 0.1, 0.1},
		{"one circle inside the other", outline.Ties{Marks: pts(0, 0, 2, 0), Points: []outline.TiedPoint{tapes(6, 3.8)}}, pts(5.9, 0), 0.1, 0.1},
		{"the other way round", outline.Ties{Marks: pts(0, 0, 2, 0), Points: []outline.TiedPoint{tapes(3.8, 6)}}, pts(-3.9, 0), 0.1, 0.1},
		// On the line of its marks a point lies at the mean of what the tapes say: 3, 10 - 6.7 = 3.3, 20 - 16.4 = 3.6.
		{"three tapes along one line", outline.Ties{Marks: pts(0, 0, 10, 0, 20, 0), Points: []outline.TiedPoint{tapes(3, 6.7, 16.4)}}, pts(3.3, 0), 0.3, math.Sqrt(0.18 / 3)},
		// Four tapes that are all too long by the same leave a point where it is.
		{"four tapes alike", outline.Ties{Marks: pts(-3, -4, 3, -4, 3, 4, -3, 4), Points: []outline.TiedPoint{tapes(5.1, 5.1, 5.1, 5.1)}}, pts(0, 0), 0.1, 0.1},
		{"a check between points on the line", outline.Ties{Marks: pts(0, 0, 10, 0), Points: []outline.TiedPoint{tapes(2, 8), tapes(6, 4)}, Checks: []outline.Check{check(0, 1, 3.6)}},
			// Each point is held by two springs at its place and one to the other: shifts s, -s with 2 s = 4 - 2 s - 3.6.
			pts(2.1, 0, 5.9, 0), 0.2, math.Sqrt((4*0.01 + 0.04) / 5)},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.ties.MisfitMax = wide
			a := adjusted(t, c.ties)
			for i, want := range c.points {
				assert.InDelta(t, 0, dist(want, a.Points[i]), 1e-6, i)
			}
			assert.InDelta(t, c.greatest, float64(a.Greatest), 1e-9)
			assert.InDelta(t, c.rms, float64(a.RMS), 1e-9)
			// Above what is accepted it is refused, and the worst tape named.
			c.ties.MisfitMax = measure.Length(c.greatest - 1e-6)
			_, err := outline.Adjust(c.ties)
			var misfit *outline.MisfitError
			require.ErrorAs(t, err, &misfit)
			assert.Equal(t, a.Worst, misfit.Worst)
			assert.InDelta(t, c.greatest, math.Abs(float64(misfit.Worst.Off())), 1e-9)
			c.ties.MisfitMax = measure.Length(c.greatest + 1e-10)
			adjusted(t, c.ties)
		})
	}
}

// site draws marks, points to the left of the first two, and their exact tapes, some of them spare, with checks.
func site(t *rapid.T) (outline.Ties, []outline.Point) {
	marks := rapid.IntRange(2, 4).Draw(t, "marks")
	ties := outline.Ties{MisfitMax: 10}
	for i := range marks {
		ties.Marks = append(ties.Marks, pt(float64(7*i), rapid.Float64Range(-1, 0).Draw(t, "mark")))
	}
	var points []outline.Point
	for range rapid.IntRange(1, 6).Draw(t, "points") {
		p := pt(rapid.Float64Range(-5, 20).Draw(t, "x"), rapid.Float64Range(3, 15).Draw(t, "y"))
		var tied outline.TiedPoint
		for i, m := range ties.Marks {
			if i < 2 || rapid.Bool().Draw(t, "taped") {
				tied.Tapes = append(tied.Tapes, outline.Tape{Mark: i, Length: measure.Length(dist(p, m))})
			}
		}
		ties.Points, points = append(ties.Points, tied), append(points, p)
	}
	for i := 1; i < len(points); i++ {
		if d := dist(points[i-1], points[i]); d > 0.1 && rapid.Bool().Draw(t, "check") {
			ties.Checks = append(ties.Checks, check(i-1, i, d))
		}
	}
	return ties, points
}

func TestExactTapesGiveThePointsBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		ties, points := site(t)
		a := adjusted(t, ties)
		for i, p := range points {
			assert.InDelta(t, 0, dist(p, a.Points[i]), 1e-9)
		}
		assert.InDelta(t, 0, float64(a.Greatest), 1e-9)
		// A mirror is the same site on the right.
		for i := range ties.Marks {
			ties.Marks[i].Y = -ties.Marks[i].Y
		}
		for i := range ties.Points {
			ties.Points[i].Right = true
		}
		a = adjusted(t, ties)
		for i, p := range points {
			assert.InDelta(t, 0, dist(outline.Point{X: p.X, Y: -p.Y}, a.Points[i]), 1e-9)
		}
	})
}

// misfits is the sum of the squared misfits, written down independently of the code under test.
func misfits(ties outline.Ties, at []float64) float64 {
	sum := 0.0
	for i, p := range ties.Points {
		for _, tape := range p.Tapes {
			m := ties.Marks[tape.Mark]
			off := math.Hypot(at[2*i]-float64(m.X), at[2*i+1]-float64(m.Y)) - float64(tape.Length)
			sum += off * off
		}
	}
	for _, c := range ties.Checks {
		off := math.Hypot(at[2*c.I]-at[2*c.J], at[2*c.I+1]-at[2*c.J+1]) - float64(c.Length)
		sum += off * off
	}
	return sum
}

// noisy spoils the tapes of a site.
func noisy(t *rapid.T, ties *outline.Ties, most float64) {
	for i := range ties.Points {
		for k := range ties.Points[i].Tapes {
			ties.Points[i].Tapes[k].Length += measure.Length(rapid.Float64Range(-most, most).Draw(t, "noise"))
		}
	}
	for i := range ties.Checks {
		ties.Checks[i].Length += measure.Length(rapid.Float64Range(0, most).Draw(t, "noise"))
	}
}

func flat(points []outline.Point) []float64 {
	var list []float64
	for _, p := range points {
		list = append(list, float64(p.X), float64(p.Y))
	}
	return list
}

// A check that is far off beside its own length makes the last steps small; they are taken all the same.
func TestAMisfitThatIsLargeBesideAShortTapeIsAdjustedToTheEnd(t *testing.T) {
	t.Parallel()
	for k := range 40 { // the points are 0.12 m apart by their tapes
		length := 0.02 * float64(k+1)
		ties := outline.Ties{Marks: pts(0, -1, 7, -1), Points: []outline.TiedPoint{tapes(4.140743, 8.148092), tapes(4.050488, 8.058053)}, MisfitMax: 1,
			Checks: []outline.Check{{I: 0, J: 1, Length: measure.Length(length)}}}
		at := flat(adjusted(t, ties).Points)
		for i := range at {
			const h = 1e-6
			up, down := append([]float64(nil), at...), append([]float64(nil), at...)
			up[i] += h
			down[i] -= h
			assert.InDelta(t, 0, (misfits(ties, up)-misfits(ties, down))/(2*h), 1e-9, "a check of %g m", length)
		}
	}
}

func TestAdjustedPointsRestAtTheLeastSumOfSquares(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		ties, points := site(t)
		noisy(t, &ties, 0.05)
		a := adjusted(t, ties)
		at := flat(a.Points)
		least := misfits(ties, at)
		assert.InDelta(t, math.Sqrt(least/float64(a.Tapes)), float64(a.RMS), 1e-12)
		assert.LessOrEqual(t, least, misfits(ties, flat(points))+1e-15)
		for i := range at {
			// The sum does not fall either way, and its slope is none.
			const h = 1e-5
			up, down := append([]float64(nil), at...), append([]float64(nil), at...)
			up[i] += h
			down[i] -= h
			// 1e-8 m: near the line of its marks a place hangs on the last digits, and so does the slope that is left.
			assert.InDelta(t, 0, (misfits(ties, up)-misfits(ties, down))/(2*h), 1e-9)
			assert.GreaterOrEqual(t, misfits(ties, up), least)
			assert.GreaterOrEqual(t, misfits(ties, down), least)
		}
		// A search that only compares sums, by steps that shrink, finds the same place.
		search := flat(points)
		sum := misfits(ties, search)
		for step := 0.1; step > 1e-8; {
			moved := false
			for i := range search {
				for _, by := range []float64{step, -step} {
					search[i] += by
					if next := misfits(ties, search); next < sum {
						sum, moved = next, true
					} else {
						search[i] -= by
					}
				}
			}
			if !moved {
				step /= 2
			}
		}
		assert.InDelta(t, sum, least, 1e-9)
		for i := range search {
			assert.InDelta(t, search[i], at[i], 1e-4)
		}
	})
}

func TestTiesDoNotHangOnWhereTheSiteLies(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		ties, _ := site(t)
		noisy(t, &ties, 0.05)
		a := adjusted(t, ties)
		by := measure.Angle(rapid.Float64Range(-6, 6).Draw(t, "turn"))
		moved := ties
		moved.Marks = nil
		for _, m := range ties.Marks {
			m = m.Rotate(outline.Point{}, by)
			moved.Marks = append(moved.Marks, pt(float64(m.X)+30, float64(m.Y)-40))
		}
		b := adjusted(t, moved)
		for i, p := range a.Points {
			p = p.Rotate(outline.Point{}, by)
			// A point near the line of its marks lies where the sum of squares is all but flat.
			assert.InDelta(t, 0, dist(pt(float64(p.X)+30, float64(p.Y)-40), b.Points[i]), 1e-6)
		}
		assert.InDelta(t, float64(a.Greatest), float64(b.Greatest), 1e-7)
	})
}

func TestTieFaultsNameWhatToChange(t *testing.T) {
	t.Parallel()
	marks := pts(0, 0, 14, 0)
	good := tapes(13, 15)
	right := good
	right.Right = true
	apex := pt(7, 9)
	bent := append(pts(0, 0, 14, 0), apex)
	above, below := tapes(5, math.Hypot(9, 0), dist(pt(5, 0), apex)), tapes(13, 15, dist(pt(5, -12), apex))
	aboveRight := tapes(13, 15, dist(pt(5, 12), apex))
	aboveRight.Right = true
	for _, c := range []struct {
		name string
		ties outline.Ties
		want error
	}{
		{"no points", outline.Ties{Marks: marks}, &outline.PointCountError{}},
		{"one mark", outline.Ties{Marks: pts(0, 0), Points: []outline.TiedPoint{tapes(13)}}, &outline.MarkError{Mark: 1}},
		{"two marks in one place", outline.Ties{Marks: pts(0, 0, 0, 0), Points: []outline.TiedPoint{good}}, &outline.MarkError{Mark: 1}},
		{"one tape", outline.Ties{Marks: marks, Points: []outline.TiedPoint{good, tapes(13)}}, &outline.FewTapesError{Point: 1}},
		{"a mark too many", outline.Ties{Marks: marks, Points: []outline.TiedPoint{tapes(13, 15, 12)}}, &outline.NumberError{What: "tape", Index: 0}},
		{"a tape twice", outline.Ties{Marks: marks, Points: []outline.TiedPoint{{Tapes: []outline.Tape{{Mark: 0, Length: 1}, {Mark: 0, Length: 2}}}}}, &outline.NumberError{What: "tape", Index: 0}},
		{"no number", outline.Ties{Marks: marks, Points: []outline.TiedPoint{tapes(math.NaN(), 1)}}, &outline.NumberError{What: "tape", Index: 0}},
		{"a mark that is nowhere", outline.Ties{Marks: pts(0, 0, math.NaN(), 1), Points: []outline.TiedPoint{good}}, &outline.NumberError{What: "mark", Index: 1}},
		{"a check to itself", outline.Ties{Marks: marks, Points: []outline.TiedPoint{good}, Checks: []outline.Check{check(0, 0, 2)}}, &outline.NumberError{What: "check", Index: 0}},
		{"a check to no point", outline.Ties{Marks: marks, Points: []outline.TiedPoint{good}, Checks: []outline.Check{check(0, 1, 2)}}, &outline.NumberError{What: "check", Index: 0}},
		{"a point that is on the right", outline.Ties{Marks: bent, Points: []outline.TiedPoint{above, below}, MisfitMax: 0.05}, &outline.TieSideError{Point: 1, Right: true}},
		{"a point that is not on the right", outline.Ties{Marks: bent, Points: []outline.TiedPoint{aboveRight}, MisfitMax: 0.05}, &outline.TieSideError{Point: 0}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			a, err := outline.Adjust(c.ties)
			require.Error(t, err)
			assert.Nil(t, a)
			assert.Equal(t, c.want, joined(err)[0])
			assert.NotEmpty(t, err.Error())
		})
	}
}

func TestTheWorstTapeIsTheOneThatWasMisread(t *testing.T) {
	t.Parallel()
	// A foot is misread on one of four tapes of point 1.
	marks := pts(0, 0, 10, 0, 0, 8, 10, 8)
	exact := func(p outline.Point) outline.TiedPoint {
		return tapes(dist(p, marks[0]), dist(p, marks[1]), dist(p, marks[2]), dist(p, marks[3]))
	}
	ties := outline.Ties{Marks: marks, Points: []outline.TiedPoint{exact(pt(3, 4)), exact(pt(6, 5)), exact(pt(5, 2))}, MisfitMax: 2 * measure.Inch}
	ties.Points[1].Tapes[2].Length += measure.Foot
	_, err := outline.Adjust(ties)
	var misfit *outline.MisfitError
	require.ErrorAs(t, err, &misfit)
	assert.Equal(t, [3]int{1, 2, outline.None}, [3]int{misfit.Worst.Point, misfit.Worst.Mark, misfit.Worst.Check})
	ties.Points[1].Tapes[2].Length -= measure.Foot
	ties.Checks = []outline.Check{check(0, 2, math.Hypot(2, 2)), check(0, 1, math.Hypot(3, 1)+float64(measure.Foot))}
	_, err = outline.Adjust(ties)
	require.ErrorAs(t, err, &misfit)
	assert.Equal(t, 1, misfit.Worst.Check)
}

func TestManyTiedPointsAreAdjustedInTime(t *testing.T) {
	t.Parallel()
	marks := pts(0, 0, 40, 0, 80, 1)
	ties := outline.Ties{Marks: marks, MisfitMax: 1}
	var points []outline.Point
	for i := range 1500 {
		p := pt(40+30*math.Cos(float64(i)*0.004), 40+30*math.Sin(float64(i)*0.004))
		wobble := 0.02 * math.Sin(float64(i*i))
		ties.Points = append(ties.Points, tapes(dist(p, marks[0])+wobble, dist(p, marks[1])-wobble, dist(p, marks[2])))
		if i > 0 {
			ties.Checks = append(ties.Checks, check(i-1, i, dist(p, points[i-1])+0.01))
		}
		points = append(points, p)
	}
	a := adjusted(t, ties)
	for i, p := range points {
		require.InDelta(t, 0, dist(p, a.Points[i]), 0.1)
	}
}

// FuzzTies: whatever the tapes are, there is an error or points that are numbers.
func FuzzTies(f *testing.F) {
	f.Add([]byte{0, 0, 3, 0, 0, 4, 0, 0, 3, 0, 0, 3, 0, 0, 4, 0, 0, 2, 0}, byte(2))
	f.Fuzz(func(t *testing.T, data []byte, marks byte) {
		n := numbers(data)
		ties := outline.Ties{MisfitMax: 100}
		k := 2 + int(marks%3)
		for i := 0; i+1 < len(n) && len(ties.Marks) < k; i += 2 {
			ties.Marks = append(ties.Marks, pt(n[i], n[i+1]))
		}
		n = n[min(len(n), 2*k):]
		for ; len(n) > k; n = n[k+1:] {
			ties.Points = append(ties.Points, tapes(n[:k]...))
			if i := len(ties.Points) - 1; i > 0 {
				ties.Checks = append(ties.Checks, check(i-1, i, n[k]))
			}
		}
		a, err := outline.Adjust(ties)
		if (a == nil) == (err == nil) {
			t.Fatal("neither an adjustment nor an error, or both")
		}
		if err != nil {
			_ = err.Error()
			return
		}
		for _, p := range a.Points {
			if x := float64(p.X) + float64(p.Y); math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v", a)
			}
		}
		if !(a.Greatest >= 0) || !(a.RMS <= a.Greatest+1e-9) {
			t.Fatalf("%+v", a)
		}
	})
}
