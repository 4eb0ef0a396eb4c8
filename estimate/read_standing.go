package estimate

import (
	"strconv"

	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// The limits of what stands in a job; the contract states the same.
const (
	maxPlanters  = 100
	maxObstacles = 100
	maxMixParts  = 12
	leastPart    = 0.001
	mostParts    = 1000
	// thickestTrunk is beyond any tree: a trunk above it is a slip of its unit (common practice).
	thickestTrunk = 15 * measure.Metre
)

// standing reads planters and obstacles. Beds are read before, so every id of a bed is known by now.
func (b *jobReader) standing(r document.Reader, job *Job) {
	r.Each("planters", document.Optional, 0, maxPlanters, func(_ int, v document.Value) {
		if pr, ok := v.Object(); ok {
			if p, ok := b.planter(pr); ok {
				job.Planters = append(job.Planters, p)
			}
		}
	})
	r.Each("obstacles", document.Optional, 0, maxObstacles, func(i int, v document.Value) {
		if or, ok := v.Object(); ok {
			if o, ok := b.obstacle(or, i); ok {
				job.Obstacles = append(job.Obstacles, o)
			}
		}
	})
}

// inBed reads the optional id of the bed that something stands in.
func (b *jobReader) inBed(r document.Reader) string {
	if !r.Has("in_bed") {
		return ""
	}
	id, ok := r.Key("in_bed", document.Optional)
	if ok && !b.bedIDs[id] {
		b.faults.Add(r.At("in_bed"), codeUnknownBed, "is the id of no bed of the job", `"garage"`)
		return ""
	}
	return id
}

// turned reads the degrees that something is turned by.
func turned(r document.Reader) measure.Angle {
	degrees, _ := r.Number("rotate", document.Optional, -360, 360)
	return measure.Degrees(float64(degrees))
}

func (b *jobReader) planter(r document.Reader) (Planter, bool) {
	b.anything = true
	p := Planter{Pointer: r.Pointer()}
	ok := true
	if p.ID, ok = b.id(r); !ok {
		p.ID = "planter at " + r.Pointer()
	}
	p.InBed = b.inBed(r)
	var good [5]bool
	p.Length, good[0] = r.Length("length", document.Required, document.Positive)
	p.Width, good[1] = r.Length("width", document.Required, document.Positive)
	p.Wall, _ = r.Length("wall", document.Optional, document.NotNegative)
	p.Fill, good[2] = r.Length("fill", document.Required, document.Positive)
	p.At, good[3] = b.point(r, "at", document.Required)
	p.Rotate = turned(r)
	p.Mix, good[4] = b.mix(r)
	p.DigUnder, _ = r.Bool("dig_under", document.Optional)
	r.Close()
	if side := min(p.Length, p.Width); good[0] && good[1] && 2*p.Wall >= side {
		b.faults.Add(r.At("wall"), "out_of_range", "leaves nothing inside: a wall on each side of "+both(side)+" has to be thinner than "+both(side/2), quote(exampleLength(side/4)))
	}
	return p, good == [5]bool{true, true, true, true, true}
}

// mix reads the materials of a mix and their parts.
func (b *jobReader) mix(r document.Reader) ([]MixPart, bool) {
	var mix []MixPart
	good := true
	seen := map[string]bool{}
	if !r.Has("mix") {
		b.faults.Add(r.At("mix"), codeMissing, "is missing: it must be a list of materials with their parts", `[{"material":"soil-garden","parts":5},{"material":"compost","parts":3}]`)
		return nil, false
	}
	whole := r.Each("mix", document.Required, 1, maxMixParts, func(_ int, v document.Value) {
		mr, ok := v.Object()
		if !ok {
			good = false
			return
		}
		m := b.material(mr, "material", document.Required, LooseMaterial)
		parts, ok := mr.Number("parts", document.Required, leastPart, mostParts)
		mr.Close()
		if m == nil || !ok {
			good = false
		}
		if m == nil {
			return
		}
		if seen[m.Key] {
			b.faults.Add(mr.At("material"), "duplicate_item", "is in the mix already: give all of its parts there", "")
			good = false
			return
		}
		seen[m.Key] = true
		mix = append(mix, MixPart{Material: m, Parts: parts})
	})
	return mix, whole && good
}

// obstacle reads obstacle i of the request; its kind says which members belong.
func (b *jobReader) obstacle(r document.Reader, i int) (Obstacle, bool) {
	kind, ok := r.Choice("kind", document.Required, string(Tree), string(Post), string(Wall), string(Footing))
	if !ok {
		return Obstacle{}, false // which members belong is not known, so none is called unknown
	}
	o := Obstacle{Kind: ObstacleKind(kind), Number: i, Pointer: r.Pointer()}
	if r.Has("id") {
		o.ID, _ = b.id(r)
	}
	switch o.Kind {
	case Tree:
		ok = b.tree(r, &o)
	case Post:
		ok = b.post(r, &o)
	default:
		ok = b.face(r, &o)
	}
	r.Close()
	return o, ok
}

func (b *jobReader) tree(r document.Reader, o *Obstacle) bool {
	o.InBed = b.inBed(r)
	var placed, sized bool
	o.At, placed = b.point(r, "at", document.Required)
	o.Diameter, sized = r.Length("trunk_diameter", document.Required, document.Positive)
	o.Clear, _ = r.Length("clear", document.Optional, document.NotNegative)
	if sized && o.Diameter > thickestTrunk {
		b.faults.Add(r.At("trunk_diameter"), codeTooLarge, "is thicker than any tree, at most "+both(thickestTrunk)+": check its unit", `"18 in"`)
		return false
	}
	return placed && sized
}

func (b *jobReader) post(r document.Reader, o *Obstacle) bool {
	o.InBed = b.inBed(r)
	var placed bool
	o.At, placed = b.point(r, "at", document.Required)
	diameter, round := r.Length("diameter", document.Optional, document.Positive)
	length, long := r.Length("length", document.Optional, document.Positive)
	width, wide := r.Length("width", document.Optional, document.Positive)
	o.Rotate = turned(r)
	o.Clear, _ = r.Length("clear", document.Optional, document.NotNegative)
	o.DigUnder, _ = r.Bool("dig_under", document.Optional)
	for _, side := range [...]string{"length", "width"} {
		if r.Has("diameter") && r.Has(side) {
			b.faults.Add(r.At(side), codeConflict, "is given beside a diameter: a round post has a diameter, a square one length and width", "")
			return false
		}
	}
	switch {
	case r.Has("diameter"):
		o.Diameter = diameter
		return placed && round
	case !r.Has("length"):
		b.faults.Add(r.At("diameter"), codeMissing, "a post needs its diameter, or its length and its width", `"4 in"`)
		return false
	case !r.Has("width"):
		b.faults.Add(r.At("width"), codeMissing, "a square post needs its width beside its length", `"4 in"`)
		return false
	}
	o.Length, o.Width = length, width
	return placed && long && wide
}

// face reads the line of a wall or footing.
func (b *jobReader) face(r document.Reader, o *Obstacle) bool {
	var starts, ends bool
	o.From, starts = b.point(r, "from", document.Required)
	o.To, ends = b.point(r, "to", document.Required)
	if !starts || !ends {
		return false
	}
	for _, end := range [...]struct {
		member string
		at     outline.Point
	}{{"from", o.From}, {"to", o.To}} {
		if beyond(end.at, end.at) {
			b.faults.Add(r.At(end.member), codeTooLarge, "lies farther out than 1,000 km: check the units of its measures", "")
			return false
		}
	}
	if distance(o.From, o.To) <= measure.Millimetre {
		b.faults.Add(r.At("to"), codeDuplicatePoint, "is the same point as from: give the two ends of the face", "")
		return false
	}
	return true
}

// beyond tells that a box reaches farther out than ground is surveyed.
func beyond(low, high outline.Point) bool {
	return !(min(low.X, low.Y) >= -farthest && max(high.X, high.Y) <= farthest)
}

// openings reads what is done with fabric at planters, trees and posts.
func (b *jobReader) openings(r document.Reader, f *FabricLayer) {
	openings, _ := r.Choice("openings", document.Optional, "cut", "lapped")
	f.Lapped = openings == "lapped"
	f.PinOpenings, _ = r.Bool("pin_openings", document.Optional)
	if f.Lapped && f.PinOpenings {
		b.faults.Add(r.At("pin_openings"), codeConflict, "asks for pins along cut edges, and lapped fabric has none there: leave it out, or have the openings cut", "")
	}
}

// name is what notices call an obstacle.
func (o *Obstacle) name() string {
	if o.ID != "" {
		return string(o.Kind) + " " + o.ID
	}
	return "obstacle " + strconv.Itoa(o.Number) + " (" + string(o.Kind) + ")"
}
