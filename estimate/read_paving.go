package estimate

import (
	"strconv"

	"bedline/estimate/bond"
	"bedline/estimate/course"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// maxPaved is how many paved areas a job may have; the contract states the same.
const maxPaved = 50

// third is the running bond whose rows are moved by a third of a unit.
const third = "third"

// pavedAreas reads the paved areas, after the beds.
func (b *jobReader) pavedAreas(r document.Reader, job *Job) {
	r.Each("paving", document.Optional, 0, maxPaved, func(_ int, v document.Value) {
		if pr, ok := v.Object(); ok {
			if area, ok := b.paved(pr); ok {
				job.Paving = append(job.Paving, area)
			}
		}
	})
}

func (b *jobReader) paved(r document.Reader) (PavedArea, bool) {
	b.anything = true
	p := PavedArea{Pointer: r.Pointer()}
	ok := true
	if p.ID, ok = b.id(r); !ok {
		p.ID = "paving at " + r.Pointer()
	}
	if r.Has("in_bed") {
		p.InBed, _ = r.Key("in_bed", document.Optional)
		if p.InBed != "" && !b.bedIDs[p.InBed] {
			b.faults.Add(r.At("in_bed"), codeUnknownBed, "is the id of no bed of the job", `"garage"`)
			p.InBed = ""
		}
	}
	if or, found := r.Object("outline", document.Required); found {
		p.Outline = b.outline(or)
		b.adjusted, b.ringTies = nil, nil
	}
	p.Unit = b.material(r, "unit", document.Required, UnitMaterial)
	bondOK := b.bond(r, &p)
	b.start(r, &p)
	b.fieldJoint(r, &p)
	if br, found := r.Object("border", document.Optional); found {
		p.Border = b.border(br, &p)
	}
	p.Laying.Reuse = true
	if reuse, found := r.Bool("reuse_offcuts", document.Optional); found {
		p.Laying.Reuse = reuse
	}
	p.Reveal, _ = r.Length("reveal", document.Optional, document.NotNegative)
	p.Base = b.layerOf(r, "base")
	p.Sand = b.layerOf(r, "sand")
	p.Clearance, _ = r.Length("side_clearance", document.Optional, document.NotNegative)
	p.Grade = b.grade(r, p.Outline)
	r.Close()
	if p.Unit == nil || p.Outline == nil || !bondOK {
		return p, false
	}
	p.Laying.UnitLength, p.Laying.UnitWidth = max(p.Unit.Length, p.Unit.Width), min(p.Unit.Length, p.Unit.Width)
	p.Laying.LeastPiece = b.catalogue.LeastPiece
	b.reveal(r, p.Reveal, p.Unit)
	return p, true
}

// bond reads the bond and the offset of its rows.
func (b *jobReader) bond(r document.Reader, p *PavedArea) bool {
	name, ok := r.Choice("bond", document.Required, "stack", "running", third, "herringbone_45", "herringbone_90", "basket_weave")
	offset, given := r.Number("offset", document.Optional, 0, 1)
	switch {
	case !ok:
		return false
	case given && name != "running":
		b.faults.Add(r.At("offset"), codeConflict, "belongs to running bond only", "")
	case given:
		share := measure.Factor(offset)
		p.Laying.Offset = &share
	case name == third:
		share := measure.Factor(1.0 / 3)
		p.Laying.Offset = &share
	}
	p.Bond = name
	if name == third {
		name = "running"
	}
	p.Laying.Bond, _ = bond.ParseBond(name)
	return true
}

// start reads where and in which direction the field is laid. A start without a direction runs along side 0.
func (b *jobReader) start(r document.Reader, p *PavedArea) {
	sides := 0
	if p.Outline != nil {
		sides = p.Outline.Sides()
	}
	if degrees, ok := r.Number("direction", document.Optional, -360, 360); ok {
		along := measure.Degrees(float64(degrees))
		p.Laying.Direction = &along
	}
	if r.Has("along_side") {
		side, ok := r.Int("along_side", document.Optional, 0, maxPoints-1)
		switch {
		case r.Has("direction"):
			b.faults.Add(r.At("along_side"), codeConflict, "is given beside a direction: give one of the two", "")
		case ok && sides > 0 && side >= sides:
			b.faults.Add(r.At("along_side"), codeUnknownSide, "the outline has no such side: they are numbered from 0 to "+strconv.Itoa(sides-1), "0")
		case ok && sides > 0:
			if from, to, straight := p.Outline.SideLine(side); straight {
				along := measure.Atan2(float64(to.Y-from.Y), float64(to.X-from.X))
				p.Laying.Direction = &along
			} else {
				b.faults.Add(r.At("along_side"), codeUnknownSide, "is an arc: rows run along a straight side, or in a direction in degrees", "")
			}
		}
	}
	sr, found := r.Object("start", document.Optional)
	if !found {
		return
	}
	if at, ok := b.point(sr, "at", document.Required); ok {
		p.Laying.Start = &at
	}
	if degrees, ok := sr.Number("direction", document.Optional, -360, 360); ok {
		if r.Has("direction") || r.Has("along_side") {
			b.faults.Add(sr.At("direction"), codeConflict, "is given beside the direction of the area: give one of the two", "")
		}
		along := measure.Degrees(float64(degrees))
		p.Laying.Direction = &along
	}
	sr.Close()
	if p.Laying.Start != nil && p.Laying.Direction == nil && p.Outline != nil {
		along := measure.Angle(0)
		for i := range sides { // side 0, or the first that is straight
			if from, to, straight := p.Outline.SideLine(i); straight {
				along = measure.Atan2(float64(to.Y-from.Y), float64(to.X-from.X))
				break
			}
		}
		p.Laying.Direction = &along
	}
}

// fieldJoint reads the joints of the field; the border fills its own with the same.
func (b *jobReader) fieldJoint(r document.Reader, p *PavedArea) {
	given := false
	if jr, ok := r.Object("joint", document.Optional); ok {
		p.Laying.Joint, _ = jr.Length("width", document.Required, document.NotNegative)
		p.JointMax, given = jr.Length("max", document.Optional, document.NotNegative)
		p.FillDepth, _ = jr.Length("depth", document.Optional, document.Positive)
		if jr.Has("fill") {
			p.Fill = b.material(jr, "fill", document.Optional, LooseMaterial)
		}
		if given && p.JointMax < p.Laying.Joint {
			b.faults.Add(jr.At("max"), "out_of_range", "is less than the joint's width", `"3/16 in"`)
		}
		if p.Unit != nil && p.FillDepth > p.Unit.Thickness {
			b.faults.Add(jr.At("depth"), "out_of_range", "is more than the unit is thick", `"1 in"`)
			p.FillDepth = 0
		}
		if p.Unit != nil && p.Laying.Joint >= min(p.Unit.Length, p.Unit.Width) {
			b.faults.Add(jr.At("width"), "out_of_range", "is no less than the unit's width", `"1/8 in"`)
			p.Laying.Joint = 0
		}
		jr.Close()
	}
	if !given && p.Unit != nil {
		p.JointMax = max(p.Laying.Joint, p.Unit.JointMax)
	}
}

// border reads the course round a paved area.
func (b *jobReader) border(r document.Reader, p *PavedArea) *BorderSpec {
	spec := &BorderSpec{Pointer: r.Pointer(), Unit: p.Unit, UnitPointer: p.Pointer + "/unit"}
	if r.Has("unit") {
		spec.Unit, spec.UnitPointer = b.material(r, "unit", document.Optional, UnitMaterial), r.At("unit")
	}
	kind, kindOK := r.Choice("course", document.Required, "sailor", "soldier")
	spec.Laying.Kind = course.Sailor
	if kind == "soldier" {
		spec.Laying.Kind = course.Soldier
	}
	spec.Laying.Curves = b.curves(r)
	spec.Laying.Joint = p.Laying.Joint
	most, given := p.JointMax, false
	if jr, ok := r.Object("joint", document.Optional); ok {
		spec.Laying.Joint, _ = jr.Length("width", document.Required, document.NotNegative)
		most, given = jr.Length("max", document.Optional, document.NotNegative)
		if given && most < spec.Laying.Joint {
			b.faults.Add(jr.At("max"), "out_of_range", "is less than the joint's width", `"3/16 in"`)
		}
		if spec.Unit != nil && spec.Laying.Joint >= min(spec.Unit.Length, spec.Unit.Width) {
			b.faults.Add(jr.At("width"), "out_of_range", "is no less than the unit's width", `"1/8 in"`)
			spec.Laying.Joint = 0
		}
		jr.Close()
	}
	r.Close()
	if spec.Unit == nil || !kindOK {
		return nil
	}
	u := spec.Unit
	spec.Laying.Unit = course.Unit{Length: u.Length, Width: u.Width, Thickness: u.Thickness}
	if !given {
		most = max(most, spec.Laying.Joint, u.JointMax)
	}
	spec.Laying.JointMax = most
	if p.FillDepth > 0 {
		spec.Laying.JointDepth = min(p.FillDepth, u.Thickness)
	}
	spec.Laying.LeastPiece = b.catalogue.LeastPiece
	return spec
}

// curves reads how units are laid on arcs.
func (b *jobReader) curves(r document.Reader) course.Curves {
	word, _ := r.Choice("curves", document.Optional, "auto", "cut", "open")
	switch word {
	case "cut":
		return course.CutCurves
	case "open":
		return course.OpenCurves
	}
	return course.AutoCurves
}
