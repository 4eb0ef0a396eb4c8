package estimate

import "bedline/estimate/measure"

// MaterialKind tells which members of a Material count.
type MaterialKind uint8

// The kinds of material.
const (
	UnitMaterial   MaterialKind = iota + 1 // a paver, slab or brick
	LooseMaterial                          // stone, sand, base, joint fill, soil: bought by volume or mass
	FabricMaterial                         // bought by the roll
	PieceMaterial                          // a pin or another counted piece
)

// Material is what the engine must know of a material; its price is no business of the engine.
type Material struct {
	Key  string
	Name string
	Kind MaterialKind

	Length, Width, Thickness measure.Length // of a unit
	JointMax                 measure.Length // largest joint that the unit may be laid with open; 0 if not said
	Mass                     measure.Mass   // of one unit, roll or piece; 0 if not said

	LooseDensity     measure.Density // of a loose material as bought
	CompactionFactor measure.Factor  // loose volume bought per volume laid, at least 1

	RollWidth, RollLength, Lap, Upturn measure.Length // of a fabric
	Pin                                string         // key of the piece that pins the fabric, or empty
	PinSpacing                         measure.Length

	Source string // where the figures come from
}

// Soil is a kind of ground.
type Soil struct {
	Key         string
	SwellFactor measure.Factor // loose volume per bank volume, above 1
	BankDensity measure.Density
	Source      string
}

// Catalogue is the part of a price list that the engine reads: materials and soils by key, allowances and settings.
type Catalogue struct {
	Materials  []Material // in the order of the list
	Soils      []Soil
	Allowances map[LineKey]measure.Factor // 0.05 for 5 %; only looked up by key, never ranged over
	DigTo      measure.Length             // depths of trenches and pads are rounded up to a multiple of it
	LeastPiece measure.Factor             // shortest closer as a share of the unit's long side
	Lifts      Lifts                      // of base; where one is 0 the usual holds

	materials map[string]int
	soils     map[string]int
}
