package estimate

import "bedline/estimate/measure"

// ledger gathers the lines of a takeoff: one per key and material, in the order in which they first come up.
type ledger struct {
	lines []MaterialLine
}

// line is the line of a key and material, made when it is new.
func (l *ledger) line(key LineKey, m *Material, kind AmountKind) *MaterialLine {
	for i := range l.lines {
		if l.lines[i].Key == key && l.lines[i].Material.Key == m.Key {
			return &l.lines[i]
		}
	}
	l.lines = append(l.lines, MaterialLine{Key: key, Material: m, Measured: Amount{Kind: kind}})
	return &l.lines[len(l.lines)-1]
}

// add adds a share to a line, with the step that led to it.
func (l *MaterialLine) add(zone string, value float64, label, expression, result string) {
	l.Measured.Value += value
	l.Workings = append(l.Workings, Working{Label: label, Expression: expression, Result: result})
	for i := range l.Zones {
		if l.Zones[i].ID == zone {
			l.Zones[i].Share.Value += value
			return
		}
	}
	l.Zones = append(l.Zones, Zone{ID: zone, Share: Amount{Kind: l.Measured.Kind, Value: value}})
}

// beds reckons areas and perimeters, and the decorative stone on the open ground.
func (t *taker) beds() {
	s := &t.ground
	for i := range t.job.Beds {
		bed := &t.job.Beds[i]
		out := BedTakeoff{ID: bed.ID, Area: bed.Outline.Area(), Perimeter: bed.Outline.Perimeter(), Ties: bed.Ties, Holes: bed.holes()}
		var underCourse, underSlabs, underPaving, underStanding measure.Area
		if k, ok := t.edged[i]; ok {
			out.EdgedLength = t.out.Courses[k].Course.EdgedLength
		}
		for _, c := range s.cells {
			switch {
			case !c.covered(s.outlines[i]):
			case c.onCourse: // the edging of another bed lies on this one's ground too
				underCourse += c.area
			case s.standsOn(c):
				underStanding += c.area
			default:
				open := t.open(c)
				out.NetStoneArea += open
				if c.coveredByAny(s.fields) {
					underPaving += c.area
				} else {
					underSlabs += c.area - open
				}
			}
		}
		t.out.Beds = append(t.out.Beds, out)
		if bed.Stone == nil {
			continue
		}
		line := t.ledger.line(DecorativeStone, bed.Stone.Material, VolumeAmount)
		t.outlineWorking(line, bed)
		p := t.pencil
		taken := ""
		if underPaving > trifle {
			taken = " - paving " + p.area(underPaving)
		}
		if underStanding > trifle {
			taken += " - planters, trees and posts " + p.area(underStanding)
		}
		line.Workings = append(line.Workings, Working{
			Label:      bed.ID + ": net area for stone",
			Expression: "outline " + p.area(out.Area) + " - course " + p.area(underCourse) + " - slabs " + p.area(underSlabs) + taken,
			Result:     p.area(out.NetStoneArea),
		})
		v := out.NetStoneArea.AtDepth(bed.Stone.Depth)
		line.add(bed.ID, float64(v), bed.ID+": stone as laid", p.layer(out.NetStoneArea, bed.Stone.Depth), p.volume(v))
	}
}

// layers reckons base and bedding sand over the ground of their trenches, pads and fields, an overlap with the deeper.
func (t *taker) layers() {
	for d, dig := range t.out.Diggings {
		area := t.layerArea[d]
		if area <= trifle { // rounding error beside a deeper pad that takes all of the ground
			continue
		}
		switch dig.Part {
		case TrenchPart:
			c := t.courseOf(dig.Zone)
			t.layer(Base, c.Spec.Base, dig.Zone, "trench", area, c.BaseDepth)
			t.layer(BeddingSand, c.Spec.Sand, dig.Zone, "trench", area, c.SandDepth)
		case PadPart:
			s := t.slabsOf(dig.Zone)
			t.layer(Base, s.Group.Base, dig.Zone, "pad", area, s.BaseDepth)
			t.layer(BeddingSand, s.Group.Sand, dig.Zone, "pad", area, s.SandDepth)
		case FieldPart:
			f := t.pavingOf(dig.Zone)
			t.layer(Base, f.Area.Base, dig.Zone, "field", area, f.BaseDepth)
			t.layer(BeddingSand, f.Area.Sand, dig.Zone, "field", area, f.SandDepth)
		}
	}
}

func (t *taker) layer(key LineKey, l *Layer, zone, part string, area measure.Area, depth measure.Length) {
	if l == nil {
		return
	}
	p := t.pencil
	line := t.ledger.line(key, l.Material, VolumeAmount)
	v := area.AtDepth(depth)
	if extra := depth - l.Depth; extra > measure.Millimetre/1000 {
		line.Workings = append(line.Workings, Working{
			Label:      zone + ": depth laid, with what rounding the digging adds",
			Expression: p.depth(l.Depth) + " + " + p.depth(extra),
			Result:     p.depth(depth),
		})
	}
	line.add(zone, float64(v), zone+": as laid in the "+part, p.layer(area, depth), p.volume(v))
	if key == Base {
		t.baseVolume += v
		t.bases = append(t.bases, baseLayer{zone, part, area, l.Depth, depth})
	} else {
		t.sandArea += area
	}
}

func (t *taker) courseOf(zone string) *CourseTakeoff {
	for k := range t.out.Courses {
		if t.out.Courses[k].Bed == zone {
			return &t.out.Courses[k]
		}
	}
	return nil
}

func (t *taker) slabsOf(zone string) *SlabTakeoff {
	for k := range t.out.Slabs {
		if t.out.Slabs[k].ID == zone {
			return &t.out.Slabs[k]
		}
	}
	return nil
}

// outlineWorking shows how the area of a bed comes about, so that it can be followed on paper.
func (t *taker) outlineWorking(line *MaterialLine, bed *Bed) {
	for _, w := range areaWorkings(bed.Outline, t.pencil) {
		w.Label = bed.ID + ": " + w.Label
		line.Workings = append(line.Workings, w)
	}
}
