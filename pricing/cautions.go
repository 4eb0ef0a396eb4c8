package pricing

import (
	"slices"

	"github.com/govalues/decimal"

	"bedline/estimate"
)

// mostCutting is how long a handheld saw may cut in a shift, water fed and outdoors, without a respirator.
// Source: 29 CFR 1926.1153 Table 1 (ii).
var mostCutting = decimal.MustNew(4, 0)

// cautions adds what is known only when goods are bought and hours reckoned: packs too heavy to lift alone, and how long
// is cut.
func (q *Quote) cautions() error {
	q.Lifting = q.Takeoff.Lifting
	q.heavyPacks()
	return q.cutting()
}

// heavyPacks warns of bags, tubs and rolls that one person should not lift alone.
func (q *Quote) heavyPacks() {
	units := len(q.Lifting)
	for i := range q.Lines {
		l := &q.Lines[i]
		for k := range l.Orders {
			o := l.Orders[k].Offer
			switch o.Form {
			case Bag, Tub, Roll:
			default:
				continue
			}
			if slices.ContainsFunc(q.Lifting[units:], func(h estimate.Lifting) bool { return h.Offer == o.Key }) {
				continue
			}
			if h, heavy := estimate.PackLifting(l.Material.Material, string(o.Form), o.Key, o.Content.Mass, q.Job.System); heavy {
				q.Lifting = append(q.Lifting[:len(q.Lifting):len(q.Lifting)], h)
			}
		}
	}
	if packs := q.Lifting[units:]; len(packs) > 0 {
		q.Notices = append(q.Notices, estimate.LiftingNotice("heavy_packs", packs, "have them set down beside the work, lift with two or with a tool, or buy smaller ones"))
	}
}

// cutting says in the caution of silica how long is cut.
func (q *Quote) cutting() error {
	i := slices.IndexFunc(q.Notices, func(n estimate.Notice) bool { return n.Code == "silica_dust" })
	if i < 0 {
		return nil
	}
	hours := decimal.Zero
	for k := range q.Lines {
		if w := q.Lines[k].Work; w != nil && w.Operation == estimate.CutUnits {
			var err error
			if hours, err = hours.Add(q.Lines[k].Hours); err != nil {
				return err
			}
		}
	}
	if hours.IsZero() {
		return nil
	}
	words := ", so no shift comes to more than 4 h"
	if mostCutting.Less(hours) {
		words = ": keep every shift to 4 h, or take the respirator or the stationary saw"
	}
	q.Notices = slices.Clone(q.Notices)
	q.Notices[i].Message += ". Cutting is reckoned at " + plain(hours) + " h in all" + words
	return nil
}
