package estimate_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/estimate"
)

func TestCatalogueFindsByKey(t *testing.T) {
	t.Parallel()
	c := estimate.NewCatalogue([]estimate.Material{
		{Key: "slab", Name: "first", Kind: estimate.UnitMaterial},
		{Key: "base", Kind: estimate.LooseMaterial},
		{Key: "slab", Name: "second", Kind: estimate.UnitMaterial},
	}, []estimate.Soil{{Key: "sand", SwellFactor: 1.11}, {Key: "clay", SwellFactor: 1.43}}, nil, 0.0127, 0.333)
	m, ok := c.Material("slab")
	require.True(t, ok)
	assert.Equal(t, "first", m.Name)
	assert.Same(t, &c.Materials[0], m)
	s, ok := c.Soil("clay")
	require.True(t, ok)
	assert.EqualValues(t, 1.43, s.SwellFactor)
	_, ok = c.Material("clay")
	assert.False(t, ok)
	_, ok = c.Soil("slab")
	assert.False(t, ok)
	assert.Equal(t, []string{"base", "slab", "slab"}, c.MaterialKeys())
	assert.Equal(t, []string{"base"}, c.MaterialKeys(estimate.LooseMaterial, estimate.FabricMaterial))
	assert.Equal(t, []string{"clay", "sand"}, c.SoilKeys())
}
