package api

import (
	"strconv"

	"bedline/estimate"
	"bedline/estimate/measure"
)

// PlanterGeometry is one planter as it is filled.
type PlanterGeometry struct {
	ID            string   `json:"id"`
	InBed         string   `json:"in_bed,omitempty"`
	FootprintArea Quantity `json:"footprint_area"`
	InsideArea    Quantity `json:"inside_area"`
	FillVolume    Quantity `json:"fill_volume"`
	MixMass       Quantity `json:"mix_mass"`
}

// ObstacleGeometry is one obstacle: the ground that a tree or post takes, or the digging beside a wall or footing.
type ObstacleGeometry struct {
	Obstacle      int           `json:"obstacle"` // place in the list of the request
	ID            string        `json:"id,omitempty"`
	Kind          string        `json:"kind"` // tree, post, wall or footing
	FootprintArea *Quantity     `json:"footprint_area,omitempty"`
	Near          []NearDigging `json:"near,omitempty"`
}

// NearDigging is digging that comes nearer to a wall or footing than it is deep.
type NearDigging struct {
	Zone     string   `json:"zone"`
	Part     string   `json:"part"`
	Depth    Quantity `json:"depth"`
	Distance Quantity `json:"distance"`
}

// RootZone is the root protection zone of a tree with the digging in it.
type RootZone struct {
	Obstacle int      `json:"obstacle"`
	ID       string   `json:"id,omitempty"`
	Radius   Quantity `json:"radius"`
	Area     Quantity `json:"area"`
	DugArea  Quantity `json:"dug_area"`
	Deepest  Quantity `json:"deepest"`
	Share    Number   `json:"share"` // of the zone that is dug, 0.25 for a quarter
}

// FabricRolls is how the strips of all beds with one fabric are cut from its rolls.
type FabricRolls struct {
	Material   string    `json:"material"`
	RollLength Quantity  `json:"roll_length"`
	Rolls      int       `json:"rolls"`
	Bound      int       `json:"bound"` // no fewer rolls can do
	Cuts       []CutRoll `json:"cuts"`
}

// CutRoll is a number of rolls that are cut alike.
type CutRoll struct {
	Rolls  int           `json:"rolls"`
	Pieces []FabricPiece `json:"pieces"`
	Left   Quantity      `json:"left"`
}

// FabricPiece is one piece of a strip.
type FabricPiece struct {
	Bed    string   `json:"bed"`
	Length Quantity `json:"length"`
}

// standing fills in planters, obstacles and rolls.
func (w writer) standing(g *Geometry, t *estimate.Takeoff) {
	for i := range t.Rolls {
		g.Rolls = append(g.Rolls, w.rolls(&t.Rolls[i]))
	}
	for i := range t.Planters {
		p := &t.Planters[i]
		g.Planters = append(g.Planters, PlanterGeometry{ID: p.Planter.ID, InBed: p.Planter.InBed, FootprintArea: w.area(p.Footprint), InsideArea: w.area(p.Inside),
			FillVolume: w.volume(p.Fill), MixMass: w.mass(p.Mass)})
	}
	for i := range t.Obstacles {
		o := &t.Obstacles[i]
		out := ObstacleGeometry{Obstacle: o.Obstacle.Number, ID: o.Obstacle.ID, Kind: string(o.Obstacle.Kind)}
		if o.Footprint > 0 {
			area := w.area(o.Footprint)
			out.FootprintArea = &area
		}
		for _, n := range o.Near {
			out.Near = append(out.Near, NearDigging{Zone: n.Zone, Part: string(n.Part), Depth: w.depth(n.Depth), Distance: w.depth(n.Distance)})
		}
		g.Obstacles = append(g.Obstacles, out)
	}
	for i := range t.RootZones {
		z := &t.RootZones[i]
		g.RootZones = append(g.RootZones, RootZone{Obstacle: z.Obstacle.Number, ID: z.Obstacle.ID, Radius: w.length(z.Radius), Area: w.area(z.Area),
			DugArea: w.area(z.Dug), Deepest: w.depth(z.Deepest), Share: Number(z.Share())})
	}
}

func (w writer) rolls(r *estimate.RollsTakeoff) FabricRolls {
	out := FabricRolls{Material: r.Material.Key, RollLength: w.length(r.Material.RollLength), Rolls: len(r.Plan.Rolls), Bound: r.Plan.Bound, Cuts: []CutRoll{}}
	for i := 0; i < len(r.Plan.Rolls); {
		roll := &r.Plan.Rolls[i]
		cut := CutRoll{Rolls: r.Alike(i), Pieces: make([]FabricPiece, len(roll.Pieces)), Left: w.length(roll.Left)}
		for n, k := range roll.Pieces {
			cut.Pieces[n] = FabricPiece{Bed: r.Pieces[k].Bed, Length: w.length(r.Pieces[k].Length)}
		}
		out.Cuts = append(out.Cuts, cut)
		i += cut.Rolls
	}
	return out
}

