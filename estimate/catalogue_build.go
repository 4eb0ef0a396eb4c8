package estimate

import (
	"slices"

	"bedline/estimate/measure"
)

// NewCatalogue is a catalogue of the materials and soils, in the order given. Of two with one key the first is found;
// a price list has none such. The slices and the map belong to the catalogue from then on.
func NewCatalogue(materials []Material, soils []Soil, allowances map[LineKey]measure.Factor,
	digTo measure.Length, leastPiece measure.Factor) *Catalogue {
	c := &Catalogue{
		Materials:  materials,
		Soils:      soils,
		Allowances: allowances,
		DigTo:      digTo,
		LeastPiece: leastPiece,
		materials:  make(map[string]int, len(materials)),
		soils:      make(map[string]int, len(soils)),
	}
	for i, m := range slices.Backward(materials) {
		c.materials[m.Key] = i
	}
	for i, s := range slices.Backward(soils) {
		c.soils[s.Key] = i
	}
	return c
}

// Material finds a material by its key. It is shared and must not be changed.
func (c *Catalogue) Material(key string) (*Material, bool) {
	i, ok := c.materials[key]
	if !ok {
		return nil, false
	}
	return &c.Materials[i], true
}

// Soil finds a soil by its key. It is shared and must not be changed.
func (c *Catalogue) Soil(key string) (*Soil, bool) {
	i, ok := c.soils[key]
	if !ok {
		return nil, false
	}
	return &c.Soils[i], true
}

// MaterialKeys are the keys of the materials of the given kinds, of all without any, sorted: for a message that
// suggests one.
func (c *Catalogue) MaterialKeys(kinds ...MaterialKind) []string {
	keys := make([]string, 0, len(c.Materials))
	for _, m := range c.Materials {
		if len(kinds) == 0 || slices.Contains(kinds, m.Kind) {
			keys = append(keys, m.Key)
		}
	}
	slices.Sort(keys)
	return keys
}

// SoilKeys are the keys of the soils, sorted.
func (c *Catalogue) SoilKeys() []string {
	keys := make([]string, 0, len(c.Soils))
	for _, s := range c.Soils {
		keys = append(keys, s.Key)
	}
	slices.Sort(keys)
	return keys
}
