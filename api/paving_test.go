package api_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const pavedLanding = `{"id":"landing","outline":{"kind":"rectangle","length":"8 ft","width":"6 ft"},"unit":"brick-modular","bond":"herringbone_45",
	"joint":{"width":"3/8 in","fill":"sand-joint"},"border":{"course":"soldier"}}`

func pavedJob(area string) string {
	return `{"ground":{"soil":"loam","cover":"turf","haul":"60 ft"},"paving":[` + area + `]}`
}

// A job of paving alone is answered, and the answer is held to the contract by the service of the tests.
func TestPavingIsAnswered(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := s.post(pavedJob(pavedLanding))
	require.Equal(t, 200, a.status, "%s", a.body)
	var answer struct {
		Geometry struct {
			Beds   []any
			Fields []struct {
				ID, Bond string
				Units    struct{ Whole, Cut, Total int }
				Bought   struct {
					Units      int
					FromOffcut int `json:"from_offcuts"`
					ByArea     int `json:"least_by_area"`
				}
				Border *struct{ Units struct{ Total int } }
				Search *struct{ Tried int }
			}
		}
		LineItems []struct {
			Key      string
			Measured struct{ Value float64 }
		} `json:"line_items"`
		CutList struct {
			SawPasses int `json:"saw_passes"`
		} `json:"cut_list"`
	}
	require.NoError(t, json.Unmarshal(a.body, &answer))
	require.Len(t, answer.Geometry.Fields, 1)
	assert.NotNil(t, answer.Geometry.Beds)
	f := answer.Geometry.Fields[0]
	assert.Equal(t, "herringbone_45", f.Bond)
	assert.Equal(t, f.Units.Whole+f.Units.Cut, f.Units.Total)
	assert.Equal(t, f.Units.Total-f.Bought.FromOffcut, f.Bought.Units)
	assert.GreaterOrEqual(t, f.Bought.Units, f.Bought.ByArea)
	require.NotNil(t, f.Border)
	assert.Equal(t, 76, f.Border.Units.Total) // as in the sample job
	require.NotNil(t, f.Search)
	assert.Positive(t, f.Search.Tried)
	assert.GreaterOrEqual(t, answer.CutList.SawPasses, f.Units.Cut)
	for _, l := range answer.LineItems {
		if l.Key == "paving" {
			assert.InDelta(t, float64(f.Bought.Units+76), l.Measured.Value, 0)
			return
		}
	}
	t.Fatal("no line of paving")
}

func TestFaultsOfPavingComeWithTheirPlaceAndAnExample(t *testing.T) {
	t.Parallel()
	s := start(t)
	for name, c := range map[string]struct{ area, pointer, code string }{
		"a unit that makes no herringbone": {`{"id":"a","outline":{"kind":"rectangle","length":"8 ft","width":"6 ft"},"unit":"paver-9x6","bond":"herringbone_90"}`,
			"/paving/0/unit", "unit_size"},
		"a bond that is none":  {`{"id":"a","outline":{"kind":"circle","radius":"8 ft"},"unit":"paver-9x6","bond":"flemish"}`, "/paving/0/bond", "unknown_value"},
		"a direction in words": {`{"id":"a","outline":{"kind":"circle","radius":"8 ft"},"unit":"paver-9x6","bond":"stack","direction":"30 deg"}`, "/paving/0/direction", "wrong_type"},
		"a border that leaves nothing": {`{"id":"a","outline":{"kind":"rectangle","length":"8 ft","width":"1 ft"},"unit":"paver-8x4","bond":"stack","border":{"course":"soldier"}}`,
			"/paving/0/border", "no_field"},
		"more units than are drawn": {`{"id":"a","outline":{"kind":"rectangle","length":"800 ft","width":"600 ft"},"unit":"paver-8x4","bond":"stack"}`, "/paving/0/outline", "too_many"},
	} {
		a := s.post(pavedJob(c.area))
		require.Equal(t, 422, a.status, name)
		var p struct{ Errors []map[string]any }
		require.NoError(t, json.Unmarshal(a.body, &p))
		require.Len(t, p.Errors, 1, "%s: %s", name, a.body)
		assert.Equal(t, []any{c.pointer, c.code}, []any{p.Errors[0]["pointer"], p.Errors[0]["code"]}, name)
		assert.NotEmpty(t, p.Errors[0]["detail"])
	}
}
