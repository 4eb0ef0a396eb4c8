package render

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/internal/sample"
	"bedline/api/render/locale"
	"bedline/pricing"
)

func TestEveryPieceOfFabricLiesOnItsBedAndComesFromItsRoll(t *testing.T) {
	t.Parallel()
	sample.Each(t, func(t *testing.T, name string, q *pricing.Quote) { cutWhole(t, q) })
}

// cutWhole holds the drawn cloth, pieces, and what is left of the rolls to the answer's.
func cutWhole(t *testing.T, q *pricing.Quote) {
	sheet := Fabric(q, locale.Default())
	if len(q.Takeoff.Fabrics) == 0 {
		assert.Nil(t, sheet)
		return
	}
	c := newCutting(q, locale.Default())
	cloth, pieces := 0.0, 0
	for i := range q.Takeoff.Fabrics {
		cloth += float64(q.Takeoff.Fabrics[i].Layout.ClothArea)
		for _, s := range q.Takeoff.Fabrics[i].Layout.Strips {
			pieces += len(s.Pieces)
		}
	}
	// Square millimetres on paper, times the square of the scale.
	area, scale := 0.0, float64(c.scale)
	strips := shapes(sheet, classStrip)
	for _, s := range strips {
		area += math.Abs(s.Area()) * scale * scale / 1e6
	}
	assert.InEpsilon(t, cloth, area, 1e-9, "cloth of the strips")
	assert.Len(t, strips, pieces, "pieces on the beds")

	// Rolls are drawn to one scale along their length: all the paper has for a whole roll.
	drawn, left := shapes(sheet, classPiece), shapes(sheet, classOffcut)
	at, offcuts := 0, 0
	for i := range q.Takeoff.Rolls {
		r := &q.Takeoff.Rolls[i]
		metre := float64(planWidth-rollWords-1) / float64(r.Material.RollLength)
		for k := 0; k < len(r.Plan.Rolls); {
			roll := &r.Plan.Rolls[k]
			for _, p := range roll.Pieces {
				require.Less(t, at, len(drawn))
				low, high := bounds(drawn[at])
				assert.InDelta(t, float64(r.Pieces[p].Length), float64(high.X-low.X)/metre, 1e-9, "length of piece %d", p+1)
				at++
			}
			if roll.Left > 0.01 {
				require.Less(t, offcuts, len(left))
				low, high := bounds(left[offcuts])
				assert.InDelta(t, float64(roll.Left), float64(high.X-low.X)/metre, 1e-9, "what is left of roll %d", k+1)
				offcuts++
			}
			if len(r.Plan.Rolls) > mostRolls {
				k += r.Alike(k)
			} else {
				k++
			}
		}
	}
	assert.Len(t, drawn, at, "pieces on the rolls")
}

func TestFabricOfALongBedIsJoinedAndItsRollsAreDrawnTogether(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, length, width string }{
		{"one strip longer than a roll", "120 ft", "3 ft"},
		{"many rolls", "400 ft", "30 ft"},
		{"very many rolls", "3000 ft", "90 ft"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			q := jobOf(t, garden(c.length, c.width))
			cutWhole(t, q)
			for what, sheet := range charts(q, locale.Default()) {
				require.NotNil(t, sheet, what)
				readable(t, what, sheet)
			}
		})
	}
}

func TestFabricOfVeryMuchGroundIsDrawnInTimeAndOnAPage(t *testing.T) {
	t.Parallel()
	round := garden("1 ft", "1 ft")
	round["beds"].([]any)[0].(map[string]any)["outline"] = map[string]any{"kind": "circle", "diameter": "900 ft"}
	many := garden("30 ft", "9 ft")
	var beds []any
	for i := range 40 {
		bed := map[string]any{"id": fmt.Sprintf("b%d", i), "outline": map[string]any{"kind": "rectangle", "length": "30 ft", "width": "9 ft", "at": []any{"0 ft", fmt.Sprintf("%d ft", 10*i)}},
			"dig": "3 in", "fabric": map[string]any{"material": "fabric-woven", "under": "bed"}}
		beds = append(beds, bed)
	}
	many["beds"] = beds
	for name, job := range map[string]map[string]any{"a round bed of 900 ft": round, "a bed of 4000 by 900 ft": garden("4000 ft", "900 ft"), "forty beds": many} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for _, l := range locales(t) {
				sheet := Fabric(jobOf(t, job), l)
				readable(t, name, sheet)
				assert.Less(t, len(sheet.SVG()), 1_500_000)
				assert.Less(t, float64(sheet.Height), 420.0)
			}
		})
	}
}

func TestOpeningsAreCutForWhatStandsOnTheCloth(t *testing.T) {
	t.Parallel()
	sheet := Fabric(sample.Quote(t, "terrace-planters"), locale.Default())
	// Two planters and a lamp; the third planter stands beside the bed.
	assert.Len(t, shapes(sheet, classOpening), 3)
}
