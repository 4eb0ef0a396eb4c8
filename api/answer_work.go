package api

import (
	"encoding/json"

	"bedline/pricing"
)

// WorkRate is where the hours of a line come from: a rate of the price list or of the request, or the trips of a vehicle.
type WorkRate struct {
	From   string      `json:"from"`            // price_list, request or trips
	Per    string      `json:"per,omitempty"`   // the quantity, as it was written
	Hours  json.Number `json:"hours,omitempty"` // for that quantity
	Source string      `json:"source,omitempty"`
}

func (w writer) workLine(l *pricing.Line, item *LineItem) {
	work := l.Work
	item.Operation = string(work.Operation)
	item.Tool = string(l.Tool)
	item.Hours = decimalNumber(l.Hours)
	quantity := work.Quantity
	if l.Tool == pricing.ByMachine && work.Machine != nil {
		quantity = work.Machine.Quantity
	}
	measured := w.amount(quantity, "each")
	item.Measured = &measured
	if work.Material != nil {
		item.Material = work.Material.Key
	}
	for _, z := range work.Zones {
		item.Zones = append(item.Zones, Zone{ID: z.ID, Measured: w.amount(z.Share, "each")})
	}
	rate := &WorkRate{From: "price_list", Source: l.Rate.Source}
	switch {
	case l.Rate.Requested:
		rate.From, rate.Source = "request", ""
	case l.Rate.Written.IsZero():
		rate.From = "trips"
	}
	if !l.Rate.Written.IsZero() {
		rate.Per, rate.Hours = l.Rate.Written.String(), decimalNumber(l.Rate.Hours)
	}
	item.Rate = rate
}

func appendWorkRate(b []byte, v *WorkRate) []byte {
	b = append(b, `{"from":`...)
	b = appendText(b, v.From)
	if v.Per != "" {
		b = append(b, `,"per":`...)
		b = appendText(b, v.Per)
	}
	if v.Hours != "" {
		b = append(b, `,"hours":`...)
		b = append(b, v.Hours...)
	}
	if v.Source != "" {
		b = append(b, `,"source":`...)
		b = appendText(b, v.Source)
	}
	return append(b, '}')
}
