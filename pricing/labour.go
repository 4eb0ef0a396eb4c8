package pricing

import (
	"fmt"
	"strings"

	"github.com/govalues/decimal"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/money"
)

// labour makes a line of every operation from the request, the trips of vehicles and the rates of the list, and the line
// of the spoil.
func (q *Quote) labour(faults *document.Faults) error {
	var missing, left []string
	said := map[string]bool{} // only looked up
	for i := range q.Takeoff.Work {
		w := &q.Takeoff.Work[i]
		tool := q.toolOf(i)
		work := q.workOf(i, tool)
		hours, rate, workings, ok := work.hours, work.rate, work.workings, work.ok
		name := string(w.Operation)
		if !ok {
			list := &missing
			if w.Operation.MayLackRate() {
				list = &left
			}
			if n := len(*list); n == 0 || (*list)[n-1] != name { // the lines of an operation follow one another
				*list = append(*list, name)
			}
			continue
		}
		if where := q.wayMember(w.Operation); rate.Stretch != 1 && !said[where] {
			said[where] = true
			q.notice("haul_beyond_rates", estimate.Confirm, "the haul is longer than any that the price list has a rate for: the longest is stretched by "+
				measure.FormatNumber(float64(rate.Stretch), 2), where)
		}
		line, err := q.workLine(w, hours, workings)
		if err != nil {
			return err
		}
		line.Rate, line.Tool = rate, tool
		q.Lines = append(q.Lines, line)
	}
	if len(missing) > 0 {
		where := "in this ground"
		if access := q.Job.Ground.Access; access > 0 {
			p := pencil{q.Job.System, q.List.Currency}
			where += " and a way in of " + p.quantity(p.system.Length(access))
		}
		faults.Add("/price_list", codeMissingRate, "has no rate "+where+" for what the job needs: "+strings.Join(missing, ", ")+"; add them to labour.rates of the price list, or for this job to labour.rates of the request", "")
		return nil
	}
	if len(left) > 0 {
		q.notice("operation_without_rate", estimate.Info, "the price list has no rate for "+strings.Join(left, ", ")+
			": their hours are left out, unless its other rates take them in", "")
	}
	return q.spoil()
}

// wayMember is where a request says how far a haul goes.
func (q *Quote) wayMember(op estimate.Operation) string {
	if op == estimate.HaulMaterials && q.Job.Ground.HaulIn != q.Job.Ground.Haul {
		return "/ground/haul_in"
	}
	return "/ground/haul"
}

// workLine rounds the hours of an operation to a hundredth, and makes the line of their cost.
func (q *Quote) workLine(w *estimate.WorkLine, needed measure.Hours, workings []estimate.Working) (Line, error) {
	hours, amount, err := q.priceHours(needed)
	if err != nil {
		return Line{}, fmt.Errorf("pricing the hours of %s: %w", w.Operation, err)
	}
	cost := q.hourlyCost()
	key := estimate.Labour
	if w.Operation == estimate.DigBed || w.Operation == estimate.DigTrench {
		key = estimate.Excavation
	}
	p := pencil{q.Job.System, q.List.Currency}
	price := estimate.Working{Label: "cost", Expression: hours.String() + " h x " + cost.String() + p.roundingOf(cost, hours), Result: p.money(amount)}
	if q.Terms.Labour.HourlyCost != nil {
		price.Expression += ", from the request"
	}
	return Line{Key: key, Category: LabourCategory, Description: Describe(w.Operation), Work: w, Hours: hours, Amount: amount, Workings: append(workings, price)}, nil
}

// priceHours rounds working time to a hundredth of an hour, and gives its cost.
func (q *Quote) priceHours(needed measure.Hours) (decimal.Decimal, money.Amount, error) {
	hours, err := decimal.Parse(measure.FormatNumber(float64(needed), 2))
	if err != nil {
		return decimal.Decimal{}, 0, fmt.Errorf("rounding the hours: %w", err)
	}
	amount, err := q.List.Currency.Times(q.hourlyCost(), hours)
	return hours, amount, err
}

