package fabric_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate/fabric"
	"bedline/estimate/measure"
)

func TestPiecesOfSeveralLayoutsShareRolls(t *testing.T) {
	t.Parallel()
	// 4 + 2 + 2 and 3 + 3 + 2 make two rolls of 8, where first fit decreasing takes three.
	n, proved := fabric.Rolls([]measure.Length{4, 3, 2, 2, 3, 2}, 8)
	assert.Equal(t, 2, n)
	assert.True(t, proved)
	n, proved = fabric.Rolls(nil, 8)
	assert.Zero(t, n)
	assert.True(t, proved)
	// 40 of 3 m: two to a roll of 8 m. Their length asks for 15 only, so 20 are not proved the least.
	many := make([]measure.Length, 40)
	for i := range many {
		many[i] = 3
	}
	n, proved = fabric.Rolls(many, 8)
	assert.Equal(t, 20, n)
	assert.False(t, proved)
}
