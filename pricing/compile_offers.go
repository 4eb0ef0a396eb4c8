package pricing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// forms are the forms that a kind of material can have.
func forms(kind estimate.MaterialKind) []Form {
	switch kind {
	case estimate.UnitMaterial:
		return []Form{Each, Pallet, Bulk}
	case estimate.LooseMaterial:
		return []Form{Bag, Bulk, Pallet, Tub}
	case estimate.FabricMaterial:
		return []Form{Roll, Each, Pallet}
	case estimate.PieceMaterial:
		return []Form{Each, Bag, Tub, Pallet}
	}
	return []Form{Bag, Bulk, Pallet, Roll, Each, Tub}
}

func (c *compiler) compileOffers() {
	seen := map[string]int{}
	c.list.offers, c.list.numbers = map[string][]Offer{}, map[string]int{}
	for i := range c.doc.Offers {
		d := &c.doc.Offers[i]
		at := fmt.Sprintf("/offers/%d", i)
		c.uniqueKey(at+"/key", d.Key, seen, i, "offers", "north-base-bulk")
		o := c.offer(at, d)
		c.list.Offers = append(c.list.Offers, o)
		c.list.numbers[o.Key] = i
		c.list.offers[o.Material] = append(c.list.offers[o.Material], o)
	}
}

func (c *compiler) offer(at string, d *OfferDocument) Offer {
	o := Offer{Key: d.Key, Supplier: d.Supplier, Material: d.Material, Form: Form(d.Form), Written: d.Content, Price: d.Price,
		StepContents: one, LeastSteps: 1}
	c.carriage(at, d, &o)
	if _, ok := c.suppliers[d.Supplier]; !ok {
		c.unknown(at+"/supplier", d.Supplier, "supplier", c.supplierKeys(), "north-yard")
	}
	material, known := c.list.Catalogue.Material(d.Material)
	if !known {
		c.unknown(at+"/material", d.Material, "material", c.list.Catalogue.MaterialKeys(), "base-crushed")
	}
	kind := estimate.MaterialKind(0)
	if known {
		kind = material.Kind
	}
	if fit := forms(kind); !slices.Contains(fit, o.Form) {
		detail := "must be one of "
		if kind != 0 {
			detail = "of such a material must be one of "
		}
		c.fault(at+"/form", document.CodeUnknownValue, detail+join(fit), string(fit[0]))
		known = false
	}
	last, rising := d.Price, c.price(at+"/price", d.Price)
	for j, b := range d.Breaks {
		here := fmt.Sprintf("%s/breaks/%d/price", at, j)
		ok := c.price(here, b.Price)
		if ok && rising && !b.Price.Less(last) {
			c.fault(here, CodeNotRising, "must be below the price before it", c.lower(last))
		}
		last, rising = b.Price, ok
	}
	if !known { // without a material and a form there is no saying what its quantities should be
		return o
	}
	content := c.goods(at+"/content", d.Content, material)
	o.Content, o.Step = content.Goods, content.Goods
	c.steps(at, d, &o, content, material)
	return o
}

// lower is a price below another, for an example.
func (c *compiler) lower(price decimal.Decimal) string {
	less, err := price.Mul(decimal.MustNew(9, 1))
	if err != nil || less.IsZero() {
		return c.currency.Format(0)
	}
	return less.Trunc(c.currency.Digits).String()
}

