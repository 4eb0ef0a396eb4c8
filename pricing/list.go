package pricing

import (
	"crypto/sha256"
	"encoding/hex"
	"strconv"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// List is one version of a price list, compiled: every quantity read, every key found, every impossible value refused.
// Requests share it, so nothing that it holds may be changed.
type List struct {
	Name      string
	Version   int
	Currency  money.Currency
	System    measure.System
	Effective string // the day from which it holds, YYYY-MM-DD
	Note      string

	Catalogue   *estimate.Catalogue
	Suppliers   []Supplier      // in the order of the document, as all that follow
	Offers      []Offer         // of all materials
	HourlyCost  decimal.Decimal // of one person
	CrewSize    int             // 0 if the list does not say
	HoursPerDay decimal.Decimal // zero if the list does not say
	Equipment   []Equipment
	Disposal    *Disposal // nil: the tip costs nothing
	Hauling     []Hauling // at least one
	Holds       []Hold
	Commercial  Commercial
	Taxes       []Tax

	document  *Document
	text      []byte
	etag      string
	rates     []Rate
	suppliers map[string]int
	offers    map[string][]Offer // by material; looked up only
	numbers   map[string]int     // of the offers by key; looked up only
	surplus   map[string]*SurplusValue
	buying    buying
}

// Supplier sells offers and brings them, lets them be fetched, or both.
type Supplier struct {
	Key          string
	Name         string
	Delivery     *Delivery    // nil: it does not deliver
	MinimumOrder money.Amount // of goods before tax, for deliveries; 0 for none
	PickUp       *PickUp      // nil: its goods cannot be fetched
}

// Delivery is what one drop costs and carries. A payload of 0 has no limit.
type Delivery struct {
	Fee           money.Amount
	Payload       measure.Mass
	PayloadVolume measure.Volume
	FreeFrom      *money.Amount // goods from this amount on (>=) make all drops free; nil for never
}

// PickUp is what one trip of the crew's own vehicle costs and carries. A payload of 0 has no limit.
type PickUp struct {
	TripCost      money.Amount
	CrewHours     measure.Hours
	Payload       measure.Mass
	PayloadVolume measure.Volume
}

// Form is how an offer is packed.
type Form string

// The forms.
const (
	Bag    Form = "bag"
	Bulk   Form = "bulk"
	Pallet Form = "pallet"
	Roll   Form = "roll"
	Each   Form = "each"
	Tub    Form = "tub"
)

// Goods is an amount of a material as it is bought and carried.
type Goods struct {
	Volume measure.Volume // loose volume of a loose material; of units the space they fill; 0 for fabric and pieces
	Count  int            // units, rolls or pieces; 0 for a loose material
	Mass   measure.Mass   // 0 if the list does not say
}

// Offer is one way to buy one material.
//
// It is bought in steps. A step of a pack is a whole pack, or as many packs as its increment; a step of bulk is its
// increment (its content, unless said). The number of contents in a step is exact where it has at most 12 significant
// digits, and rounded to that otherwise (a third of a yard).
type Offer struct {
	Key      string
	Supplier string
	Material string
	Form     Form
	Written  Content         // the content, as the list says it
	Price    decimal.Decimal // of one content, below the first break
	Breaks   []Break         // rising

	Content      Goods           // of one content
	Step         Goods           // of one step
	StepContents decimal.Decimal // contents in one step: 1 for most packs, 0.5 for half a yard of a bulk yard
	LeastSteps   int             // the fewest steps that are sold, at least 1

	LeadDays      int             // from order to the day it is there
	HandlingHours decimal.Decimal // of one person, to unload and stack one content
	LoadWith      string          // it rides only with goods of its supplier that say the same
}

// SurplusValue is what a material is worth that is left over, or costs to be rid of.
type SurplusValue struct {
	Written Content         // the quantity, as the list says it
	Per     Goods           // the same
	Price   decimal.Decimal // of that quantity
	Cost    bool            // Price is paid, not got
}

// Break is a price that holds for all of an offer from a number of steps on.
type Break struct {
	From  Content // as the list says it
	Steps int     // the first number of steps that reaches it
	Price decimal.Decimal
}

// PriceAt is the price of one content when the given number of steps is bought.
func (o *Offer) PriceAt(steps int) decimal.Decimal {
	price := o.Price
	for _, b := range o.Breaks {
		if steps < b.Steps {
			break
		}
		price = b.Price
	}
	return price
}

// Contents is the number of contents in the given number of steps: what an order line counts.
func (o *Offer) Contents(steps int) (decimal.Decimal, error) {
	return o.StepContents.Mul(decimal.MustNew(int64(steps), 0))
}

// Amount is what the given number of steps costs: contents x the price at that number, rounded once.
func (o *Offer) Amount(c money.Currency, steps int) (money.Amount, error) {
	contents, err := o.Contents(steps)
	if err != nil {
		return 0, err
	}
	return c.Times(o.PriceAt(steps), contents)
}

// Equipment is a machine for hire.
type Equipment struct {
	Key     string
	Name    string
	HalfDay money.Amount
	Day     money.Amount

	Transport  money.Amount         // to bring and fetch it, once per hire
	Operations []estimate.Operation // that it does as the machine
}

// HoldKey names a time to wait.
type HoldKey string

// The holds.
const (
	UtilityMarking HoldKey = "utility_marking" // from the call to the marks on the ground
	JointCure      HoldKey = "joint_cure"      // of filled joints, before stone or feet
	JointDry       HoldKey = "joint_dry"       // of dry weather after filling joints
)

// Hold is a time to wait, in working days or in hours.
type Hold struct {
	Key         HoldKey
	WorkingDays int
	Hours       measure.Hours
	Source      string
}

// Hold finds a hold; ok is false where the list says nothing of it.
func (l *List) Hold(key HoldKey) (hold Hold, ok bool) {
	for _, h := range l.Holds {
		if h.Key == key {
			return h, true
		}
	}
	return Hold{}, false
}

// Surplus is what is left of a material is worth, nil where the list does not say. It is shared and must not be changed.
func (l *List) Surplus(material string) *SurplusValue { return l.surplus[material] }

// Disposal is what the tip takes for a quantity of loose spoil: per volume or per mass, the other is 0.
type Disposal struct {
	Written string // the quantity, as the list says it
	Volume  measure.Volume
	Mass    measure.Mass
	Price   decimal.Decimal // of that quantity
}

// Commercial turns cost into price, in per cent. At most one of MarkupPercent and MarginPercent is not zero.
type Commercial struct {
	ContingencyPercent decimal.Decimal
	OverheadPercent    decimal.Decimal
	MarkupPercent      decimal.Decimal
	MarginPercent      decimal.Decimal // of the price before tax, below 100

	DiscountPercent decimal.Decimal // of the price before tax
	RoundTo         money.Amount    // the price is a multiple of it; 0 for none
	RoundUp         bool            // to the next multiple, not to the nearest
	DepositPercent  decimal.Decimal // of the price
	Stages          []Stage         // of the price, after the deposit
	ValidDays       int             // 0 if the list does not say
}

// Stage is a payment: a percentage of the price.
type Stage struct {
	Name    string
	Percent decimal.Decimal
}

// Category is a part of the price that a tax may fall on.
type Category string

// The categories.
const (
	MaterialsCategory Category = "materials"
	DeliveryCategory  Category = "delivery"
	EquipmentCategory Category = "equipment"
	LabourCategory    Category = "labour"
	DisposalCategory  Category = "disposal"
)

// Tax is a percentage of the price of some categories.
type Tax struct {
	Name         string
	Jurisdiction string // whose tax it is; may be empty
	Percent      decimal.Decimal
	On           []Category
}

// Supplier finds a supplier by its key. It is shared and must not be changed.
func (l *List) Supplier(key string) (*Supplier, bool) {
	i, ok := l.suppliers[key]
	if !ok {
		return nil, false
	}
	return &l.Suppliers[i], true
}

// OffersFor are the offers of a material in the order of the list. They are shared and must not be changed.
func (l *List) OffersFor(material string) []Offer { return l.offers[material] }

// Document is a copy of the document that the list was compiled from, in the form that JSON writes.
func (l *List) Document() *Document { return l.document.normal() }

// JSON is the document as published. The bytes are a copy.
func (l *List) JSON() []byte { return append([]byte(nil), l.text...) }

// ETag is a strong validator (RFC 9110, 8.8.3), quotes included: equal for equal documents of one version.
func (l *List) ETag() string { return l.etag }

// Summary is what a listing of price lists says of this one.
func (l *List) Summary() Summary {
	return Summary{Name: l.Name, Version: l.Version, Currency: l.Currency.Code, System: l.System.String(),
		Effective: l.Effective, Note: l.Note, ETag: l.etag}
}

func etag(text []byte, version int) string {
	h := sha256.New()
	h.Write(strconv.AppendInt(nil, int64(version), 10))
	h.Write([]byte{'\n'})
	h.Write(text)
	return `"` + hex.EncodeToString(h.Sum(nil)[:16]) + `"`
}
