package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNoLineEndsWithinAMeasure(t *testing.T) {
	t.Parallel()
	for name, words := range map[string]string{ // ~ is a no-break space
		"feet and inches":                "together 4~ft~4~in by 2~ft~10~in",
		"with a fraction":                "total length 33~ft~3~3/8~in, level",
		"a fraction alone":               "1/8~in wide",
		"the size of a unit":             "Concrete slab 16 x 16 x 1~3/4~in, in bed “gate”",
		"in brackets":                    "Rounded pebble, 3/4~in (20~mm), 2~in deep, over 119.7~ft²",
		"a volume at the end":            "settled: 1,200.5~yd³.",
		"metres and millimetres":         "1.2~m by 400~mm",
		"what is counted may be parted":  "3 working days, 6 pieces of 12",
		"so may words that begin alike":  "12~in y 3 más, 4 inches",
		"so may feet and another number": "50~ft 2 rolls",
		"a number at the end":            "bed 12",
		"nothing":                        "",
		"blanks":                         " 3  in ",
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			want := strings.ReplaceAll(words, "~", "\u00a0")
			assert.Equal(t, want, unbrokenWords(strings.ReplaceAll(words, "~", " ")))
			assert.Equal(t, want, unbrokenWords(want), "once is enough")
		})
	}
}
