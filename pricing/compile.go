package pricing

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// The engine's own values where a list says nothing.
const (
	defaultDigTo      = measure.Inch / 2        // common practice: depths are read off a rule in half inches
	defaultLeastPiece = measure.Factor(1. / 3.) // common practice: no closer shorter than a third of the unit
)

// Compile reads every quantity of the document, checks that the list is possible and gives it a version, from 1 on.
// The error is an *InvalidListError with all faults in the order of the document. The document may be changed after.
func (d *Document) Compile(version int) (*List, error) {
	if version < 1 {
		return nil, fmt.Errorf("compiling price list %q: version %d is below 1", d.Name, version)
	}
	own := d.normal()
	text, err := own.JSON()
	if err != nil {
		return nil, fmt.Errorf("compiling price list %q: %w", d.Name, err)
	}
	c := &compiler{doc: own}
	list := c.compile()
	if len(c.faults) > 0 {
		root, err := document.Parse(text)
		if err != nil {
			return nil, fmt.Errorf("compiling price list %q: %w", d.Name, err)
		}
		var all document.Faults
		all.Merge(c.faults)
		return nil, invalid(own, &all, root)
	}
	list.Version, list.document, list.text, list.etag = version, own, text, etag(text, version)
	list.buying = list.forBuying()
	return list, nil
}

// compiler turns a document into a list and notes every fault on the way.
type compiler struct {
	doc      *Document
	faults   []document.Fault
	currency money.Currency
	list     *List

	materials map[string]int // of the document, the first of each key
	suppliers map[string]int
	soils     map[string]int
}

func (c *compiler) compile() *List {
	d := c.doc
	c.materials, c.suppliers, c.soils = map[string]int{}, map[string]int{}, map[string]int{}
	c.list = &List{Name: d.Name, Effective: d.Effective, Note: d.Note}
	c.head()
	materials := c.compileMaterials()
	soils := c.compileSoils()
	c.compileSuppliers()
	allowances, digTo, least := c.compileSettings()
	c.list.Catalogue = estimate.NewCatalogue(materials, soils, allowances, digTo, least)
	c.list.Catalogue.Lifts = c.compileLifts()
	c.compileSurplus()
	c.compileOffers()
	c.compareResale()
	c.compileLabour()
	c.compileEquipment()
	c.compileHauling()
	c.compileHolds()
	c.compileCommercial()
	c.compileTaxes()
	return c.list
}

func (c *compiler) head() {
	d := c.doc
	c.key("/name", d.Name, "standard")
	currency, err := money.ParseCurrency(d.Currency)
	if err != nil {
		c.fault("/currency", document.CodeUnknownValue, "must be an ISO 4217 currency code in capitals", "USD")
	}
	c.currency, c.list.Currency = currency, currency
	system, err := measure.ParseSystem(d.System)
	if err != nil {
		c.fault("/system", document.CodeUnknownValue, "must be us or metric", "us")
	}
	c.list.System = system
	if day, err := time.Parse(time.DateOnly, d.Effective); err != nil || day.Year() < 1 {
		c.fault("/effective", CodeBadDate, "must be a day that exists, as year-month-day", "2027-03-01")
	}
	c.prose("/note", d.Note, mostNote, "Prices from the spring catalogue")
}

func (c *compiler) compileSettings() (map[estimate.LineKey]measure.Factor, measure.Length, measure.Factor) {
	d := c.doc
	allowances := map[estimate.LineKey]measure.Factor{}
	for _, a := range []struct {
		key   estimate.LineKey
		value *decimal.Decimal
	}{
		{estimate.Edging, d.Allowances.Edging},
		{estimate.Base, d.Allowances.Base},
		{estimate.BeddingSand, d.Allowances.BeddingSand},
		{estimate.JointFill, d.Allowances.JointFill},
		{estimate.Fabric, d.Allowances.Fabric},
		{estimate.DecorativeStone, d.Allowances.DecorativeStone},
		{estimate.Slabs, d.Allowances.Slabs},
		{estimate.Paving, d.Allowances.Paving},
		{estimate.PlanterSoil, d.Allowances.PlanterSoil},
		{estimate.Pins, d.Allowances.Pins},
	} {
		if percent, ok := c.percent("/allowances/"+string(a.key), a.value, 200, "5"); ok {
			allowances[a.key] = factor(percent) / 100
		}
	}
	digTo := defaultDigTo
	if d.Settings.DigTo != "" {
		digTo = c.length("/settings/dig_to", d.Settings.DigTo, aboveZero, "1/2 in")
	}
	least := defaultLeastPiece
	if p := d.Settings.LeastPiece; p != nil {
		// Two closers cut from a unit and a shorter closer are each longer than half a unit, never more for sure.
		if c.number("/settings/least_piece", *p, "0.333") && half.Less(*p) {
			c.numberFault("/settings/least_piece", document.CodeOutOfRange, "must not be more than 0.5 of the long side", "0.333")
		}
		least = factor(*p)
	}
	return allowances, digTo, least
}

// compileLifts reads how thick base is compacted at a time; 0 where the list does not say.
func (c *compiler) compileLifts() estimate.Lifts {
	var lifts estimate.Lifts
	if d := c.doc.Settings.HandLift; d != "" {
		lifts.Hand = c.length("/settings/hand_lift", d, aboveZero, "2 in")
	}
	if d := c.doc.Settings.MachineLift; d != "" {
		lifts.Machine = c.length("/settings/machine_lift", d, aboveZero, "4 in")
	}
	return lifts
}

