package pricing

import (
	"fmt"
	"strconv"
	"strings"

	"bedline/estimate/document"
)

// nameOffers adds to each fault inside an offer the key of the offer, since a pointer names it by its number only.
func (d *Document) nameOffers(faults []document.Fault) {
	for i := range faults {
		f := &faults[i]
		rest, ok := strings.CutPrefix(f.Pointer, "/offers/")
		if !ok {
			continue
		}
		number, member, inside := strings.Cut(rest, "/")
		n, err := strconv.Atoi(number)
		if err != nil || !inside || n < 0 || n >= len(d.Offers) {
			continue
		}
		if strings.HasSuffix("/"+member, "/currency") && f.Code == document.CodeUnknownMember {
			f.Detail = "is no member of an offer: all prices of a list are in the currency of the list, " + d.Currency + "; offers in another go into a list of their own"
		}
		if key := d.Offers[n].Key; key != "" && member != "key" {
			f.Detail += " (offer " + key + ")"
		}
	}
}

// foreign finds a currency that stands beside a number, such as EUR in "12.00 EUR"; "" if there is none.
func foreign(text string) string {
	trimmed := strings.Trim(text, "0123456789., \t-+")
	if trimmed == "" || trimmed == text {
		return ""
	}
	for _, r := range trimmed {
		letter := r >= 'A' && r <= 'Z' && len(trimmed) == 3
		if !letter && r != '$' && r < 0x80 {
			return ""
		}
	}
	return trimmed
}

// compareResale refuses a resale value that is not below what every offer costs: buying without end would be cheapest.
func (c *compiler) compareResale() {
	for i := range c.doc.Materials {
		key := c.doc.Materials[i].Key
		v := c.list.surplus[key]
		if v == nil || v.Cost || v.Price.IsZero() {
			continue
		}
		per := float64(v.Per.Volume)
		if v.Per.Count > 0 {
			per = float64(v.Per.Count)
		}
		price, _ := v.Price.Float64()
		if per <= 0 || price <= 0 {
			continue
		}
		offers := c.list.offers[key]
		for k := range offers {
			o := &offers[k]
			content := float64(o.Content.Volume)
			if o.Content.Count > 0 {
				content = float64(o.Content.Count)
			}
			least := o.Price
			if len(o.Breaks) > 0 {
				least = o.Breaks[len(o.Breaks)-1].Price
			}
			cost, _ := least.Float64()
			if content <= 0 || float64(price*content) < float64(cost*per)*(1-1e-9) {
				continue
			}
			half := strconv.FormatFloat(float64(cost*per)/content/2, 'f', c.currency.Digits, 64)
			c.fault(fmt.Sprintf("/materials/%d/surplus/resale", i), document.CodeOutOfRange,
				"must be below what the same costs: offer "+o.Key+" sells "+o.Written.String()+" for "+least.String(), half)
			break
		}
	}
}
