package api

import "strconv"

func appendHole(b []byte, v *Hole) []byte {
	b = appendOpenBedLine(b, &v.BedLine)
	b = append(b, `,"islands":`...)
	b = appendList(b, v.Islands, appendBedLine)
	return append(b, '}')
}

func appendBedLine(b []byte, v *BedLine) []byte { return append(appendOpenBedLine(b, v), '}') }

// appendOpenBedLine leaves the object open for more members.
func appendOpenBedLine(b []byte, v *BedLine) []byte {
	b = append(b, `{"first_side":`...)
	b = strconv.AppendInt(b, int64(v.FirstSide), 10)
	b = append(b, `,"sides":`...)
	b = strconv.AppendInt(b, int64(v.Sides), 10)
	b = append(b, `,"area":`...)
	b = appendQuantity(b, &v.Area)
	b = append(b, `,"perimeter":`...)
	b = appendQuantity(b, &v.Perimeter)
	if v.Ties != nil {
		b = append(b, `,"ties":`...)
		b = appendTies(b, v.Ties)
	}
	return b
}

func appendRunEnd(b []byte, v *RunEnd) []byte {
	b = append(b, `{"kind":`...)
	b = appendText(b, v.Kind)
	if v.Corner != nil {
		b = append(b, `,"corner":`...)
		b = strconv.AppendInt(b, int64(*v.Corner), 10)
	}
	b = append(b, `,"x":`...)
	b = appendQuantity(b, &v.X)
	b = append(b, `,"y":`...)
	b = appendQuantity(b, &v.Y)
	if v.Gap != nil {
		b = append(b, `,"gap":`...)
		b = appendQuantity(b, v.Gap)
	}
	if v.Turn != nil {
		b = append(b, `,"turn":`...)
		b = appendQuantity(b, v.Turn)
	}
	return append(b, '}')
}

func appendUncut(b []byte, v *Uncut) []byte {
	b = append(b, '{')
	if v.BedInside != nil {
		b = append(b, `"bed_inside":`...)
		b = appendQuantity(b, v.BedInside)
	}
	if v.BedOutside != nil {
		if v.BedInside != nil {
			b = append(b, ',')
		}
		b = append(b, `"bed_outside":`...)
		b = appendQuantity(b, v.BedOutside)
	}
	return append(b, '}')
}

func appendWedge(b []byte, v *Wedge) []byte {
	b = append(b, `{"angle":`...)
	b = appendQuantity(b, &v.Angle)
	b = append(b, `,"off":`...)
	b = appendQuantity(b, &v.Off)
	b = append(b, `,"cut_length":`...)
	b = appendQuantity(b, &v.CutLength)
	return append(b, '}')
}
