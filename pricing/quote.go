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
	Loads   []Load // of the spoil, if any, and of every loose material, in the order in which the takeoff needs them
	Notices []estimate.Notice
	Totals  Totals
	Plan    *WorkPlan
	Hires   []Hire // of the machines of the list that the job can use, in the order of the list

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
	BeforeTax   money.Amount
	Taxes       []TaxAmount
	Tax         money.Amount
	Price       money.Amount
	Commercial  Commercial
	Workings    []estimate.Working
}

// TaxAmount is one tax of the list on this quote.
type TaxAmount struct {
	Name    string
	Percent decimal.Decimal
	On      []Category
	Amount  money.Amount
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