// appendStanding writes the members of the geometry that are there only where a job uses them.
func appendStanding(b []byte, v *Geometry) []byte {
	if len(v.Rolls) > 0 {
		b = append(b, `,"rolls":`...)
		b = appendList(b, v.Rolls, appendFabricRolls)
	}
	if len(v.Planters) > 0 {
		b = append(b, `,"planters":`...)
		b = appendList(b, v.Planters, appendPlanterGeometry)
	}
	if len(v.Obstacles) > 0 {
		b = append(b, `,"obstacles":`...)
		b = appendList(b, v.Obstacles, appendObstacleGeometry)
	}
	if len(v.RootZones) > 0 {
		b = append(b, `,"root_zones":`...)
		b = appendList(b, v.RootZones, appendRootZone)
	}
	return b
}

func appendFabricRolls(b []byte, v *FabricRolls) []byte {
	b = append(b, `{"material":`...)
	b = appendText(b, v.Material)
	b = append(b, `,"roll_length":`...)
	b = appendQuantity(b, &v.RollLength)
	b = append(b, `,"rolls":`...)
	b = strconv.AppendInt(b, int64(v.Rolls), 10)
	b = append(b, `,"bound":`...)
	b = strconv.AppendInt(b, int64(v.Bound), 10)
	b = append(b, `,"cuts":`...)
	b = appendList(b, v.Cuts, appendCutRoll)
	return append(b, '}')
}

func appendCutRoll(b []byte, v *CutRoll) []byte {
	b = append(b, `{"rolls":`...)
	b = strconv.AppendInt(b, int64(v.Rolls), 10)
	b = append(b, `,"pieces":`...)
	b = appendList(b, v.Pieces, appendFabricPiece)
	b = append(b, `,"left":`...)
	b = appendQuantity(b, &v.Left)
	return append(b, '}')
}

func appendFabricPiece(b []byte, v *FabricPiece) []byte {
	b = append(b, `{"bed":`...)
	b = appendText(b, v.Bed)
	b = append(b, `,"length":`...)
	b = appendQuantity(b, &v.Length)
	return append(b, '}')
}

func appendPlanterGeometry(b []byte, v *PlanterGeometry) []byte {
	b = append(b, `{"id":`...)
	b = appendText(b, v.ID)
	if v.InBed != "" {
		b = append(b, `,"in_bed":`...)
		b = appendText(b, v.InBed)
	}
	b = append(b, `,"footprint_area":`...)
	b = appendQuantity(b, &v.FootprintArea)
	b = append(b, `,"inside_area":`...)
	b = appendQuantity(b, &v.InsideArea)
	b = append(b, `,"fill_volume":`...)
	b = appendQuantity(b, &v.FillVolume)
	b = append(b, `,"mix_mass":`...)
	b = appendQuantity(b, &v.MixMass)
	return append(b, '}')
}

func appendObstacleGeometry(b []byte, v *ObstacleGeometry) []byte {
	b = append(b, `{"obstacle":`...)
	b = strconv.AppendInt(b, int64(v.Obstacle), 10)
	if v.ID != "" {
		b = append(b, `,"id":`...)
		b = appendText(b, v.ID)
	}
	b = append(b, `,"kind":`...)
	b = appendText(b, v.Kind)
	if v.FootprintArea != nil {
		b = append(b, `,"footprint_area":`...)
		b = appendQuantity(b, v.FootprintArea)
	}
	if len(v.Near) > 0 {
		b = append(b, `,"near":`...)
		b = appendList(b, v.Near, appendNearDigging)
	}
	return append(b, '}')
}

func appendNearDigging(b []byte, v *NearDigging) []byte {
	b = append(b, `{"zone":`...)
	b = appendText(b, v.Zone)
	b = append(b, `,"part":`...)
	b = appendText(b, v.Part)
	b = append(b, `,"depth":`...)
	b = appendQuantity(b, &v.Depth)
	b = append(b, `,"distance":`...)
	b = appendQuantity(b, &v.Distance)
	return append(b, '}')
}

func appendRootZone(b []byte, v *RootZone) []byte {
	b = append(b, `{"obstacle":`...)
	b = strconv.AppendInt(b, int64(v.Obstacle), 10)
	if v.ID != "" {
		b = append(b, `,"id":`...)
		b = appendText(b, v.ID)
	}
	b = append(b, `,"radius":`...)
	b = appendQuantity(b, &v.Radius)
	b = append(b, `,"area":`...)
	b = appendQuantity(b, &v.Area)
	b = append(b, `,"dug_area":`...)
	b = appendQuantity(b, &v.DugArea)
	b = append(b, `,"deepest":`...)
	b = appendQuantity(b, &v.Deepest)
	b = append(b, `,"share":`...)
	b = measure.AppendNumber(b, float64(v.Share))
	return append(b, '}')
}
