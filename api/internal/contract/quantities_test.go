package contract_test

import (
	"encoding/json"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedline/api/internal/contract"
	"bedline/estimate/measure"
)

// patterns are the patterns of the quantities as clients read them.
func patterns(t *testing.T, c *contract.Contract) map[string]*regexp.Regexp {
	t.Helper()
	var doc struct {
		Components struct {
			Schemas map[string]struct {
				Pattern  string `json:"pattern"`
				Quantity string `json:"x-quantity"`
			} `json:"schemas"`
		} `json:"components"`
	}
	require.NoError(t, json.Unmarshal(c.JSON(), &doc))
	compiled := map[string]*regexp.Regexp{}
	for name, s := range doc.Components.Schemas {
		if s.Quantity != "" {
			require.NotEmpty(t, s.Pattern, name)
			compiled[name] = regexp.MustCompile(s.Pattern)
		}
	}
	require.Len(t, compiled, 7)
	require.Equal(t, compiled["Length"].String(), compiled["Tape"].String())
	return compiled
}

// What the service reads must match the pattern that the contract gives to clients.
func TestEveryQuantityThatIsReadMatchesThePattern(t *testing.T) {
	t.Parallel()
	p := patterns(t, load(t))
	number := rapid.SampledFrom([]string{"1", "0", "12", "0.5", ".5", "1/2", "3/4", "10 1/2", "10-1/2", "5.", "1,5", "1e3", "+1", "-1", "\u22121", "- 1", "007", "1 / 2", "999999999999"})
	unit := rapid.SampledFrom([]string{"in", "ft", "yd", "mm", "cm", "m", "'", "\"", "\u2032", "\u2033", "\u2019", "\u201d", "ft2", "ft3", "yd\u00b3", "in3", "gal", "m3",
		"L", "l", "mL", "lb", "oz", "ton", "kg", "g", "t", "lb/ft3", "lb/yd3", "ton/yd3", "kg/m3", "t/m\u00b3", "m2", "km", ""})
	space := rapid.SampledFrom([]string{"", " ", "  ", "\t", ","})
	read := 0
	rapid.Check(t, func(t *rapid.T) {
		text := space.Draw(t, "before") + number.Draw(t, "number") + space.Draw(t, "gap") + unit.Draw(t, "unit")
		if rapid.Bool().Draw(t, "two parts") {
			text += space.Draw(t, "between") + number.Draw(t, "second") + space.Draw(t, "gap2") + unit.Draw(t, "unit2")
		}
		text += space.Draw(t, "after")
		for name, ok := range map[string]bool{
			"SignedLength": fits(measure.ParseLength(text)), "Volume": fits(measure.ParseVolume(text)),
			"Mass": fits(measure.ParseMass(text)), "Density": fits(measure.ParseDensity(text)),
		} {
			if ok {
				read++
				assert.Regexp(t, p[name], text, name)
			}
			if ok && name == "Volume" || ok && name == "Mass" {
				assert.Regexp(t, p["Amount"], text)
			}
		}
		if l, err := measure.ParseLength(text); err == nil && l > 0 {
			assert.Regexp(t, p["Length"], text)
		}
	})
	assert.NotZero(t, read)
}

func fits[Q any](_ Q, err error) bool { return err == nil }
