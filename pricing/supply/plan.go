package supply

import (
	"errors"
	"fmt"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// Way is how the goods of a supplier reach the site.
type Way uint8

// The ways of goods.
const (
	Delivered Way = iota + 1
	PickedUp
)

// String is the way's name in answers.
func (w Way) String() string {
	switch w {
	case Delivered:
		return "delivered"
	case PickedUp:
		return "picked_up"
	}
	return ""
}

// Plan is what to buy.
type Plan struct {
	Purchases []Purchase // by need in the order of the problem, then by offer key
	Covers    []Cover    // one per need, in the order of the problem
	Suppliers []Use      // those bought from, in the order of the problem
	Goods     money.Amount
	Delivery  money.Amount // delivery fees and pick-up trips
	Handling  money.Amount // of the goods, and the crew's time of pick-ups
	Tax       money.Amount // on goods and delivery, where the problem counts it
	Worth     money.Amount // of what is left over, below zero where it costs to be rid of it
	Landed    money.Amount // Goods + Delivery + Handling + Tax - Worth
	Optimal   bool         // no plan costs less: Bound is Landed
	Settled   bool         // the search was complete, so that ties are settled too; false when the work limit was spent
	Bound     money.Amount // no plan costs less than this
	Nodes     int          // steps of work spent
}

// Gap is how much dearer than the best the plan can be.
func (p Plan) Gap() money.Amount { return p.Landed - p.Bound }

// Purchase is one line of an order.
type Purchase struct {
	Need     int // index into Problem.Needs
	Material string
	Offer    string
	Supplier string
	Form     Form
	Steps    int             // multiples of the increment
	Count    decimal.Decimal // Steps x increment
	Price    decimal.Decimal // per count, after breaks
	Amount   money.Amount    // Price x Count, rounded
	Handling money.Amount
	Tax      money.Amount // on Amount
	Content  Content
	Mass     measure.Mass
	Volume   measure.Volume
}

// Cover is how a need is met. Surplus is never below zero.
type Cover struct {
	Material string
	Need     Content
	Bought   Content
	Surplus  Content
	Worth    money.Amount // of the surplus, below zero where it costs to be rid of it
	Amount   money.Amount
	Mass     measure.Mass
	Volume   measure.Volume
}

// Use is what comes from one supplier.
type Use struct {
	Supplier string
	Way      Way
	Goods    money.Amount
	Charge   money.Amount // delivery fees or trip costs
	Tax      money.Amount // on Charge
	Crew     money.Amount // the crew's time of pick-ups
	Trips    int          // drops of a delivery, trips of a pick-up
	Mass     measure.Mass
	Volume   measure.Volume
	// Loads are those of its load groups where more than one is in use, by their text; Trips is the sum of theirs.
	Loads []Load
}

// Load is what rides together.
type Load struct {
	With   string // Offer.LoadWith of its goods
	Trips  int
	Mass   measure.Mass
	Volume measure.Volume
}

// NoCoverError says that no combination of offers meets the needs.
type NoCoverError struct {
	Materials []string // those that nothing on sale covers; when MaxSuppliers is to blame, all
	// MaxSuppliers is the limit that can't be kept although each material can be had, else 0.
	MaxSuppliers int
}

func (e *NoCoverError) Error() string {
	list := strings.Join(e.Materials, ", ")
	if e.MaxSuppliers > 0 {
		return fmt.Sprintf("no %d supplier(s) have all of %s", e.MaxSuppliers, list)
	}
	return "no offer covers " + list
}

// InputError names a member of a problem that makes no sense.
type InputError struct {
	What   string // "offer north-base-bulk"
	Detail string
}

func (e *InputError) Error() string { return e.What + ": " + e.Detail }

// ErrNoPlanInLimit says that the work limit was spent before any plan was found.
var ErrNoPlanInLimit = errors.New("work limit spent before a plan was found")

// Rival is a plan under a restriction, to be shown beside the cheapest.
type Rival struct {
	Kind     RivalKind
	Name     string // "all in bags", "only north-yard", "at most 2 suppliers"
	Supplier string // of OneSupplier
	Count    int    // of FewSuppliers
	Plan     Plan
	Kept     []string // materials that don't come in the form and keep what they have
	Err      error    // *NoCoverError where the restriction can't be kept
}

// RivalKind is the restriction of a rival.
type RivalKind uint8

// The kinds of rivals.
const (
	AllBags RivalKind = iota + 1
	AllBulk
	OneSupplier
	FewSuppliers
)

// Step is a piece of a step function of cost: for quantities above that of the step before (above 0 for the first) up
// to and with UpTo the least landed cost is Cost.
type Step struct {
	UpTo Content
	Cost money.Amount
}

// BreakEven compares a material in bulk with the same in bags, each alone with its delivery.
type BreakEven struct {
	Material string
	// Found says that there is a quantity within the range above which bulk costs no more.
	Found bool
	// Above is that quantity: any need above it (and up to the next step of either cost) is no dearer in bulk; no
	// smaller need is. It is what the bags that still are cheaper hold.
	Above    Content
	BulkCost money.Amount // just above it
	BagCost  money.Amount
	Range    Content      // quantities looked at
	Proved   bool         // false when the work limit was spent
	NeedBulk money.Amount // landed cost of the need alone in bulk
	NeedBags money.Amount // landed cost of the need alone in bags
	BulkPlan Plan         // of the need alone
	BagPlan  Plan
}

// Left is what is bought beyond a need; less than the guard of coverage is rounding error.
func Left(bought, need Content) Content {
	if left := bought - max(0, need); left > Content(1e-9*max(1, float64(need))) {
		return left
	}
	return 0
}
