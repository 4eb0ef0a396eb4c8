package api

import (
	"bedline/estimate"
	"bedline/estimate/outline"
)

var (
	stakeWords = [...]string{outline.CornerStake: "corner", outline.TangentStake: "tangent", outline.JointStake: "joint",
		outline.StartStake: "start", outline.PivotStake: "pivot"}
	spanWords = [...]string{outline.SideSpan: "side", outline.DiagonalSpan: "diagonal", outline.CrossSpan: "cross"}
)

func (w writer) setOut(s *estimate.SetOutTakeoff) SetOut {
	out := SetOut{Every: w.length(s.Every), Parts: make([]StakedPart, len(s.Parts)), Gauges: make([]Gauge, len(s.Gauges))}
	if s.Spec.Stated {
		out.Origin, out.Towards = w.setOutPoint(s.Spec.Origin), w.setOutPoint(s.Spec.Towards)
	}
	for i := range s.Parts {
		w.stakedPart(&out.Parts[i], &s.Parts[i])
	}
	for i := range s.Gauges {
		g := &s.Gauges[i]
		marks := make([]DepthMark, len(g.Marks))
		for k := range g.Marks {
			m := &g.Marks[k]
			marks[k] = DepthMark{Mark: string(m.Kind), Down: w.depth(m.Down)}
			if m.Lift > 0 {
				marks[k].Lift = &m.Lift
			}
		}
		out.Gauges[i] = Gauge{Zone: g.Zone, Part: string(g.Part), Marks: marks}
	}
	return out
}

func (w writer) setOutPoint(p outline.Point) *SetOutPoint {
	return &SetOutPoint{X: w.length(p.X), Y: w.length(p.Y)}
}

// numbered points at the number of a side, corner, hole or island; nil for None.
func numbered(i *int) *int {
	if *i == outline.None {
		return nil
	}
	return i
}

func (w writer) stakedPart(out *StakedPart, p *estimate.StakedPart) {
	label := func(i int) string { return p.Stakes[i].Label }
	*out = StakedPart{ID: p.ID, Kind: string(p.Kind), Hole: numbered(&p.Hole), Island: numbered(&p.Island),
		Baseline: Baseline{First: p.Baseline.First, Second: p.Baseline.Second, Length: w.length(p.Baseline.Length)},
		Stakes:   make([]Stake, len(p.Stakes)), Pivots: make([]Pivot, len(p.Pivots)), Measures: make([]Measure, len(p.Spans)), EqualDiagonals: p.EqualDiagonals,
		RightAngles: make([]RightAngle, len(p.RightAngles)), Curves: make([]Curve, len(p.Curves))}
	downs := make([]Quantity, len(p.Stakes))
	for i := range p.Stakes {
		s := &p.Stakes[i]
		out.Stakes[i] = Stake{Label: s.Label, Marks: stakeWords[s.Kind], Side: numbered(&s.Side), Corner: numbered(&s.Corner),
			X: w.length(s.At.X), Y: w.length(s.At.Y), ToFirst: w.length(s.ToFirst), ToSecond: w.length(s.ToSecond)}
		if s.Kind != outline.PivotStake {
			downs[i] = w.depth(s.Down)
			out.Stakes[i].Down = &downs[i]
		}
	}
	for i := range p.Pivots {
		v := &p.Pivots[i]
		sweep, turn := v.Sweep, "left"
		if sweep < 0 {
			sweep, turn = -sweep, "right"
		}
		out.Pivots[i] = Pivot{Stake: label(v.Stake), Side: numbered(&v.Side), Corner: numbered(&v.Corner), From: label(v.From), To: label(v.To),
			Radius: w.length(v.Radius), Sweep: w.angle(sweep), Turn: turn, Chord: w.length(v.Chord), Rise: w.length(v.Rise)}
	}
	for i, s := range p.Spans {
		out.Measures[i] = Measure{Kind: spanWords[s.Kind], From: label(s.From), To: label(s.To), Length: w.length(s.Length)}
	}
	for i := range p.RightAngles {
		a := &p.RightAngles[i]
		leg := func(l outline.Leg) Leg { return Leg{Towards: label(l.Towards), Length: w.length(l.Length)} }
		out.RightAngles[i] = RightAngle{At: label(a.At), First: leg(a.Legs[0]), Second: leg(a.Legs[1]), Hypotenuse: w.length(a.Hypotenuse)}
	}
	for i := range p.Curves {
		c := &p.Curves[i]
		marks := make([]CurveMark, len(c.Marks))
		for k, m := range c.Marks {
			marks[k] = CurveMark{Along: w.length(m.Along), X: w.length(m.At.X), Y: w.length(m.At.Y)}
			if m.Stake != outline.None {
				marks[k].Stake = label(m.Stake)
			}
		}
		out.Curves[i] = Curve{From: label(c.From), To: label(c.To), Length: w.length(c.Length), Marks: marks}
	}
	for _, s := range p.Taped {
		out.Stations = append(out.Stations, Station{Along: w.length(s.Along), Out: w.length(s.Out), Stake: label(s.Stake)})
	}
}