// steps works out in which steps the offer is bought, from how many on, and at which each break is reached.
func (c *compiler) steps(at string, d *OfferDocument, o *Offer, content amount, material *estimate.Material) {
	increment := 1.
	if o.Form == Bulk {
		step := content
		if !d.Increment.IsZero() {
			step = c.goods(at+"/increment", d.Increment, material)
		}
		if content.base > 0 && step.base > 0 {
			o.Step, o.StepContents = step.Goods, share(step, content)
			if x := step.over(content); x < 1e-6 || x > 1e6 {
				c.fault(at+"/increment", document.CodeOutOfRange, "is too far from the content", d.Content.String())
				step = amount{}
			}
		}
		c.thresholds(at, d, o, func(pointer string, q Content) float64 {
			a := c.goods(pointer, q, material)
			if step.base <= 0 || a.base <= 0 {
				return 0
			}
			return a.over(step)
		})
		return
	}
	if n := c.packs(at+"/increment", d.Increment); n > 0 {
		increment = float64(n)
		o.StepContents = decimal.MustNew(int64(n), 0)
		o.Step = Goods{
			Volume: content.Volume.Scale(measure.Factor(n)),
			Count:  content.Count * n,
			Mass:   content.Mass.Scale(measure.Factor(n)),
		}
	}
	c.thresholds(at, d, o, func(pointer string, q Content) float64 { return float64(c.packs(pointer, q)) / increment })
}

// thresholds reads the minimum and the breaks, which over turns into a number of steps, 0 if they cannot be read.
func (c *compiler) thresholds(at string, d *OfferDocument, o *Offer, over func(string, Content) float64) {
	if !d.Minimum.IsZero() {
		o.LeastSteps = max(1, measure.RoundUp(over(at+"/minimum", d.Minimum)))
		if o.LeastSteps > MaxCount {
			c.fault(at+"/minimum", document.CodeOutOfRange, "is too many times the increment", d.Content.String())
		}
	}
	last := 0.
	for j, b := range d.Breaks {
		here := fmt.Sprintf("%s/breaks/%d", at, j)
		from := over(here+"/from", b.From)
		if from == 0 && b.From.IsZero() {
			c.fault(here+"/from", document.CodeNotPositive, "must be above zero", "5 yd3")
		}
		if from > MaxCount {
			c.fault(here+"/from", document.CodeOutOfRange, "is too many times the increment", d.Content.String())
		}
		if from > 0 && from <= last {
			c.fault(here+"/from", CodeNotRising, "must be above the break before it", "5 yd3")
		}
		last = max(last, from)
		o.Breaks = append(o.Breaks, Break{From: b.From, Steps: max(1, measure.RoundUp(from)), Price: b.Price})
	}
}

// packs reads a whole number of packs, 0 if there is none.
func (c *compiler) packs(at string, q Content) int {
	switch {
	case q.Quantity != "":
		c.numberFault(at, CodeWrongKind, "must be a whole number of packs: only bulk is bought by quantity", "10")
	case q.Count < 0:
		c.numberFault(at, document.CodeNegative, "must not be negative", "10")
	case q.Count > MaxCount:
		c.numberFault(at, document.CodeOutOfRange, "must be at most "+strconv.Itoa(MaxCount), "10")
	default:
		return q.Count
	}
	return 0
}

// amount is a content in numbers: Goods, and the same as it was written, so that two of one sort compare exactly.
type amount struct {
	Goods
	base    float64 // m3 of a loose material, otherwise a count
	written float64 // the quantity in SI units, or the count
	sort    RateKind
	byMass  bool
}

// over is how many of another amount this one is.
func (a amount) over(b amount) float64 {
	if a.sort == b.sort && a.byMass == b.byMass {
		return a.written / b.written
	}
	return a.base / b.base
}

// share is a over b with at most 12 significant digits, so that half a yard is 0.5 of a yard and not nearly so.
func share(a, b amount) decimal.Decimal {
	x := a.over(b)
	text := strconv.FormatFloat(x, 'g', 12, 64)
	d, err := decimal.Parse(text)
	if err != nil || d.IsZero() {
		return one
	}
	return d.Trim(0)
}

