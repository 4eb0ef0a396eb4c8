package estimate

import (
	"strconv"

	"bedline/estimate/course"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// The limits of a job; the contract states the same.
const (
	maxBeds       = 100
	maxSlabGroups = 200
	maxPoints     = 5000
	maxJobPoints  = 10000 // over all outlines of a job
	maxUnits      = 100000
)

// Codes of the faults that the engine finds beyond those of package document.
const (
	codeDuplicateID     = "duplicate_id"
	codeUnknownMaterial = "unknown_material"
	codeWrongKind       = "wrong_material_kind"
	codeUnknownSoil     = "unknown_soil"
	codeUnknownBed      = "unknown_bed"
	codeUnknownSide     = "unknown_side"
	codeUnknownCorner   = "unknown_corner"
	codeConflict        = "conflict"
	codeEmptyJob        = "empty_job"
	codeTooMany         = "too_many"
	codeTooLarge        = "too_large"
	codeCrossing        = "outline_crosses_itself"
	codeRadius          = "radius_does_not_fit"
	codeDuplicatePoint  = "duplicate_point"
	codeTooSmall        = "outline_too_small"
	codeOutsideBed      = "outside_bed"
	codeTightRadius     = "radius_too_tight"
	codeReveal          = "reveal_above_unit"
	codeUnitSize        = "unit_size"
	codeMissing         = "missing"
	codeNotClosed       = "not_closed"
	codeStraightArc     = "straight_arc"
	codeNotRising       = "not_rising"
	codeFewTapes        = "too_few_tapes"
	codeWrongSide       = "wrong_side"
	codeMisfit          = "ties_do_not_meet"
	codeNoField         = "no_field"
)

// ReadJob reads the members of a job that the engine understands: all but price_list, price_list_version, supply and
// commercial, which the caller reads from r before or after. Faults go to faults; what could be read is returned, so
// that Measure can look for the faults of the geometry too. A nil catalogue leaves materials and soils unchecked.
func ReadJob(r document.Reader, catalogue *Catalogue, listSystem measure.System, faults *document.Faults) *Job {
	b := &jobReader{faults: faults, catalogue: catalogue, ids: map[string]bool{}, bedIDs: map[string]bool{}}
	job := &Job{System: listSystem, Catalogue: catalogue, Allowances: map[LineKey]measure.Factor{}}
	job.Reference, _ = r.Text("reference", document.Optional, 64)
	job.Title, _ = r.Text("title", document.Optional, 200)
	if name, ok := r.Choice("units", document.Optional, "us", "metric"); ok {
		job.System, _ = measure.ParseSystem(name)
	}
	if g, ok := r.Object("ground", document.Required); ok {
		job.Ground = b.ground(g)
	}
	r.Each("beds", document.Optional, 0, maxBeds, func(_ int, v document.Value) {
		if br, ok := v.Object(); ok {
			if bed, ok := b.bed(br); ok {
				job.Beds = append(job.Beds, bed)
			}
		}
	})
	r.Each("slabs", document.Optional, 0, maxSlabGroups, func(_ int, v document.Value) {
		if sr, ok := v.Object(); ok {
			if group, ok := b.slabs(sr); ok {
				job.Slabs = append(job.Slabs, group)
			}
		}
	})
	b.pavedAreas(r, job)
	b.standing(r, job)
	if ar, ok := r.Object("allowances", document.Optional); ok {
		for _, key := range allowanceKeys {
			if percent, ok := ar.Number(string(key), document.Optional, 0, 200); ok {
				job.Allowances[key] = percent / 100
			}
		}
		ar.Close()
	}
	if sr, ok := r.Object("set_out", document.Optional); ok {
		job.SetOut = b.setOut(sr)
	}
	if !b.anything && !faults.Under(r.At("beds")) && !faults.Under(r.At("slabs")) && !faults.Under(r.At("paving")) && !faults.Under(r.At("planters")) {
		faults.Add("", codeEmptyJob, "the job has neither beds nor slabs, paving or planters: there is nothing to estimate",
			`{"beds":[{"id":"garage","outline":{"kind":"rectangle","length":"12 ft","width":"4 ft"}}]}`)
	}
	return job
}

// allowanceKeys are the lines that an allowance may be asked for.
var allowanceKeys = [...]LineKey{Edging, Base, BeddingSand, JointFill, Fabric, DecorativeStone, Slabs, Paving, PlanterSoil, Pins}

type jobReader struct {
	faults    *document.Faults
	catalogue *Catalogue
	ids       map[string]bool // ids of beds, slab groups and paved areas seen so far
	bedIDs    map[string]bool
	points    int
	tapes     int
	anything  bool
	adjusted  *outline.Adjustment // of the ties read last
	ringTies  []RingTies          // of the holes and islands of the outline read last
	full      bool                // said that there are too many points

	spotLevels int
}

func (b *jobReader) ground(r document.Reader) Ground {
	var g Ground
	if key, ok := r.Key("soil", document.Required); ok && b.catalogue != nil {
		if soil, ok := b.catalogue.Soil(key); ok {
			g.Soil = *soil
		} else {
			b.faults.Add(r.At("soil"), codeUnknownSoil, "is no soil of the price list"+suggest(key, b.catalogue.SoilKeys()), quote(first(b.catalogue.SoilKeys())))
		}
	}
	if cover, ok := r.Choice("cover", document.Required, string(Bare), string(Turf), string(Mulch), string(Gravel), string(Brush)); ok {
		g.Cover = Cover(cover)
	}
	g.Haul, _ = r.Length("haul", document.Required, document.NotNegative)
	b.ways(r, &g)
	r.Close()
	return g
}

// id reads an id that no item of the job before has.
func (b *jobReader) id(r document.Reader) (string, bool) {
	id, ok := r.Key("id", document.Required)
	if !ok {
		return "", false
	}
	if b.ids[id] {
		b.faults.Add(r.At("id"), codeDuplicateID, "is the id of an earlier item of the job; each needs its own", `"bed-2"`)
		return id, false
	}
	b.ids[id] = true
	return id, true
}

// material looks up the material that a member names and checks its kind.
func (b *jobReader) material(r document.Reader, member string, presence document.Presence, kind MaterialKind) *Material {
	key, ok := r.Key(member, presence)
	if !ok || b.catalogue == nil {
		return nil
	}
	m, ok := b.catalogue.Material(key)
	if ok && m.Kind == kind {
		return m
	}
	keys := b.catalogue.MaterialKeys(kind)
	if !ok {
		b.faults.Add(r.At(member), codeUnknownMaterial, "is no material of the price list"+suggest(key, keys), quote(first(keys)))
		return nil
	}
	b.faults.Add(r.At(member), codeWrongKind, "is a material of another kind: "+kind.needed()+" is due here", quote(first(keys)))
	return nil
}

// needed names a kind of material with its article.
func (k MaterialKind) needed() string {
	switch k {
	case UnitMaterial:
		return "a unit (paver, slab or brick)"
	case LooseMaterial:
		return "a loose material"
	case FabricMaterial:
		return "a fabric"
	default:
		return "a piece"
	}
}

func (b *jobReader) bed(r document.Reader) (Bed, bool) {
	b.anything = true
	bed := Bed{Pointer: r.Pointer()}
	ok := true
	if bed.ID, ok = b.id(r); !ok {
		bed.ID = "bed at " + r.Pointer()
	}
	b.bedIDs[bed.ID] = true
	if or, found := r.Object("outline", document.Required); found {
		bed.Outline = b.outline(or)
		bed.Ties, b.adjusted = b.adjusted, nil
		bed.RingTies = b.ringTies
	}
	bed.Dig, _ = r.Length("dig", document.Optional, document.NotNegative)
	bed.Grade = b.grade(r, bed.Outline)
	if fr, found := r.Object("fabric", document.Optional); found {
		bed.Fabric = b.fabric(fr)
	}
	if sr, found := r.Object("stone", document.Optional); found {
		bed.Stone = b.layer(sr)
	}
	if er, found := r.Object("edging", document.Optional); found {
		sides := 0
		if bed.Outline != nil {
			sides = bed.Outline.Sides()
		}
		bed.Edging = b.edging(er, sides)
	}
	r.Close()
	return bed, bed.Outline != nil
}

func (b *jobReader) fabric(r document.Reader) *FabricLayer {
	f := &FabricLayer{Material: b.material(r, "material", document.Required, FabricMaterial)}
	under, ok := r.Choice("under", document.Required, "bed", "bed_and_trench")
	f.TrenchesToo = under == "bed_and_trench"
	b.openings(r, f)
	r.Close()
	if f.Material == nil || !ok {
		return nil
	}
	if f.Material.Pin != "" {
		f.PinMaterial, _ = b.catalogue.Material(f.Material.Pin)
		f.PinnedEvery = f.Material.PinSpacing
	}
	return f
}

func (b *jobReader) layer(r document.Reader) *Layer {
	l := &Layer{Material: b.material(r, "material", document.Required, LooseMaterial)}
	var ok bool
	l.Depth, ok = r.Length("depth", document.Required, document.Positive)
	r.Close()
	if l.Material == nil || !ok {
		return nil
	}
	return l
}

// layerOf reads an optional layer.
func (b *jobReader) layerOf(r document.Reader, member string) *Layer {
	lr, ok := r.Object(member, document.Optional)
	if !ok {
		return nil
	}
	return b.layer(lr)
}

func (b *jobReader) edging(r document.Reader, sides int) *CourseSpec {
	spec := &CourseSpec{Unit: b.material(r, "unit", document.Required, UnitMaterial)}
	kind, kindOK := r.Choice("course", document.Required, "sailor", "soldier")
	if kind == "soldier" {
		spec.Laying.Kind = course.Soldier
	} else {
		spec.Laying.Kind = course.Sailor
	}
	spec.Laying.Sides = b.numbers(r, "sides", sides, codeUnknownSide, "the outline has no such side")
	spec.Laying.Corners = b.numbers(r, "corners", sides, codeUnknownCorner, "the outline has no such corner")
	b.corners(r, spec, sides)
	spec.Reveal, _ = r.Length("reveal", document.Optional, document.NotNegative)
	spec.Base = b.layerOf(r, "base")
	spec.Sand = b.layerOf(r, "sand")
	spec.Laying.Clearance, _ = r.Length("side_clearance", document.Optional, document.NotNegative)
	spec.Laying.Curves = b.curves(r)
	var jointMax measure.Length
	jointMaxGiven := false
	if jr, ok := r.Object("joint", document.Optional); ok {
		spec.Laying.Joint, _ = jr.Length("width", document.Required, document.NotNegative)
		jointMax, jointMaxGiven = jr.Length("max", document.Optional, document.NotNegative)
		spec.Laying.JointDepth, _ = jr.Length("depth", document.Optional, document.Positive)
		if jr.Has("fill") {
			spec.Fill = b.material(jr, "fill", document.Optional, LooseMaterial)
		}
		if jointMaxGiven && jointMax < spec.Laying.Joint {
			b.faults.Add(jr.At("max"), "out_of_range", "is less than the joint's width", `"3/16 in"`)
		}
		if spec.Unit != nil && spec.Laying.JointDepth > spec.Unit.Thickness {
			b.faults.Add(jr.At("depth"), "out_of_range", "is more than the unit is thick", `"1 in"`)
			spec.Laying.JointDepth = 0 // so that the laying finds what else is wrong
		}
		if spec.Unit != nil && spec.Laying.Joint >= spec.Unit.Width {
			b.faults.Add(jr.At("width"), "out_of_range", "is no less than the unit's width", `"1/8 in"`)
		}
		jr.Close()
	}
	spec.Haunch, _ = r.Length("haunch", document.Optional, document.NotNegative)
	spec.FillWallGap, _ = r.Bool("fill_wall_gap", document.Optional)
	if (spec.Haunch > 0 || spec.FillWallGap) && spec.Fill == nil && !b.faults.Under(r.At("joint")) {
		member := "haunch"
		if spec.Haunch == 0 {
			member = "fill_wall_gap"
		}
		b.faults.Add(r.At(member), codeMissing, "takes the joint fill, and joint.fill names none", `{"width":"1/8 in","fill":"sand-polymeric"}`)
	}
	r.Close()
	if spec.Unit == nil || !kindOK {
		return nil
	}
	u := spec.Unit
	spec.Laying.Unit = course.Unit{Length: u.Length, Width: u.Width, Thickness: u.Thickness}
	spec.Laying.JointMax = max(spec.Laying.Joint, u.JointMax)
	if jointMaxGiven {
		spec.Laying.JointMax = jointMax
	}
	spec.Laying.LeastPiece = b.catalogue.LeastPiece
	b.reveal(r, spec.Reveal, u)
	return spec
}

// reveal refuses a unit that stands wholly above the ground.
func (b *jobReader) reveal(r document.Reader, reveal measure.Length, unit *Material) {
	if reveal > unit.Thickness {
		b.faults.Add(r.At("reveal"), codeReveal, "is more than the unit is thick: it would stand on the ground, not in it", `"1/2 in"`)
	}
}

// numbers reads a list of side or corner numbers of an outline that has n; n 0 means that it could not be read.
func (b *jobReader) numbers(r document.Reader, member string, n int, code, detail string) []int {
	if !r.Has(member) {
		return nil
	}
	list := []int{}
	seen := map[int]bool{}
	r.Each(member, document.Optional, 0, maxPoints, func(_ int, v document.Value) {
		i, ok := v.Int(0, maxPoints-1)
		if !ok {
			return
		}
		if n > 0 && i >= n {
			b.faults.Add(v.Pointer(), code, detail+": they are numbered from 0 to "+strconv.Itoa(n-1), "0")
			return
		}
		if seen[i] {
			b.faults.Add(v.Pointer(), "duplicate_item", "stands in the list already", "")
			return
		}
		seen[i] = true
		list = append(list, i)
	})
	return list
}

func (b *jobReader) slabs(r document.Reader) (SlabGroup, bool) {
	b.anything = true
	s := SlabGroup{Pointer: r.Pointer()}
	ok := true
	if s.ID, ok = b.id(r); !ok {
		s.ID = "slabs at " + r.Pointer()
	}
	if r.Has("in_bed") {
		s.InBed, _ = r.Key("in_bed", document.Optional)
		// Beds are read before slabs, so every id of a bed is known by now.
		if s.InBed != "" && !b.bedIDs[s.InBed] {
			b.faults.Add(r.At("in_bed"), codeUnknownBed, "is the id of no bed of the job", `"garage"`)
			s.InBed = ""
		}
	}
	s.Unit = b.material(r, "unit", document.Required, UnitMaterial)
	rows, rowsOK := r.Int("rows", document.Required, 1, 1000)
	columns, columnsOK := r.Int("columns", document.Required, 1, 1000)
	s.Rows, s.Columns = rows, columns
	s.Gap, _ = r.Length("gap", document.Optional, document.NotNegative)
	at, atOK := b.point(r, "at", document.Required)
	s.At = at
	if degrees, ok := r.Number("rotate", document.Optional, -360, 360); ok {
		s.Rotate = measure.Degrees(float64(degrees))
	}
	s.Reveal, _ = r.Length("reveal", document.Optional, document.NotNegative)
	s.Base = b.layerOf(r, "base")
	s.Sand = b.layerOf(r, "sand")
	s.Clearance, _ = r.Length("side_clearance", document.Optional, document.NotNegative)
	if jr, ok := r.Object("joint", document.Optional); ok {
		s.Fill = b.material(jr, "fill", document.Required, LooseMaterial)
		s.FillDepth, _ = jr.Length("depth", document.Optional, document.Positive)
		if s.Unit != nil && s.FillDepth > s.Unit.Thickness {
			b.faults.Add(jr.At("depth"), "out_of_range", "is more than the unit is thick", `"1 in"`)
		}
		jr.Close()
	}
	r.Close()
	if s.Unit != nil {
		b.reveal(r, s.Reveal, s.Unit)
	}
	if rowsOK && columnsOK && rows*columns > maxUnits {
		b.faults.Add(r.At("rows"), codeTooMany, "rows times columns is more than "+strconv.Itoa(maxUnits)+" slabs", "2")
		return s, false
	}
	return s, s.Unit != nil && rowsOK && columnsOK && atOK
}

// point reads a pair of coordinates.
func (b *jobReader) point(r document.Reader, member string, presence document.Presence) (outline.Point, bool) {
	if presence == document.Required && !r.Has(member) {
		b.faults.Add(r.At(member), codeMissing, "is missing: it must be a point, x and y", `["9 ft","1 ft"]`)
		return outline.Point{}, false
	}
	v, ok := r.Value(member, presence)
	if !ok {
		return outline.Point{}, false
	}
	return pointOf(v)
}

func pointOf(v document.Value) (outline.Point, bool) {
	var xy [2]measure.Length
	good := true
	whole := v.Each(2, 2, func(i int, c document.Value) {
		l, ok := c.Length(document.AnySign)
		if !ok {
			good = false
			return
		}
		xy[i] = l
	})
	return outline.Point{X: xy[0], Y: xy[1]}, whole && good
}

// suggest is a clause that names the known words nearest to an unknown one.
func suggest(word string, known []string) string {
	near := document.Nearest(word, known)
	if len(near) == 0 {
		return ""
	}
	clause := "; the nearest names are "
	for i, n := range near {
		if i > 0 {
			clause += ", "
		}
		clause += n
	}
	return clause
}

func quote(s string) string {
	if s == "" {
		return ""
	}
	return strconv.Quote(s)
}

func first(keys []string) string {
	if len(keys) == 0 {
		return ""
	}
	return keys[0]
}
