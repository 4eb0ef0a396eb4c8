package estimate

import (
	"bedline/estimate/document"
	"bedline/estimate/outline"
)

// setOut reads how the job is to be set out.
func (b *jobReader) setOut(r document.Reader) SetOutSpec {
	spec := SetOutSpec{Pointer: r.Pointer()}
	origin, towards := r.Has("origin"), r.Has("towards")
	var originOK, towardsOK bool
	if origin {
		spec.Origin, originOK = b.placeable(r, "origin")
	}
	if towards {
		spec.Towards, towardsOK = b.placeable(r, "towards")
	}
	switch {
	case origin && !towards:
		b.faults.Add(r.At("towards"), codeMissing, "is missing: x has to run from the origin towards a second mark", `["22 ft","0 ft"]`)
	case towards && !origin:
		b.faults.Add(r.At("origin"), codeMissing, "is missing: x has to run from an origin towards the mark", `["0 ft","0 ft"]`)
	case originOK && towardsOK:
		if _, spec.Stated = outline.NewFrame(spec.Origin, spec.Towards); !spec.Stated {
			b.faults.Add(r.At("towards"), codeDuplicatePoint, "is the origin, or less than 1 mm from it: x has to run from the origin towards a second mark, best as far away as the job is long", `["22 ft","0 ft"]`)
		}
	}
	spec.Every, _ = r.Length("every", document.Optional, document.Positive)
	r.Close()
	return spec
}

// placeable reads a point that is not too far out to take coordinates from.
func (b *jobReader) placeable(r document.Reader, member string) (outline.Point, bool) {
	p, ok := b.point(r, member, document.Optional)
	if ok && (max(p.X, -p.X) > farthest || max(p.Y, -p.Y) > farthest) {
		b.faults.Add(r.At(member), codeTooLarge, tooFarOut, "")
		return p, false
	}
	return p, ok
}
