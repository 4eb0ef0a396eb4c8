package locale_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedline/api/render/locale"
	"bedline/estimate"
	"bedline/pricing"
)

func spanish(t testing.TB) *locale.Locale { return lookup(t, "es-US") }

func lookup(t testing.TB, tag string) *locale.Locale {
	t.Helper()
	l, ok := locale.Lookup(tag)
	require.True(t, ok)
	return l
}

var (

	// betray are English words that no Spanish text holds.
	betray = strings.Fields("the of is are at by from for with and or it its that this than be been which what where when not off into over under each per if so other " +
		"deep trip trips bag bags unit units whole crew waste compaction below above between joint joints ground spoil digging must may")
)

// english are the words of a text that betray that it was not translated.
func english(text string) []string {
	var list []string
	for _, field := range strings.Fields(text) {
		if w := strings.Trim(field, "(),.;:"); slices.Contains(betray, w) {
			list = append(list, w)
		}
	}
	return list
}

func TestEverySentenceOfTheGoldenAnswersIsTranslated(t *testing.T) {
	t.Parallel()
	paths := answers(t)
	require.Greater(t, len(paths), 30)
	lists := dataWords(t)
	for _, path := range paths {
		t.Run(strings.TrimPrefix(path, "../../../testdata/"), func(t *testing.T) {
			t.Parallel()
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			var answer any
			require.NoError(t, json.Unmarshal(text, &answer))
			l, found, names := spanish(t), 0, slices.Clone(lists)
			eachText(answer, "", func(member, text string) {
				if member == "options.name" {
					names = append(names, text)
				}
			})
			eachText(answer, "", func(member, text string) {
				if !sentences[member] && !strings.HasSuffix(member, ".sentence") && !strings.HasSuffix(member, ".why") || slices.Contains(names, text) {
					return
				}
				found++
				translated, ok := l.Sentence(text)
				assert.True(t, ok, "%s: %q", member, text)
				for _, name := range names {
					translated = strings.ReplaceAll(translated, name, "")
				}
				assert.Empty(t, english(translated), "%s: %q became %q", member, text, translated)
			})
			assert.Greater(t, found, 10)
		})
	}
}

// answers are the golden answers to jobs, to requests for buying and to past jobs.
func answers(t *testing.T) []string {
	t.Helper()
	paths, err := filepath.Glob("../../../testdata/answers/*.json")
	require.NoError(t, err)
	more, err := filepath.Glob("../../../testdata/*/answers/*.json")
	require.NoError(t, err)
	return append(paths, more...)
}

// sentences are the members of an answer that the engine writes, by the last two names of their path. The expressions of
// workings are another test's.
var sentences = map[string]bool{
	"notices.message": true, "notices.confirm": true, "gone_notices.message": true, "gone_notices.confirm": true, "new_notices.message": true,
	"tasks.description": true, "waits.reason": true, "line_items.description": true, "holds.source": true, "equipment.why": true,
	"break_even.sentence": true, "workings.label": true, "workings.result": true, "working.label": true, "lifting.sentence": true, "inputs.duration": true,
	"rivals.name": true, "rivals.unavailable": true, "change_order.basis": true, "change_order.sentence": true, "options.sentence": true,
	"dropped_work.description": true, "new_work.description": true, "working.result": true,
}

// eachText goes through all texts of an answer with the last two names of their path.
func eachText(v any, member string, do func(member, text string)) {
	switch v := v.(type) {
	case map[string]any:
		for name, w := range v {
			_, last, _ := strings.Cut(member, ".")
			eachText(w, last+"."+name, do)
		}
	case []any:
		for _, w := range v {
			eachText(w, member, do)
		}
	case string:
		do(member, v)
	}
}

// dataWords are the names of the price lists: data, which stays as it is. Longer ones come first.
func dataWords(t *testing.T) []string {
	t.Helper()
	var names []string
	add := func(d *pricing.Document) {
		for _, m := range d.Materials {
			names = append(names, m.Name)
		}
		for _, s := range d.Suppliers {
			names = append(names, s.Name)
		}
		for _, e := range d.Equipment {
			names = append(names, e.Name)
		}
		for _, tax := range d.Taxes {
			names = append(names, tax.Name, tax.Name+" ("+tax.Jurisdiction+")")
		}
	}
	add(pricing.Sample().Document())
	paths, err := filepath.Glob("../../../testdata/price-lists/*.json")
	require.NoError(t, err)
	for _, path := range paths {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		d, err := pricing.ReadDocument(text)
		require.NoError(t, err)
		add(d)
	}
	slices.SortFunc(names, func(a, b string) int { return len(b) - len(a) })
	return names
}