func rateHours(r *Rate, a estimate.Amount) measure.Hours {
	switch a.Kind {
	case estimate.CountAmount:
		return r.ForCount(measure.RoundUp(a.Value))
	case estimate.LengthAmount:
		return r.ForLength(measure.Length(a.Value))
	case estimate.AreaAmount:
		return r.ForArea(measure.Area(a.Value))
	default:
		return r.ForVolume(measure.Volume(a.Value))
	}
}

// Describe names an operation for people.
func Describe(op estimate.Operation) string {
	switch op {
	case estimate.LocateUtilities:
		return "Have utilities located and marked"
	case estimate.SetOut:
		return "Set out lines and levels"
	case estimate.StripCover:
		return "Strip the ground cover"
	case estimate.DigTrench:
		return "Dig trenches and pads"
	case estimate.DigBed:
		return "Dig out the bed"
	case estimate.HaulSpoil:
		return "Haul spoil"
	case estimate.TrimFormation:
		return "Trim the formation"
	case estimate.CompactBase:
		return "Compact base"
	case estimate.WetAndCure:
		return "Wet joints and let them cure"
	case estimate.HaulMaterials:
		return "Bring materials in from the drop"
	case estimate.LayFabric:
		return "Lay weed fabric"
	case estimate.PlaceBase:
		return "Place base"
	case estimate.ScreedSand:
		return "Screed bedding sand"
	case estimate.LayEdging:
		return "Lay edging"
	case estimate.LaySlabs:
		return "Lay slabs"
	case estimate.LayPaving:
		return "Lay paving"
	case estimate.CutUnits:
		return "Cut units"
	case estimate.FillJoints:
		return "Fill joints"
	case estimate.PlaceStone:
		return "Place decorative stone"
	case estimate.FillPlanters:
		return "Mix soil and fill planters"
	case estimate.CleanUp:
		return "Clean up"
	}
	return string(op)
}

// spoil makes the line of what is tipped.
func (q *Quote) spoil() error {
	spoil := q.Takeoff.Spoil
	if spoil.Loose <= 0 {
		return nil
	}
	p := pencil{q.Job.System, q.List.Currency}
	soil := q.Job.Ground.Soil
	line := Line{Key: estimate.Spoil, Category: DisposalCategory, Description: "Spoil to dispose of", Spoil: true, Loose: spoil.Loose, Mass: spoil.Mass}
	line.Workings = []estimate.Working{
		{Label: "loose", Expression: p.volume(spoil.Bank) + " in the ground x " + measure.FormatNumber(float64(soil.SwellFactor), 3) + " (swell of " + soil.Key + ")", Result: p.volume(spoil.Loose)},
		{Label: "mass", Expression: p.volume(spoil.Bank) + " in the ground x " + p.density(soil.BankDensity), Result: p.mass(spoil.Mass)},
	}
	d := q.List.Disposal
	if d == nil {
		q.notice("disposal_unpriced", estimate.Confirm, "the price list has no price for tipping spoil: it is reckoned as free", "")
		q.Lines = append(q.Lines, line)
		return nil
	}
	quantity := float64(spoil.Loose) / float64(d.Volume)
	if d.Mass > 0 {
		quantity = float64(spoil.Mass) / float64(d.Mass)
	}
	times, err := decimal.Parse(measure.FormatNumber(quantity, 2))
	if err != nil {
		return fmt.Errorf("reckoning the spoil: %w", err)
	}
	if line.Amount, err = q.List.Currency.Times(d.Price, times); err != nil {
		return fmt.Errorf("pricing the spoil: %w", err)
	}
	line.Workings = append(line.Workings, estimate.Working{Label: "disposal", Expression: times.String() + " x " + d.Written + " at " + d.Price.String() + p.roundingOf(d.Price, times), Result: p.money(line.Amount)})
	q.Lines = append(q.Lines, line)
	return nil
}

func (q *Quote) notice(code string, severity estimate.Severity, message, where string) {
	q.Notices = append(q.Notices, estimate.Notice{Code: code, Severity: severity, Message: message, Where: where})
}
