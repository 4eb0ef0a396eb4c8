package api

import "strconv"

func appendSetOut(b []byte, v *SetOut) []byte {
	b = append(b, '{')
	if v.Origin != nil {
		b = append(b, `"origin":`...)
		b = appendSetOutPoint(b, v.Origin)
		b = append(b, ',')
	}
	if v.Towards != nil {
		b = append(b, `"towards":`...)
		b = appendSetOutPoint(b, v.Towards)
		b = append(b, ',')
	}
	b = append(b, `"every":`...)
	b = appendQuantity(b, &v.Every)
	b = append(b, `,"parts":`...)
	b = appendList(b, v.Parts, appendStakedPart)
	b = append(b, `,"gauges":`...)
	b = appendList(b, v.Gauges, appendGauge)
	return append(b, '}')
}

func appendSetOutPoint(b []byte, v *SetOutPoint) []byte {
	b = append(b, `{"x":`...)
	b = appendQuantity(b, &v.X)
	b = append(b, `,"y":`...)
	b = appendQuantity(b, &v.Y)
	return append(b, '}')
}

func appendStakedPart(b []byte, v *StakedPart) []byte {
	b = append(b, `{"id":`...)
	b = appendText(b, v.ID)
	b = append(b, `,"kind":`...)
	b = appendText(b, v.Kind)
	if v.Hole != nil {
		b = append(b, `,"hole":`...)
		b = strconv.AppendInt(b, int64(*v.Hole), 10)
	}
	if v.Island != nil {
		b = append(b, `,"island":`...)
		b = strconv.AppendInt(b, int64(*v.Island), 10)
	}
	b = append(b, `,"baseline":{"first":`...)
	b = appendText(b, v.Baseline.First)
	b = append(b, `,"second":`...)
	b = appendText(b, v.Baseline.Second)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Baseline.Length)
	b = append(b, `},"stakes":`...)
	b = appendList(b, v.Stakes, appendStake)
	b = append(b, `,"pivots":`...)
	b = appendList(b, v.Pivots, appendPivot)
	b = append(b, `,"measures":`...)
	b = appendList(b, v.Measures, appendMeasure)
	if v.EqualDiagonals {
		b = append(b, `,"equal_diagonals":true`...)
	}
	b = append(b, `,"right_angles":`...)
	b = appendList(b, v.RightAngles, appendRightAngle)
	b = append(b, `,"curves":`...)
	b = appendList(b, v.Curves, appendCurve)
	if len(v.Stations) > 0 {
		b = append(b, `,"stations":`...)
		b = appendList(b, v.Stations, appendStation)
	}
	return append(b, '}')
}

// appendNumbers writes the number of a side or corner where there is one.
func appendNumbers(b []byte, side, corner *int) []byte {
	if side != nil {
		b = append(b, `,"side":`...)
		b = strconv.AppendInt(b, int64(*side), 10)
	}
	if corner != nil {
		b = append(b, `,"corner":`...)
		b = strconv.AppendInt(b, int64(*corner), 10)
	}
	return b
}

func appendStake(b []byte, v *Stake) []byte {
	b = append(b, `{"label":`...)
	b = appendText(b, v.Label)
	b = append(b, `,"marks":`...)
	b = appendText(b, v.Marks)
	b = appendNumbers(b, v.Side, v.Corner)
	b = append(b, `,"x":`...)
	b = appendQuantity(b, &v.X)
	b = append(b, `,"y":`...)
	b = appendQuantity(b, &v.Y)
	b = append(b, `,"to_first":`...)
	b = appendQuantity(b, &v.ToFirst)
	b = append(b, `,"to_second":`...)
	b = appendQuantity(b, &v.ToSecond)
	if v.Down != nil {
		b = append(b, `,"down":`...)
		b = appendQuantity(b, v.Down)
	}
	return append(b, '}')
}

func appendPivot(b []byte, v *Pivot) []byte {
	b = append(b, `{"stake":`...)
	b = appendText(b, v.Stake)
	b = appendNumbers(b, v.Side, v.Corner)
	b = append(b, `,"from":`...)
	b = appendText(b, v.From)
	b = append(b, `,"to":`...)
	b = appendText(b, v.To)
	b = append(b, `,"radius":`...)
	b = appendQuantity(b, &v.Radius)
	b = append(b, `,"sweep":`...)
	b = appendQuantity(b, &v.Sweep)
	b = append(b, `,"turn":`...)
	b = appendText(b, v.Turn)
	b = append(b, `,"chord":`...)
	b = appendQuantity(b, &v.Chord)
	b = append(b, `,"rise":`...)
	b = appendQuantity(b, &v.Rise)
	return append(b, '}')
}

func appendMeasure(b []byte, v *Measure) []byte {
	b = append(b, `{"kind":`...)
	b = appendText(b, v.Kind)
	b = append(b, `,"from":`...)
	b = appendText(b, v.From)
	b = append(b, `,"to":`...)
	b = appendText(b, v.To)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	return append(b, '}')
}

func appendRightAngle(b []byte, v *RightAngle) []byte {
	b = append(b, `{"at":`...)
	b = appendText(b, v.At)
	b = append(b, `,"first":`...)
	b = appendLeg(b, &v.First)
	b = append(b, `,"second":`...)
	b = appendLeg(b, &v.Second)
	b = append(b, `,"hypotenuse":`...)
	b = appendQuantity(b, &v.Hypotenuse)
	return append(b, '}')
}

func appendLeg(b []byte, v *Leg) []byte {
	b = append(b, `{"towards":`...)
	b = appendText(b, v.Towards)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	return append(b, '}')
}

func appendCurve(b []byte, v *Curve) []byte {
	b = append(b, `{"from":`...)
	b = appendText(b, v.From)
	b = append(b, `,"to":`...)
	b = appendText(b, v.To)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	b = append(b, `,"marks":`...)
	b = appendList(b, v.Marks, appendCurveMark)
	return append(b, '}')
}

func appendCurveMark(b []byte, v *CurveMark) []byte {
	b = append(b, `{"along":`...)
	b = appendQuantity(b, &v.Along)
	b = append(b, `,"x":`...)
	b = appendQuantity(b, &v.X)
	b = append(b, `,"y":`...)
	b = appendQuantity(b, &v.Y)
	if v.Stake != "" {
		b = append(b, `,"stake":`...)
		b = appendText(b, v.Stake)
	}
	return append(b, '}')
}

func appendStation(b []byte, v *Station) []byte {
	b = append(b, `{"along":`...)
	b = appendQuantity(b, &v.Along)
	b = append(b, `,"out":`...)
	b = appendQuantity(b, &v.Out)
	b = append(b, `,"stake":`...)
	b = appendText(b, v.Stake)
	return append(b, '}')
}

func appendGauge(b []byte, v *Gauge) []byte {
	b = append(b, `{"zone":`...)
	b = appendText(b, v.Zone)
	b = append(b, `,"part":`...)
	b = appendText(b, v.Part)
	b = append(b, `,"marks":`...)
	b = appendList(b, v.Marks, appendDepthMark)
	return append(b, '}')
}

func appendDepthMark(b []byte, v *DepthMark) []byte {
	b = append(b, `{"mark":`...)
	b = appendText(b, v.Mark)
	if v.Lift != nil {
		b = append(b, `,"lift":`...)
		b = strconv.AppendInt(b, int64(*v.Lift), 10)
	}
	b = append(b, `,"down":`...)
	b = appendQuantity(b, &v.Down)
	return append(b, '}')
}
