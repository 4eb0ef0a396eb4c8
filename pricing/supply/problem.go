package supply

import (
	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// Content is an amount of a material in the base that its need is stated in: m3, kg, m2 or pieces. Need and offers of
// one material use the same base; the caller converts.
type Content float64

// Base says what the content of a material counts. The optimiser doesn't use it; it is carried for the reader.
type Base uint8

// The bases of content.
const (
	ByVolume Base = iota // m3
	ByMass               // kg
	ByArea               // m2
	ByCount              // pieces
)

// Form is how an offer is packed.
type Form uint8

// The forms of an offer. AnyForm stands for no restriction.
const (
	AnyForm Form = iota
	Bag
	Bulk
	Pallet
	Roll
	Each
	Tub
)

// String is the form's name as the price list writes it.
func (f Form) String() string {
	switch f {
	case Bag:
		return "bag"
	case Bulk:
		return "bulk"
	case Pallet:
		return "pallet"
	case Roll:
		return "roll"
	case Each:
		return "each"
	case Tub:
		return "tub"
	}
	return "any"
}

// Problem is what has to be bought and where it can be had.
type Problem struct {
	Currency  money.Currency
	Suppliers []Supplier // at most MostSuppliers with their load groups, see Offer.LoadWith
	Needs     []Need     // one per material
	Limits    Limits
	Tax       Tax // counted in the landed cost; the zero value is none
}

// MostSuppliers is how many suppliers, each load group of the needed goods counted for one, a problem has at most.
const MostSuppliers = 64

// Tax is what is added to goods and to delivery as a share of them: 0.06 is 6 %. That on goods is rounded for each line,
// that on delivery for each drop or trip. Amounts that suppliers ask for are before tax.
type Tax struct {
	Goods    decimal.Decimal
	Delivery decimal.Decimal
}

// Supplier is a place that sells. One that neither delivers nor lets goods be picked up is taken to deliver without a
// fee or a payload.
type Supplier struct {
	Key          string
	Delivery     *Delivery
	PickUp       *PickUp
	MinimumOrder money.Amount // goods of a delivery, before tax; no bearing on a pick-up
}

// Delivery is what a supplier charges to bring goods. Goods of a supplier that can share a drop come together: the drops
// of each load group are the larger of mass over payload and volume over payload volume, each rounded up with the guard,
// at least one, and those of the supplier are their sum. Goods of all groups count towards FreeFrom, which frees all
// drops.
type Delivery struct {
	Fee           money.Amount   // per drop
	Payload       measure.Mass   // of one drop; 0 is unlimited
	PayloadVolume measure.Volume // of one drop; 0 is unlimited
	FreeFrom      money.Amount   // goods from which (>=) all drops are free; 0 is never
}

// PickUp is what a trip to the supplier costs. Trips are counted as drops are.
type PickUp struct {
	TripCost      money.Amount
	Crew          money.Amount   // of the crew's time of a trip: handling, without tax, beside TripCost
	Payload       measure.Mass   // of one trip; 0 is unlimited
	PayloadVolume measure.Volume // of one trip; 0 is unlimited
}

// Need is the quantity of one material that the plan must cover, with a guard of 1e-9 of it (of one base unit when it
// is below one). A need of zero or less buys nothing.
type Need struct {
	Material string
	Base     Base
	Quantity Content
	Offers   []Offer
	Surplus  Surplus // value of what is bought beyond the quantity, part of the landed cost
}

// Offer is a thing on sale. Content, mass and volume are those of a count of one.
type Offer struct {
	Key      string // unique in the problem; the last tie-break is by it
	Supplier string
	Form     Form
	Content  Content // > 0
	Mass     measure.Mass
	Volume   measure.Volume
	Price    decimal.Decimal // per count
	Breaks   []Break
	// Increment is the step of the count; 0 means 1. Loose goods may step in fractions: 0.5.
	Increment decimal.Decimal
	// Minimum is the least count that is sold: the least multiple of Increment not below it.
	Minimum decimal.Decimal
	// Handling is what it costs to handle a count of one, such as the hours of carrying it: part of the landed cost, not of
	// the goods. That of a step of the count is rounded.
	Handling decimal.Decimal
	// LoadWith names the load group: goods of a supplier share a drop or trip only with goods of the same group. "" is a
	// group like any other.
	LoadWith string
	// LeadDays is how many days pass from order to delivery.
	LeadDays int
}

// Break is a price of all units of an offer from a count (>=).
type Break struct {
	From  decimal.Decimal
	Price decimal.Decimal
}

// Limits narrow a problem. The zero value narrows nothing.
type Limits struct {
	Nodes        int      // steps of work; 0 is DefaultNodes
	MaxSuppliers int      // suppliers bought from; 0 is any number
	Form         Form     // materials that are offered in this form are bought in it only; the others keep all forms
	Suppliers    []string // keys of the suppliers that may be bought from; empty is all
	LeadDays     int      // offers with more are left out; 0 is any number
}

// DefaultNodes is the limit of work of a problem that sets none.
const DefaultNodes = 200_000
