package api

import (
	"bedline/estimate"
	"bedline/estimate/measure"
)

// Lifting is a thing of the job that one person should not lift alone.
type Lifting struct {
	Kind             string        `json:"kind"` // unit, bag, tub or roll
	Material         string        `json:"material"`
	Offer            string        `json:"offer,omitempty"`
	What             string        `json:"what"`
	Mass             Quantity      `json:"mass"`
	Inputs           LiftingInputs `json:"inputs"`
	RecommendedLimit Quantity      `json:"recommended_limit"`
	Index            *Number       `json:"index,omitempty"` // absent where the limit is nothing
	Sentence         string        `json:"sentence"`
	Workings         []Working     `json:"workings"`
}

// LiftingInputs are the circumstances of a lift.
type LiftingInputs struct {
	Basis      string   `json:"basis"` // assumed
	Horizontal Quantity `json:"horizontal"`
	Vertical   Quantity `json:"vertical"`
	Travel     Quantity `json:"travel"`
	Asymmetry  Quantity `json:"asymmetry"`
	Frequency  Number   `json:"lifts_per_minute"`
	Duration   string   `json:"duration"`
	Coupling   string   `json:"coupling"`
}

func (w writer) lifting(list []estimate.Lifting) []Lifting {
	if len(list) == 0 {
		return nil
	}
	out := make([]Lifting, len(list))
	for i := range list {
		l := &list[i]
		in := &l.Inputs
		out[i] = Lifting{Kind: l.Kind, Material: l.Material.Key, Offer: l.Offer, What: l.Material.Name, Mass: w.mass(l.Mass), RecommendedLimit: w.mass(l.Limit),
			Sentence: l.Sentence(), Workings: workings(l.Steps()),
			Inputs: LiftingInputs{Basis: "assumed", Horizontal: w.depth(in.Horizontal), Vertical: w.depth(in.Vertical), Travel: w.depth(in.Travel), Asymmetry: w.angle(in.Asymmetry),
				Frequency: Number(in.Frequency), Duration: in.Duration.String(), Coupling: in.Coupling.String()}}
		if l.Limit > 0 {
			index := Number(l.Index)
			out[i].Index = &index
		}
	}
	return out
}

func appendLifting(b []byte, v *Lifting) []byte {
	b = append(b, `{"kind":`...)
	b = appendText(b, v.Kind)
	b = append(b, `,"material":`...)
	b = appendText(b, v.Material)
	if v.Offer != "" {
		b = append(b, `,"offer":`...)
		b = appendText(b, v.Offer)
	}
	b = append(b, `,"what":`...)
	b = appendText(b, v.What)
	b = append(b, `,"mass":`...)
	b = appendQuantity(b, &v.Mass)
	b = append(b, `,"inputs":`...)
	b = appendLiftingInputs(b, &v.Inputs)
	b = append(b, `,"recommended_limit":`...)
	b = appendQuantity(b, &v.RecommendedLimit)
	if v.Index != nil {
		b = append(b, `,"index":`...)
		b = measure.AppendNumber(b, float64(*v.Index))
	}
	b = append(b, `,"sentence":`...)
	b = appendText(b, v.Sentence)
	b = append(b, `,"workings":`...)
	b = appendList(b, v.Workings, appendWorking)
	return append(b, '}')
}

func appendLiftingInputs(b []byte, v *LiftingInputs) []byte {
	b = append(b, `{"basis":`...)
	b = appendText(b, v.Basis)
	b = append(b, `,"horizontal":`...)
	b = appendQuantity(b, &v.Horizontal)
	b = append(b, `,"vertical":`...)
	b = appendQuantity(b, &v.Vertical)
	b = append(b, `,"travel":`...)
	b = appendQuantity(b, &v.Travel)
	b = append(b, `,"asymmetry":`...)
	b = appendQuantity(b, &v.Asymmetry)
	b = append(b, `,"lifts_per_minute":`...)
	b = measure.AppendNumber(b, float64(v.Frequency))
	b = append(b, `,"duration":`...)
	b = appendText(b, v.Duration)
	b = append(b, `,"coupling":`...)
	b = appendText(b, v.Coupling)
	return append(b, '}')
}
