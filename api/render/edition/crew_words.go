package edition

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/govalues/decimal"

	"bedline/api/render/page"
	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
	"bedline/pricing"
	"bedline/pricing/money"
	"bedline/pricing/schedule"
	"bedline/pricing/supply"
)

func (c *crew) add(b page.Block) { c.doc.Blocks = append(c.doc.Blocks, b) }

func (c *crew) say(key string, values ...string) string { return c.words.Say("crew."+key, values...) }

func (c *crew) count(key string, n int, values ...string) string {
	return c.words.Count("crew."+key, n, values...)
}

// oneOf is the word for one of a few keys, or the key itself where there is none.
func (c *crew) oneOf(kind, key string) string {
	if k := "crew." + kind + "." + key; c.words.Has(k) {
		return c.words.Say(k)
	}
	return key
}

func (c *crew) part(key string, newPage bool) {
	c.add(&page.Heading{Level: 2, Words: c.say("part." + key), Break: newPage})
}

func (c *crew) under(words string) { c.add(&page.Heading{Level: 3, Words: words}) }

func (c *crew) paragraph(words string) { c.add(&page.Paragraph{Text: page.Plain(words)}) }

func (c *crew) remark(words string) { c.add(&page.Paragraph{Text: page.Plain(words), Faint: true}) }

// said is what the engine says, in the language of the document where it is known, else marked as English.
func (c *crew) said(english string) page.Text {
	words, ok := c.words.Sentence(english)
	if !ok {
		return page.Text{Words: words, Language: "en"}
	}
	return page.Text{Words: words}
}

// sentence is what the engine says, as a sentence of its own.
func (c *crew) sentence(english string) []page.Text {
	text := c.said(english)
	text.Words = capital(text.Words)
	return []page.Text{text}
}

// capital begins a sentence with a capital.
func capital(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[n:]
}

// facts gathers pairs of a term and what it is; empty ones are left out.
type facts struct{ list []page.Fact }

func (f *facts) add(term, words string) {
	if words != "" {
		f.list = append(f.list, page.Fact{Term: term, Text: page.Plain(words)})
	}
}

func (f *facts) block() *page.Facts { return &page.Facts{Facts: f.list} }

// table begins a table with the columns of the keys: one with a leading # is set to the right, and after a * stands how
// wide it is beside the others.
func (c *crew) table(caption string, keys ...string) *page.Table {
	t := &page.Table{Caption: caption}
	for _, k := range keys {
		key, numbers := strings.CutPrefix(k, "#")
		key, wide, _ := strings.Cut(key, "*")
		share, _ := strconv.ParseFloat(wide, 64) // 0 without
		t.Columns = append(t.Columns, page.Column{Head: c.say("head." + key), Numbers: numbers, Share: share})
	}
	return t
}

func cells(words []string) [][]page.Text {
	out := make([][]page.Text, len(words))
	for i, w := range words {
		out[i] = page.Plain(w)
	}
	return out
}

func row(t *page.Table, words ...string) { t.Rows = append(t.Rows, page.Row{Cells: cells(words)}) }

// tick is a row with a box.
func tick(t *page.Table, words ...string) {
	t.Rows = append(t.Rows, page.Row{Cells: cells(words), Box: true})
}

func total(t *page.Table, words ...string) {
	t.Rows = append(t.Rows, page.Row{Cells: cells(words), Sum: true})
}

// mostRows is how many rows of one table a crew sheet has: more than anybody reads on paper.
const mostRows = 600

// show adds a table that has rows: the first of very many, and the sums at its end.
func (c *crew) show(t *page.Table) {
	if len(t.Rows) == 0 {
		return
	}
	end, all := len(t.Rows), len(t.Rows)
	for end > 0 && t.Rows[end-1].Sum {
		end--
	}
	if end > mostRows {
		t.Rows = append(t.Rows[:mostRows:mostRows], t.Rows[end:]...)
	}
	c.add(t)
	if len(t.Rows) < all {
		c.remark(c.say("rows_left_out", "shown", c.words.Whole(mostRows), "all", c.words.Whole(end)))
	}
}

func (c *crew) length(v measure.Length) string { return c.words.Length(v, c.system) }

// depth is a length across a layer, a joint or a cut.
func (c *crew) depth(v measure.Length) string { return c.words.Depth(v, c.system) }

func (c *crew) area(v measure.Area) string { return c.words.Area(v, c.system) }

func (c *crew) volume(v measure.Volume) string { return c.words.Volume(v, c.system) }

func (c *crew) mass(v measure.Mass) string { return c.words.Mass(v, c.system) }

// direction is an angle from x, between half a turn to either side.
func (c *crew) direction(a measure.Angle) string {
	for a <= -measure.Pi+slight {
		a += 2 * measure.Pi
	}
	for a > measure.Pi+slight {
		a -= 2 * measure.Pi
	}
	switch {
	case -slight < a && a < slight:
		return c.say("direction.x")
	case -slight < a-measure.Pi/2 && a-measure.Pi/2 < slight:
		return c.say("direction.y")
	case a < 0:
		return c.say("direction.right", "angle", c.angle(-a))
	}
	return c.say("direction.left", "angle", c.angle(a))
}