var (
	half    = decimal.MustNew(5, 1)
	hundred = decimal.MustNew(100, 0)

	thousand = decimal.MustNew(1000, 0)
)

func (c *compiler) compileEquipment() {
	seen := map[string]int{}
	for i, e := range c.doc.Equipment {
		at := fmt.Sprintf("/equipment/%d", i)
		c.uniqueKey(at+"/key", e.Key, seen, i, "equipment", "plate-compactor")
		c.name(at+"/name", e.Name, "Plate compactor")
		c.list.Equipment = append(c.list.Equipment, Equipment{
			Key:     e.Key,
			Name:    e.Name,
			HalfDay: c.amount(at+"/half_day", e.HalfDay),
			Day:     c.amount(at+"/day", e.Day),

			Transport:  c.optionalAmount(at+"/transport", e.Transport),
			Operations: c.operations(at+"/operations", e.Operations),
		})
	}
	if d := c.doc.Disposal; d != nil {
		c.list.Disposal = c.compileDisposal(d)
	}
}

func (c *compiler) compileDisposal(d *DisposalDocument) *Disposal {
	disposal := &Disposal{Written: d.Per, Price: d.Price}
	c.price("/disposal/price", d.Price)
	if c.tooLong("/disposal/per", d.Per, "1 yd3") {
		return disposal
	}
	volume, err := measure.ParseVolume(d.Per)
	mass, massErr := measure.ParseMass(d.Per)
	switch {
	case err != nil && massErr != nil:
		c.misfit("/disposal/per", "must be a volume or a mass with its unit", "1 yd3", err)
	case volume <= 0 && mass <= 0:
		c.fault("/disposal/per", document.CodeNotPositive, "must be above zero", "1 yd3")
	}
	disposal.Volume, disposal.Mass = volume, mass
	return disposal
}

func (c *compiler) compileCommercial() {
	d := c.doc.Commercial
	var out Commercial
	out.ContingencyPercent, _ = c.percent("/commercial/contingency_percent", d.ContingencyPercent, 200, "5")
	out.OverheadPercent, _ = c.percent("/commercial/overhead_percent", d.OverheadPercent, 200, "10")
	out.MarkupPercent, _ = c.percent("/commercial/markup_percent", d.MarkupPercent, 1000, "25")
	out.MarginPercent, _ = c.percent("/commercial/margin_percent", d.MarginPercent, 0, "20")
	if d.MarginPercent != nil && !d.MarginPercent.Less(hundred) {
		c.numberFault("/commercial/margin_percent", document.CodeOutOfRange, "must be below 100: a margin is a share of the price", "20")
	}
	if d.MarkupPercent != nil && d.MarginPercent != nil {
		c.numberFault("/commercial/margin_percent", CodeConflict,
			"stands beside markup_percent: profit is either a markup on cost or a margin of the price", "20")
	}
	c.payment(&d, &out)
	c.list.Commercial = out
}

func (c *compiler) compileTaxes() {
	categories := []string{string(MaterialsCategory), string(DeliveryCategory), string(EquipmentCategory),
		string(LabourCategory), string(DisposalCategory)}
	seen := map[string]int{}
	for i, t := range c.doc.Taxes {
		at := fmt.Sprintf("/taxes/%d", i)
		c.name(at+"/name", t.Name, "Sales tax")
		c.duplicate(at+"/name", t.Name, seen, i, "taxes", "name", "County tax")
		c.prose(at+"/jurisdiction", t.Jurisdiction, mostName, "Our county")
		tax := Tax{Name: t.Name, Jurisdiction: t.Jurisdiction}
		tax.Percent, _ = c.percent(at+"/percent", &t.Percent, 200, "6")
		if len(t.On) == 0 {
			c.fault(at+"/on", document.CodeMissing, "must name at least one of "+strings.Join(categories, ", "), "materials")
		}
		for j, name := range t.On {
			on := fmt.Sprintf("%s/on/%d", at, j)
			switch {
			case !slices.Contains(categories, name):
				c.fault(on, document.CodeUnknownValue, "must be one of "+strings.Join(categories, ", "), "materials")
			case slices.Contains(t.On[:j], name):
				c.fault(on, CodeDuplicate, "is named twice", "materials")
			}
			tax.On = append(tax.On, Category(name))
		}
		c.list.Taxes = append(c.list.Taxes, tax)
	}
}

// factor is a decimal as a pure number.
func factor(d decimal.Decimal) measure.Factor {
	f, _ := d.Float64()
	return measure.Factor(f)
}

// Most characters of the texts for people.
const (
	mostName   = 200
	mostSource = 1000
	mostNote   = 2000
)

// name checks a text for people that has to be there.
func (c *compiler) name(at, text, example string) {
	if strings.TrimSpace(text) == "" {
		c.fault(at, document.CodeMissing, "must not be empty", example)
		return
	}
	c.prose(at, text, mostName, example)
}

// prose checks a text for people: one line.
func (c *compiler) prose(at, text string, most int, example string) {
	switch {
	case utf8.RuneCountInString(text) > most:
		c.fault(at, document.CodeOutOfRange, fmt.Sprintf("must have at most %d characters", most), example)
	case !utf8.ValidString(text):
		c.fault(at, document.CodeBadText, "must be UTF-8", example)
	case strings.ContainsFunc(text, func(r rune) bool { return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' }):
		c.fault(at, document.CodeBadText, "must be one line without control characters", example)
	}
}