func TestStepsOfTheArithmeticHoldNoEnglishWords(t *testing.T) {
	t.Parallel()
	l := spanish(t)
	for _, path := range answers(t) {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		var answer any
		require.NoError(t, json.Unmarshal(text, &answer))
		eachText(answer, "", func(member, text string) {
			if member == "workings.expression" || member == "working.expression" {
				translated, _ := l.Sentence(text)
				assert.Empty(t, english(translated), "%s: %q became %q", path, text, translated)
			}
		})
	}
}

func TestOperationsAreTranslatedByNameAndByKey(t *testing.T) {
	t.Parallel()
	l := spanish(t)
	for _, op := range pricing.Operations() {
		for _, text := range []string{pricing.Describe(op), string(op), strings.ToLower(pricing.Describe(op)[:1]) + pricing.Describe(op)[1:]} {
			translated, ok := l.Sentence(text)
			assert.True(t, ok, text)
			assert.Empty(t, english(translated), translated)
		}
	}
	text, _ := l.Sentence(pricing.Describe(estimate.CutUnits))
	assert.Equal(t, "Cortar piezas", text)
}

func TestSentencesInSpanish(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, english, want string }{
		{"plain words", "where the water goes", "a dónde va el agua"},
		{"names of the request stay", "paved area the-patio falls 1.5 %; 2 % is the least that drains paving well",
			"el área pavimentada the-patio tiene una pendiente de 1.5 %; 2 % es lo mínimo que drena bien un pavimento"},
		{"a name that is a word of the engine stays", "bed fabric is dug deeper than its trench: the base needs firm ground under it, so leave a shelf or fill and compact 2 in",
			"el arriate fabric se excava más hondo que su zanja: la base necesita suelo firme debajo, así que deje un escalón o rellene y compacte 2 in"},
		{"de and el are drawn together", "slab group steps shares 4 ft2 with slab group path: one of them is in the wrong place; the ground is taken once",
			"el grupo de losas steps comparte 4 ft2 con el grupo de losas path: uno de ellos está mal colocado; el suelo se cuenta una vez"},
		{"de and el in a name too", "joints on side 2 of the border of paved area patio come to 0.5 in, wider than the allowed 0.25 in: cut the units, use smaller ones, or fill with a material made for such joints",
			"las juntas en el lado 2 de la franja de borde del área pavimentada patio llegan a 0.5 in, más anchas que las 0.25 in permitidas: corte las piezas, use unas más pequeñas o rellene con un material hecho para esas juntas"},
		{"a list of names", "bed a shares 4 ft2 with beds b, c and others: it is dug once, and each has its stone and fabric reckoned in full",
			"el arriate a comparte 4 ft2 con los arriates b, c y otros: se excava una vez, y a cada uno se le calculan completas su piedra y su tela"},
		{"a name that begins with i takes e", "bed a shares 4 ft2 with beds b and island: it is dug once, and each has its stone and fabric reckoned in full",
			"el arriate a comparte 4 ft2 con los arriates b e island: se excava una vez, y a cada uno se le calculan completas su piedra y su tela"},
		{"parts joined by semicolons", "do not dig, place base or compact in saturated or frozen ground; where the water goes",
			"no excave, coloque base ni compacte en suelo saturado o congelado; a dónde va el agua"},
		{"operations in a list", "the price list has no rate for trim_formation, wet_and_cure: their hours are left out, unless its other rates take them in",
			"la lista de precios no tiene rendimiento para perfilar el fondo, mojar y curar las juntas: sus horas se dejan fuera, a menos que otros rendimientos las incluyan"},
		{"a label after a name", "front: ground covered", "front: suelo cubierto"},
		{"a step of the arithmetic", "1.5 yd3 x 1.25 (compaction) x 1.1 (waste)", "1.5 yd3 x 1.25 (compactación) x 1.1 (desperdicio)"},
		{"brackets", "1 - (1 - 2.5 %) x (1 - below 0.01 %)", "1 - (1 - 2.5 %) x (1 - menos de 0.01 %)"},
		{"packs", "24 bags of 0.5 ft3 at 4.98 + 1 drop 65.00 = 184.52; not sold in bulk", "24 sacos de 0.5 ft3 a 4.98 + 1 entrega 65.00 = 184.52; no se vende a granel"},
		{"the first letter follows the English", "lay edging", "colocar el borde"},
		{"numbers alone", "1.5 ft x 4 in / 324", "1.5 ft x 4 in / 324"},
	}
	l := spanish(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			text, ok := l.Sentence(tt.english)
			assert.True(t, ok)
			assert.Equal(t, tt.want, text)
		})
	}
}

