package estimate

import (
	"strings"

	"bedline/estimate/earth"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Root protection zones: discs about the centre of the trunk.
const (
	// zonePerTrunk is 1.25 ft of radius per inch of trunk diameter.
	// Source: NC State Extension, tree protection zone guidelines, figure 3 (at least).
	zonePerTrunk measure.Factor = 15
	// leastZone is the least radius.
	// Source: NC Urban Forest Council, Tree Protection During Construction (the usual floor).
	leastZone = 6 * measure.Foot

	zoneSource = "NC State Extension, tree protection zone guidelines, figure 3: at least 1.25 ft of radius per inch of trunk; " +
		"NC Urban Forest Council, Tree Protection During Construction: at least 6 ft"
)

// RootZone is the ground round a tree that its main roots are looked for in.
type RootZone struct {
	Obstacle *Obstacle
	Radius   measure.Length
	Area     measure.Area   // of the whole disc
	Dug      measure.Area   // of it, cut or filled
	Deepest  measure.Length // digging in it; 0 for none
}

// Share is the part of the zone that is dug.
func (z *RootZone) Share() measure.Factor { return measure.Factor(z.Dug.In(z.Area)) }

// neighbours looks for digging among roots and beside walls and footings.
func (t *taker) neighbours() {
	if len(t.job.Obstacles) == 0 {
		return
	}
	t.out.Obstacles = make([]ObstacleTakeoff, len(t.job.Obstacles))
	var trees, faces []int
	for k := range t.job.Obstacles {
		o := &t.job.Obstacles[k]
		t.out.Obstacles[k].Obstacle = o
		if l := o.Footprint(); l != nil {
			t.out.Obstacles[k].Footprint = l.Area()
		}
		switch o.Kind {
		case Tree:
			trees = append(trees, k)
		case Wall, Footing:
			faces = append(faces, k)
		}
	}
	if len(trees) > 0 {
		t.rootZones(trees)
	}
	if len(faces) > 0 {
		t.faces(faces)
	}
}

// rootZones cuts the dug ground by the root zones of the trees.
func (t *taker) rootZones(trees []int) {
	var s survey
	place := make([]int, len(t.ground.regions))
	for i := range place {
		place[i] = none
	}
	keep := func(list []int) []int {
		kept := make([]int, len(list))
		for n, i := range list {
			if place[i] == none {
				place[i] = s.add(t.ground.regions[i])
			}
			kept[n] = place[i]
		}
		return kept
	}
	dug, byBeds, byFields := keep(t.dugGround), keep(t.roundOf(BedPart)), keep(t.roundOf(FieldPart))
	depths := make([]measure.Length, len(t.out.Diggings))
	for d := range depths {
		depths[d] = t.out.Diggings[d].Depth
	}
	zones := make([]int, len(trees))
	for n, k := range trees {
		o := &t.job.Obstacles[k]
		z := RootZone{Obstacle: o, Radius: max(o.Diameter.Scale(zonePerTrunk), leastZone)}
		disc := outline.CircleLoop(o.At, z.Radius)
		z.Area = disc.Area()
		zones[n] = s.add(outline.Region{disc})
		t.out.RootZones = append(t.out.RootZones, z)
	}
	s.cut()
	for _, c := range s.cells {
		bedsClear, fieldsClear := c.coveredByAny(byBeds), c.coveredByAny(byFields)
		d := earth.Deepest(depths, func(d int) bool {
			part := t.out.Diggings[d].Part
			return c.covered(dug[d]) && !(bedsClear && part == BedPart) && !(fieldsClear && part == FieldPart)
		})
		if d == earth.None || c.area <= trifle {
			continue
		}
		for n, i := range zones {
			if c.covered(i) {
				z := &t.out.RootZones[n]
				z.Dug += c.area
				z.Deepest = max(z.Deepest, t.out.Diggings[d].reaches())
			}
		}
	}
	for n := range t.out.RootZones {
		t.rootNotice(&t.out.RootZones[n])
	}
}

func (t *taker) rootNotice(z *RootZone) {
	p := t.pencil
	zone := "the root protection zone of " + z.Obstacle.name() + " reaches " + p.length(z.Radius) + " from its centre"
	if z.Dug <= 0 {
		t.ask("root_zone", Confirm, zone+"; nothing is dug there: keep spoil, materials and wheels off it too", "how thick the trunk is, and how far its roots reach", z.Obstacle.Pointer, zoneSource)
		return
	}
	t.ask("root_zone_dug", Caution, zone+"; "+p.area(z.Dug)+" of it ("+measure.FormatNumber(100*float64(z.Share()), 1)+" %) are dug, "+
		p.depth(z.Deepest)+" at the deepest: dig there by hand, keep spoil, materials and wheels off the rest, "+
		"and ask an arborist and the local authority before any root is cut; trees may be protected by local law", "whether the tree is protected, and who may cut roots", z.Obstacle.Pointer, zoneSource)
}

// faces looks for digging that comes nearer to a wall or footing than it is deep: it would reach below a line that
// falls at 45 degrees from the foot of the face at finished ground (common practice), which is as much as is known of
// a wall whose footing is not seen.
func (t *taker) faces(faces []int) {
	for d := range t.out.Diggings {
		dig := &t.out.Diggings[d]
		depth := dig.reaches()
		if dig.Area <= trifle || depth <= 0 {
			continue
		}
		var tract *outline.Tract
		ground := boxOf(t.ground.regions[t.dugGround[d]])
		for _, k := range faces {
			o := &t.job.Obstacles[k]
			if face := (box{outline.Point{X: min(o.From.X, o.To.X), Y: min(o.From.Y, o.To.Y)}, outline.Point{X: max(o.From.X, o.To.X), Y: max(o.From.Y, o.To.Y)}}); !ground.within(face, depth) {
				continue
			}
			if tract == nil {
				tract = t.dugTract(d, ground)
			}
			if far := tract.Distance(o.From, o.To); earth.Deeper(depth, far) {
				t.out.Obstacles[k].Near = append(t.out.Obstacles[k].Near, NearDigging{Zone: dig.Zone, Part: dig.Part, Depth: depth, Distance: far})
			}
		}
	}
	for _, k := range faces {
		t.faceNotice(&t.out.Obstacles[k])
	}
}

// reaches is how far down from existing ground a digging goes at most; from finished ground where no levels are taken.
func (d *DiggingTakeoff) reaches() measure.Length {
	if d.Earthwork != nil {
		return d.Earthwork.CutDepth
	}
	return d.Depth
}

// roundOf is the ground that a kind of digging goes round.
func (t *taker) roundOf(part DiggingPart) []int {
	switch {
	case t.keepsClear(part, false):
		return t.ground.undug
	case t.keepsClear(part, true):
		return t.ground.standing
	}
	return nil
}

// dugTract traces the ground of a digging, without what it goes round.
func (t *taker) dugTract(d int, ground box) *outline.Tract {
	regions := []outline.Region{t.ground.regions[t.dugGround[d]]}
	for _, i := range t.roundOf(t.out.Diggings[d].Part) {
		if r := t.ground.regions[i]; ground.within(boxOf(r), 0) {
			regions = append(regions, r)
		}
	}
	return &outline.Trace(regions, 1, func(c outline.Cover) int {
		if !c.Has(0) {
			return outline.None
		}
		for i := 1; i < len(regions); i++ {
			if c.Has(i) {
				return outline.None
			}
		}
		return 0
	})[0]
}

func (t *taker) faceNotice(o *ObstacleTakeoff) {
	if len(o.Near) == 0 {
		return
	}
	p := t.pencil
	var diggings []string
	for _, n := range o.Near[:min(len(o.Near), mostNamed)] {
		how := "comes within " + p.depth(n.Distance) + " of it"
		if n.Distance == 0 {
			how = "comes right up to it"
		}
		diggings = append(diggings, "the "+string(n.Part)+" of "+n.Zone+" "+how+" and is "+p.depth(n.Depth)+" deep")
	}
	if more := len(o.Near) - mostNamed; more > 0 {
		diggings = append(diggings, "so do "+count(more)+" more")
	}
	t.ask("near_"+string(o.Obstacle.Kind), Caution, o.Obstacle.name()+": "+strings.Join(diggings, "; ")+
		": nearer than deep, so it may reach below a line at 45 degrees from its foot. Find out how deep it is founded, do not dig below that, "+
		"and ask a licensed engineer before you dig nearer or deeper; local codes decide", "how deep it is founded", o.Obstacle.Pointer,
		"29 CFR 1926.651(i); line at 45 degrees: common practice")
}

// box is the upright rectangle round something.
type box struct{ low, high outline.Point }

func boxOf(r outline.Region) box {
	var b box
	for i, l := range r {
		low, high := l.Bounds()
		if i == 0 {
			b = box{low, high}
			continue
		}
		b.low = outline.Point{X: min(b.low.X, low.X), Y: min(b.low.Y, low.Y)}
		b.high = outline.Point{X: max(b.high.X, high.X), Y: max(b.high.Y, high.Y)}
	}
	return b
}

// within tells whether two boxes come within a distance of each other along both axes.
func (b box) within(c box, d measure.Length) bool {
	return b.low.X <= c.high.X+d && c.low.X <= b.high.X+d && b.low.Y <= c.high.Y+d && c.low.Y <= b.high.Y+d
}
