package pricing

import (
	"strconv"
	"strings"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
)

// ChangeOrder sets a job beside the earlier job that it came from.
type ChangeOrder struct {
	Earlier    *Quote // its ID is that of the earlier job as it stands in the request
	Basis      string // which prices the two are reckoned with
	Difference Difference
	NewWork    []Work // operations that the earlier job did not have
	Dropped    []Work // operations that only the earlier job had
	Stock      []Stock
}

// Stock is a material that the earlier job bought, or this one needs, in another quantity: what becomes of it if it was
// bought for the earlier job already. At most one of LeftOver and ToBuy is above zero. Of a count both are whole.
type Stock struct {
	Material *estimate.Material
	Bought   estimate.Amount // for the earlier job
	Required estimate.Amount // for this one
	LeftOver estimate.Amount
	ToBuy    estimate.Amount
}

// from reads the earlier job. It is priced with the list and version of this one, unless it names a version of its own
// or another list. Its own options, and the job that it came from, were answered with it: they count in its id only.
func (v *variants) from(at document.Value) error {
	if at.Kind() != document.Object {
		at.Object() // notes the fault
		return nil
	}
	one := variant{at: at.Pointer(), node: at.Node()}
	one.text = one.node.AppendJSON(nil)
	if !v.fits(one.at, len(one.text)) {
		return nil
	}
	var faults document.Faults
	r := document.Read(one.node, &faults)
	asks(r)
	list, err := v.listFor(r, &faults)
	if err != nil {
		return err
	}
	one.takeOff(r, list, &faults)
	v.report(&one, &faults)
	v.earlier = &one
	return v.ctx.Err()
}

// listFor chooses the price list of the earlier job.
func (v *variants) listFor(r document.Reader, faults *document.Faults) (*List, error) {
	named := r.Node().Member("price_list")
	other := named != nil && (v.list == nil || named.Text != v.list.Name)
	if !other && r.Node().Member("price_list_version") == nil {
		r.Has("price_list")
		return v.list, nil
	}
	list, err := chooseList(v.ctx, r, v.lists, faults)
	if err != nil || list == nil || v.list == nil {
		return list, err
	}
	if list.Currency.Code != v.list.Currency.Code {
		r.Fault("price_list", CodeConflict, "is in another currency than the price list of this job: the two can't be compared", strconv.Quote(v.list.Name))
		return nil, nil
	}
	return list, nil
}

func newChangeOrder(earlier, q *Quote) (*ChangeOrder, error) {
	o := &ChangeOrder{Earlier: earlier}
	was, is := listName(earlier.List), listName(q.List)
	if was == is {
		o.Basis = "Both jobs are priced with " + is + ", so that the difference is of the work."
	} else {
		o.Basis = "The earlier job is priced with " + was + " as it asks, this one with " + is + ": the difference is of prices as well as of the work."
	}
	var err error
	if o.Difference, err = Compare("Change order", earlier, q); err != nil {
		return nil, err
	}
	if o.NewWork, err = newWork(earlier, q); err != nil {
		return nil, err
	}
	if o.Dropped, err = newWork(q, earlier); err != nil {
		return nil, err
	}
	for _, part := range [...]struct {
		words string
		work  []Work
	}{{"new work: ", o.NewWork}, {"no longer: ", o.Dropped}} {
		if len(part.work) == 0 {
			continue
		}
		names := make([]string, len(part.work))
		for i, w := range part.work {
			names[i] = lower(w.Description)
		}
		o.Difference.Sentence += "; " + part.words + strings.Join(names, ", ")
	}
	o.Stock = stock(earlier, q)
	return o, nil
}

func listName(l *List) string { return l.Name + " version " + strconv.Itoa(l.Version) }

// stock tells what becomes of materials that were bought for the earlier job, in the order in which it needs them; those
// that only this job needs follow.
func stock(earlier, q *Quote) []Stock {
	was, is := boughtFor(earlier.needs(), &earlier.Supply.Plan), boughtFor(q.needs(), &q.Supply.Plan)
	now := map[string]*Bought{} // only looked up
	for i := range is {
		now[is[i].Material.Key] = &is[i]
	}
	var out []Stock
	note := func(s Stock, before estimate.Amount) {
		if Apart(s.Required, before) == 0 {
			return
		}
		kind, needed := s.Bought.Kind, s.Required
		if kind == estimate.CountAmount {
			needed.Value = float64(measure.RoundUp(needed.Value))
		}
		s.LeftOver, s.ToBuy = estimate.Amount{Kind: kind}, estimate.Amount{Kind: kind}
		if d := Apart(s.Bought, needed); d > 0 {
			s.LeftOver.Value = d
		} else {
			s.ToBuy.Value = -d
		}
		out = append(out, s)
	}
	for i := range was {
		b := &was[i]
		s := Stock{Material: b.Material, Bought: b.Bought, Required: estimate.Amount{Kind: b.Bought.Kind}}
		if n := now[b.Material.Key]; n != nil {
			delete(now, b.Material.Key)
			if n.Required.Kind != b.Required.Kind {
				continue // another kind of material in another version of the list
			}
			s.Required = n.Required
		}
		note(s, b.Required)
	}
	for i := range is {
		b := &is[i]
		if now[b.Material.Key] == nil {
			continue
		}
		none := estimate.Amount{Kind: b.Bought.Kind}
		note(Stock{Material: b.Material, Bought: none, Required: b.Required}, none)
	}
	return out
}