// The preposition and the article run together (Diccionario panhispánico de dudas, "el"; from memory).
func TestSpanishPrepositionsRunTogetherWithTheArticle(t *testing.T) {
	t.Parallel()
	text, ok := lookup(t, "es-US").Sentence("paved area patio has a fall of its own, and the spot levels are those of bed back: cut and fill are reckoned to the finished surface of the bed; give the paved area spot levels to reckon them to its own")
	require.True(t, ok)
	assert.Contains(t, text, "los del arriate back:")
}

func TestWhatHasNoTranslationStaysEnglish(t *testing.T) {
	t.Parallel()
	l := spanish(t)
	for _, text := range []string{"", "Rounded pebble, 3/4 in (20 mm)", "no such sentence", "where the water goes; and nobody knows why", strings.Repeat("y ", 9000), "{n}", "a: b"} {
		got, ok := l.Sentence(text)
		assert.Equal(t, text, got)
		assert.Equal(t, text == "", ok)
	}
	got, ok := l.Sentence("\xff falls, says nobody")
	assert.False(t, ok)
	assert.True(t, utf8.ValidString(got))
}

func TestEnglishLocalesChangeSpellingOnly(t *testing.T) {
	t.Parallel()
	sentence := "the root protection zone of tree oak reaches 15 ft from its centre; nothing is dug there: keep spoil, materials and wheels off it too"
	text, ok := lookup(t, "en-US").Sentence(sentence)
	assert.True(t, ok)
	assert.Equal(t, strings.Replace(sentence, "centre", "center", 1), text)
	text, ok = lookup(t, "en-GB").Sentence(sentence)
	assert.True(t, ok)
	assert.Equal(t, sentence, text)
	text, ok = lookup(t, "en-US").Sentence("materials 385.63 + delivery 12.00 + equipment 0.00 + labour 310.20 + disposal 24.01")
	assert.True(t, ok)
	assert.Equal(t, "materials 385.63 + delivery 12.00 + equipment 0.00 + labor 310.20 + disposal 24.01", text)
}

// In American spelling none of these is left (Merriam-Webster's first forms, from memory).
func TestNoBritishSpellingIsLeftInAmerican(t *testing.T) {
	t.Parallel()
	british := regexp.MustCompile(`(?i)\b(labour|centre|mitred|metres?|millimetres?|neighbours?|colour|grey|levelled|travelled|favour)\b`)
	l := lookup(t, "en-US")
	for _, path := range answers(t) {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		var answer any
		require.NoError(t, json.Unmarshal(text, &answer))
		eachText(answer, "", func(member, text string) {
			if sentences[member] || member == "workings.expression" {
				got, ok := l.Sentence(text)
				assert.True(t, ok)
				assert.NotRegexp(t, british, got)
			}
		})
	}
	for _, n := range append(notices(t, "estimate"), notices(t, "pricing")...) {
		got, _ := l.Sentence(n.text)
		if len(composed[n.code]) == 0 {
			assert.NotRegexp(t, british, got, n.at)
		}
	}
}

func FuzzSentence(f *testing.F) {
	for _, samples := range composed {
		for _, s := range samples {
			f.Add(s)
		}
	}
	for _, s := range []string{"", "a: b", "{n}", "1 - (1 - below 0.01 %)", "; ; . , = + - x and and", "))((", "bed \xff has no base", strings.Repeat("a: ", 500), strings.Repeat("1 bag of (2", 300)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, tag := range locale.Tags() {
			text, ok := lookup(t, tag).Sentence(s)
			assert.True(t, utf8.ValidString(text))
			if !ok {
				assert.Equal(t, strings.ToValidUTF8(s, "\uFFFD"), text)
			}
		}
	})
}