// goods turns a content into an amount of the material. A content that has none is a fault and gives zero.
func (c *compiler) goods(at string, q Content, m *estimate.Material) amount {
	if c.tooLong(at, q.Quantity, "0.5 ft3") {
		return amount{}
	}
	if m.Kind == estimate.LooseMaterial {
		return c.looseGoods(at, q, m)
	}
	a := amount{sort: PerCount}
	switch {
	case q.Quantity == "":
		if q.Count < 1 || q.Count > MaxCount {
			c.numberFault(at, document.CodeNotPositive, fmt.Sprintf("must be a whole number from 1 to %d: an empty pack is none", MaxCount), "240")
			return amount{}
		}
		a.Count, a.written = q.Count, float64(q.Count)
	case m.Kind == estimate.PieceMaterial:
		c.numberFault(at, CodeWrongKind, "must be a whole number of pieces", "50")
		return amount{}
	default:
		area, err := measure.ParseArea(q.Quantity)
		if err != nil {
			c.misfit(at, "must be a whole number, or an area with its unit", "200 ft2", err)
			return amount{}
		}
		if area <= 0 {
			c.fault(at, document.CodeNotPositive, "must be above zero: an empty pack is none", "200 ft2")
			return amount{}
		}
		face := m.Length.Times(m.Width)
		if m.Kind == estimate.FabricMaterial {
			face = m.RollWidth.Times(m.RollLength)
		}
		if face <= 0 { // a fault of the material
			return amount{}
		}
		a.sort, a.written, a.Count = PerArea, float64(area), measure.RoundDown(area.In(face))
		if a.Count < 1 || a.Count > MaxCount {
			c.fault(at, CodeWrongKind, "must hold one whole unit or roll at least", "200 ft2")
			return amount{}
		}
	}
	a.base = float64(a.Count)
	a.Mass = m.Mass.Scale(measure.Factor(a.Count))
	a.Volume = m.Length.Times(m.Width).AtDepth(m.Thickness).Scale(measure.Factor(a.Count))
	return a
}

func (c *compiler) looseGoods(at string, q Content, m *estimate.Material) amount {
	const example = "0.5 ft3"
	a := amount{sort: PerVolume}
	if q.IsZero() {
		c.fault(at, document.CodeNotPositive, "must be above zero: an empty bag is none", example)
		return amount{}
	}
	if q.Quantity == "" {
		c.fault(at, CodeWrongKind, "must be a volume or a mass with its unit, for a loose material", example)
		return amount{}
	}
	volume, err := measure.ParseVolume(q.Quantity)
	if err == nil {
		a.Volume, a.Mass, a.written = volume, volume.Weigh(m.LooseDensity), float64(volume)
	} else {
		mass, err := measure.ParseMass(q.Quantity)
		if err != nil {
			c.misfit(at, "must be a volume or a mass with its unit, for a loose material", example, err)
			return amount{}
		}
		if m.LooseDensity <= 0 { // a fault of the material
			return amount{}
		}
		a.Volume, a.Mass, a.written, a.byMass = mass.Fill(m.LooseDensity), mass, float64(mass), true
	}
	switch {
	case a.written <= 0:
		c.fault(at, document.CodeNotPositive, "must be above zero: an empty bag is none", example)
		return amount{}
	case a.written < smallest || a.written > largest:
		c.fault(at, document.CodeOutOfRange, "is far from anything that is bought or built with", example)
		return amount{}
	}
	a.base = float64(a.Volume)
	return a
}

// unknown notes a key that names nothing, with those that there are.
func (c *compiler) unknown(at, key, what string, known []string, example string) {
	detail := "names no " + what + " of this list"
	if near := document.Nearest(key, known); len(near) > 0 {
		example = near[0]
		detail += ": did you mean " + strings.Join(near, " or ") + "?"
	} else if len(known) > 0 {
		example = known[0]
		detail += "; there are " + suggest(known)
	}
	c.fault(at, CodeUnknownKey, detail, example)
}

func (c *compiler) supplierKeys() []string {
	keys := make([]string, 0, len(c.doc.Suppliers))
	for _, s := range c.doc.Suppliers {
		keys = append(keys, s.Key)
	}
	slices.Sort(keys)
	return keys
}

func join(fit []Form) string {
	words := make([]string, len(fit))
	for i, f := range fit {
		words[i] = string(f)
	}
	return strings.Join(words, ", ")
}