// slight is an angle that is rounding error.
const slight measure.Angle = 1e-9

func (c *crew) angle(a measure.Angle) string { return c.words.Angle(a) }

// number writes a number with so many digits after the point at most.
func (c *crew) number(v float64, digits int) string { return c.words.Number(v, digits) }

func (c *crew) decimal(d decimal.Decimal) string { return c.words.Decimal(d) }

func (c *crew) percent(share float64) string { return c.words.PercentOf(share, 1) }

func (c *crew) hours(d decimal.Decimal) string { return c.words.Hours(d) }

func (c *crew) money(a money.Amount) string { return c.words.Money(a, c.quote.List.Currency) }

// price is a price of the list, which may have more digits than an amount.
func (c *crew) price(d decimal.Decimal) string {
	if a, err := c.quote.List.Currency.Round(d); err == nil && c.quote.List.Currency.Decimal(a).Equal(d) {
		return c.money(a)
	}
	return c.decimal(d) + " " + c.quote.List.Currency.Code
}

func (c *crew) date(d schedule.Day) string { return c.words.Date(d) }

func (c *crew) weekday(d schedule.Day) string { return c.words.FullDate(d) }

// span is working time in hours and minutes.
func (c *crew) span(m schedule.Minutes) string { return c.words.Duration(m) }

// needed is an amount that has to be there: of what is counted, whole ones.
func (c *crew) needed(a estimate.Amount, m *estimate.Material) string {
	if a.Kind == estimate.CountAmount {
		a.Value = float64(measure.RoundUp(a.Value))
	}
	return c.amount(a, m)
}

func (c *crew) amount(a estimate.Amount, m *estimate.Material) string {
	switch a.Kind {
	case estimate.LengthAmount:
		return c.length(measure.Length(a.Value))
	case estimate.AreaAmount:
		return c.area(measure.Area(a.Value))
	case estimate.VolumeAmount:
		return c.volume(measure.Volume(a.Value))
	case estimate.CountAmount:
		n := c.number(a.Value, 1)
		if m == nil {
			return n
		}
		word := "units"
		switch m.Kind {
		case estimate.FabricMaterial:
			word = "rolls"
		case estimate.PieceMaterial:
			word = "pieces"
		case estimate.UnitMaterial, estimate.LooseMaterial:
		}
		return c.say(word+c.form(n), "n", n)
	}
	return ""
}

// form is the ending of the key of a message for a number that need not be whole.
func (c *crew) form(n string) string {
	if n == c.number(1, 1) {
		return ".one"
	}
	return ".other"
}

// content is an amount of a material as it is bought.
func content(v supply.Content, m *estimate.Material) estimate.Amount {
	if m.Kind == estimate.LooseMaterial {
		return estimate.Amount{Kind: estimate.VolumeAmount, Value: float64(v)}
	}
	return estimate.Amount{Kind: estimate.CountAmount, Value: float64(v)}
}

// material is the name of a material of the list.
func (c *crew) material(key string) string {
	if m, ok := c.quote.List.Catalogue.Material(key); ok {
		return m.Name
	}
	return key
}

// pack is an offer in words: "bag of 50 lb".
func (c *crew) pack(o *pricing.Offer) string {
	key := "pack." + string(o.Form)
	if o.Form == pricing.Each && o.Written.Count == 1 {
		key = "pack.one"
	}
	return c.say(key, "content", c.written(o.Written))
}

// written is a content as the list says it.
func (c *crew) written(w pricing.Content) string {
	if w.Quantity == "" {
		return c.words.Whole(w.Count)
	}
	number, unit, _ := strings.Cut(w.Quantity, " ")
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || strings.Contains(unit, " ") {
		return w.Quantity
	}
	return c.words.Quantity(measure.Quantity{Value: v, Unit: unit}, 4)
}

// zone is a place of the job by its id.
func (c *crew) zone(id string) string {
	j := c.quote.Job
	for i := range j.Beds {
		if j.Beds[i].ID == id {
			return c.say("zone.bed", "id", id)
		}
	}
	for i := range j.Slabs {
		if j.Slabs[i].ID == id {
			return c.say("zone.slabs", "id", id)
		}
	}
	for i := range j.Paving {
		if j.Paving[i].ID == id {
			return c.say("zone.paving", "id", id)
		}
	}
	for i := range j.Planters {
		if j.Planters[i].ID == id {
			return c.say("zone.planter", "id", id)
		}
	}
	return id
}

// dug is a digging by its place.
func (c *crew) dug(zone string, part estimate.DiggingPart) string {
	return c.say("dug."+string(part), "id", zone)
}

// sideOf names a side or a corner arc by its number.
func (c *crew) sideOf(side, corner int) string {
	switch {
	case side != outline.None:
		return c.say("side", "n", strconv.Itoa(side))
	case corner != outline.None:
		return c.say("corner", "n", strconv.Itoa(corner))
	}
	return ""
}

func (c *crew) operation(op estimate.Operation) string {
	if k := "crew.operation." + string(op); c.words.Has(k) {
		return c.words.Say(k)
	}
	return pricing.Describe(op)
}
