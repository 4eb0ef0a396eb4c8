package api

import (
	"strconv"

	"bedline/estimate"
	"bedline/estimate/measure"
	"bedline/pricing"
	"bedline/pricing/supply"
)

// RunningShort is what it comes to that a job is not certain. openapi.yaml describes every member.
type RunningShort struct {
	Basis           string          `json:"basis"` // confidence or least_expected_cost
	Confidence      *Number         `json:"confidence,omitempty"`
	Taken           ShortPlan       `json:"taken"`
	AsSaid          ShortPlan       `json:"as_said"`
	LeastExpected   *ShortPlan      `json:"least_expected,omitempty"`
	Premium         string          `json:"premium"`
	ConfidenceCosts string          `json:"confidence_costs,omitempty"`
	Materials       []ShortMaterial `json:"materials"`
	Workings        []Working       `json:"workings"`
}

// ShortPlan is what one plan comes to where needs are not certain.
type ShortPlan struct {
	LandedCost string `json:"landed_cost"`
	TopUp      string `json:"top_up"`
	Expected   string `json:"expected_cost"`
	Short      Number `json:"chance_of_running_short"`
	Optimal    *bool  `json:"optimal,omitempty"`
	Bound      string `json:"bound,omitempty"`
}

// ShortMaterial is one material that may run short.
type ShortMaterial struct {
	Material  string    `json:"material"`
	Required  Quantity  `json:"required"`
	Mean      Quantity  `json:"mean"`
	Deviation Quantity  `json:"deviation"`
	Target    Quantity  `json:"target"`
	Bought    Quantity  `json:"bought"`
	Short     Number    `json:"chance_of_running_short"`
	TopUp     *TopUp    `json:"top_up,omitempty"`
	Workings  []Working `json:"workings"`
}

// TopUp is what a material is topped up with when it runs short.
type TopUp struct {
	Offer    string   `json:"offer"`
	Supplier string   `json:"supplier"`
	Content  Quantity `json:"content"`
	Price    string   `json:"price"`
	Trip     string   `json:"trip"`
	Packs    Number   `json:"expected_packs"`
	Expected string   `json:"expected_cost"`
}

func (w writer) runningShort(s *pricing.RunningShort) *RunningShort {
	if s == nil {
		return nil
	}
	out := &RunningShort{Basis: "least_expected_cost", Taken: w.shortPlan(&s.Taken, s.Confidence == 0), AsSaid: w.shortPlan(&s.Certain, false),
		Premium: w.money(s.Taken.Plan.Landed - s.Certain.Plan.Landed), Materials: make([]ShortMaterial, 0, len(s.Materials)), Workings: workings(s.Workings)}
	if s.Confidence > 0 {
		confidence := Number(s.Confidence)
		out.Basis, out.Confidence = "confidence", &confidence
		if s.Least != nil {
			least := w.shortPlan(s.Least, true)
			out.LeastExpected, out.ConfidenceCosts = &least, w.money(s.Taken.Expected-s.Least.Expected)
		}
	}
	for i := range s.Materials {
		out.Materials = append(out.Materials, w.shortMaterial(&s.Materials[i]))
	}
	return out
}

// shortPlan writes a hedge; bounded is that of the least expected cost, which is proved or bounded as such.
func (w writer) shortPlan(h *supply.Hedge, bounded bool) ShortPlan {
	out := ShortPlan{LandedCost: w.money(h.Plan.Landed), TopUp: w.money(h.Expected - h.Plan.Landed), Expected: w.money(h.Expected), Short: Number(h.Short)}
	if bounded {
		out.Optimal, out.Bound = &h.Proved, w.money(h.Bound)
	}
	return out
}

