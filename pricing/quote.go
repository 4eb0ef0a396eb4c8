package pricing

import (
	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/schedule"
	"bedline/pricing/supply"
)

// Quote is a takeoff with prices: the whole answer to a job.
type Quote struct {
	ID      string // SHA-256 in hexadecimal, see Identify
	Job     *estimate.Job
	Takeoff *estimate.Takeoff
	List    *List
	Terms   Terms

	Lines   []Line
	Supply  Supply
	Loads   []Load             // of the spoil, if any, and of every loose material, in the order in which the takeoff needs them
	Lifting []estimate.Lifting // units and packs that one person should not lift alone
	Notices []estimate.Notice
	Totals  Totals
	Plan    *WorkPlan
	Hires   []Hire // of the machines of the list that the job can use, in the order of the list

	Options     []Option     // in the order of the request
	ChangeOrder *ChangeOrder // nil unless the request names an earlier job

	crew     Crew
	calendar *schedule.Calendar
	worked   [][2]worked // by line of work: by hand, by machine
	tools    []Tool      // by line of work
	layout   *layout
}

// Line is one line item.
type Line struct {
	Key         estimate.LineKey
	Category    Category
	Description string

	Material *estimate.MaterialLine // of a material line
	Work     *estimate.WorkLine     // of a line of work
	Spoil    bool                   // the line of disposal
	Loose    measure.Volume         // of that line
	Hours    decimal.Decimal        // working hours of one person, to a hundredth; of a line of work
	Rate     Rate                   // that the hours come from; without hours where trips were reckoned
	Tool     Tool                   // that the work is done with
	Supplier string                 // of a delivery line

	Hire *Hire // of a line of equipment

	Orders  []Order // of a material line
	Shared  bool    // the orders are shared with other lines that need the same material
	Surplus float64 // bought beyond what is required, in the base unit of the required amount
	Mass    measure.Mass

	Amount   money.Amount
	Tax      money.Amount
	Workings []estimate.Working
}

// Order is what is bought of one offer. Amount is the part of it that this line bears.
type Order struct {
	Offer    *Offer
	Supplier string
	Count    decimal.Decimal
	Price    decimal.Decimal
	Amount   money.Amount
}

// Supply is the buying plan with its rivals.
type Supply struct {
	Plan       supply.Plan
	Rivals     []supply.Rival
	Comparison []Comparison
	Short      *RunningShort // where the request says what is not certain, else nil
}

// Comparison sets all bags beside all bulk for one loose material on its own.
type Comparison struct {
	Material *estimate.Material
	Needed   measure.Volume
	supply.BreakEven
	Steps    *Steps // only where they are asked for
	Sentence string
}

// Totals are the sums of the lines and what makes a price of them.
//
//	Direct    = Materials + Delivery + Equipment + Labour + Disposal
//	BeforeTax = Direct + Contingency + Overhead + Profit - Discount + Rounding
//	Price     = BeforeTax + Tax + Odd
type Totals struct {
	Hours       decimal.Decimal
	Materials   money.Amount
	Delivery    money.Amount
	Equipment   money.Amount
	Labour      money.Amount
	Disposal    money.Amount
	Direct      money.Amount
	Contingency money.Amount
	Overhead    money.Amount
	Profit      money.Amount
	Discount    money.Amount
	Rounding    money.Amount // of the price to a multiple, taxed like the rest
	BeforeTax   money.Amount
	Taxes       []TaxAmount
	Tax         money.Amount
	Odd         money.Amount // minor units that no price before tax makes up with its taxes; not taxed
	Price       money.Amount
	Margin      *decimal.Decimal // per cent of the price before tax that is profit in the end; nil where nothing is taken off or rounded
	Payments    []Payment
	Validity    Validity
	Commercial  Commercial
	Workings    []estimate.Working
}

// TaxAmount is one tax of the list on this quote.
type TaxAmount struct {
	Name         string
	Jurisdiction string
	Percent      decimal.Decimal
	On           []Category
	Base         money.Amount // price before tax of those categories
	Amount       money.Amount
	Parts        []TaxPart // in the order of On
}

// TaxPart is what a category bears of a tax.
type TaxPart struct {
	Category Category
	Base     money.Amount
	Amount   money.Amount
}

// Payment is a part of the price and when it is due.
type Payment struct {
	Name    string
	Percent decimal.Decimal
	Amount  money.Amount
}

// Validity tells how long a quote holds.
type Validity struct {
	Days     int    // 0 for not said
	QuotedOn string // year-month-day, empty for not said
	Until    string // the last day, where both are said
}

// of is the sum of a category.
func (t *Totals) of(c Category) *money.Amount {
	switch c {
	case MaterialsCategory:
		return &t.Materials
	case DeliveryCategory:
		return &t.Delivery
	case EquipmentCategory:
		return &t.Equipment
	case LabourCategory:
		return &t.Labour
	default:
		return &t.Disposal
	}
}