func (w writer) shortMaterial(x *pricing.ShortMaterial) ShortMaterial {
	by := counted(x.Material)
	amount := func(c supply.Content) Quantity {
		return w.amount(estimate.Amount{Kind: x.Required.Kind, Value: float64(c)}, by)
	}
	out := ShortMaterial{Material: x.Material.Key, Required: w.amount(x.Required, by), Mean: amount(x.Mean), Deviation: amount(x.Deviation), Target: amount(x.Target),
		Bought: amount(x.Bought), Short: Number(x.Short), Workings: workings(x.Workings)}
	if x.Deviation > 0 {
		t := &x.TopUp
		out.TopUp = &TopUp{Offer: t.Offer, Supplier: t.Supplier, Content: amount(t.Content), Price: w.money(t.Price), Trip: w.money(t.Trip), Packs: Number(x.Packs), Expected: w.money(x.Risk.Expected)}
	}
	return out
}

func appendRunningShort(b []byte, v *RunningShort) []byte {
	b = append(b, `{"basis":`...)
	b = appendText(b, v.Basis)
	if v.Confidence != nil {
		b = append(b, `,"confidence":`...)
		b = measure.AppendNumber(b, float64(*v.Confidence))
	}
	b = append(b, `,"taken":`...)
	b = appendShortPlan(b, &v.Taken)
	b = append(b, `,"as_said":`...)
	b = appendShortPlan(b, &v.AsSaid)
	if v.LeastExpected != nil {
		b = append(b, `,"least_expected":`...)
		b = appendShortPlan(b, v.LeastExpected)
	}
	b = append(b, `,"premium":`...)
	b = appendText(b, v.Premium)
	if v.ConfidenceCosts != "" {
		b = append(b, `,"confidence_costs":`...)
		b = appendText(b, v.ConfidenceCosts)
	}
	b = append(b, `,"materials":`...)
	b = appendList(b, v.Materials, appendShortMaterial)
	b = append(b, `,"workings":`...)
	b = appendList(b, v.Workings, appendWorking)
	return append(b, '}')
}

func appendShortPlan(b []byte, v *ShortPlan) []byte {
	b = append(b, `{"landed_cost":`...)
	b = appendText(b, v.LandedCost)
	b = append(b, `,"top_up":`...)
	b = appendText(b, v.TopUp)
	b = append(b, `,"expected_cost":`...)
	b = appendText(b, v.Expected)
	b = append(b, `,"chance_of_running_short":`...)
	b = measure.AppendNumber(b, float64(v.Short))
	if v.Optimal != nil {
		b = append(b, `,"optimal":`...)
		b = strconv.AppendBool(b, *v.Optimal)
	}
	if v.Bound != "" {
		b = append(b, `,"bound":`...)
		b = appendText(b, v.Bound)
	}
	return append(b, '}')
}

func appendShortMaterial(b []byte, v *ShortMaterial) []byte {
	b = append(b, `{"material":`...)
	b = appendText(b, v.Material)
	b = append(b, `,"required":`...)
	b = appendQuantity(b, &v.Required)
	b = append(b, `,"mean":`...)
	b = appendQuantity(b, &v.Mean)
	b = append(b, `,"deviation":`...)
	b = appendQuantity(b, &v.Deviation)
	b = append(b, `,"target":`...)
	b = appendQuantity(b, &v.Target)
	b = append(b, `,"bought":`...)
	b = appendQuantity(b, &v.Bought)
	b = append(b, `,"chance_of_running_short":`...)
	b = measure.AppendNumber(b, float64(v.Short))
	if v.TopUp != nil {
		b = append(b, `,"top_up":`...)
		b = appendTopUp(b, v.TopUp)
	}
	b = append(b, `,"workings":`...)
	b = appendList(b, v.Workings, appendWorking)
	return append(b, '}')
}

func appendTopUp(b []byte, v *TopUp) []byte {
	b = append(b, `{"offer":`...)
	b = appendText(b, v.Offer)
	b = append(b, `,"supplier":`...)
	b = appendText(b, v.Supplier)
	b = append(b, `,"content":`...)
	b = appendQuantity(b, &v.Content)
	b = append(b, `,"price":`...)
	b = appendText(b, v.Price)
	b = append(b, `,"trip":`...)
	b = appendText(b, v.Trip)
	b = append(b, `,"expected_packs":`...)
	b = measure.AppendNumber(b, float64(v.Packs))
	b = append(b, `,"expected_cost":`...)
	b = appendText(b, v.Expected)
	return append(b, '}')
}
