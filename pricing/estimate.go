package pricing

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"sort"
	"strconv"
	"strings"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/supply"
)

// Codes of the faults that pricing finds in a request.
const (
	codeUnknownList    = "unknown_price_list"
	codeUnknownVersion = "unknown_price_list_version"
	codeMissingRate    = "missing_rate"
	codeNoOffer        = "no_offer"
	codeTooLarge       = "too_large"
)

// DefaultList is the name of the price list of a request that names none. Where there is no list of this name and only
// one in all, that one is taken.
const DefaultList = "standard"

// Estimate reads a request, takes it off, buys for it and prices it. Every fault of the request comes back at once,
// in the order of the document; then there is no quote. An error is a failure of ours, not of the request.
func Estimate(ctx context.Context, lists Lists, root *document.Node, text []byte) (*Quote, []document.Fault, error) {
	return EstimateIn(ctx, new(supply.Workplace), lists, root, text)
}

// EstimateIn is Estimate with a workplace for the buying, which nobody else may use meanwhile. The quote does not depend
// on it.
func EstimateIn(ctx context.Context, workplace *supply.Workplace, lists Lists, root *document.Node, text []byte) (*Quote, []document.Fault, error) {
	var faults document.Faults
	r := document.Read(root, &faults)
	list, err := chooseList(ctx, r, lists, &faults)
	if err != nil {
		return nil, nil, err
	}
	var beside *variants
	if asks(r) {
		beside = &variants{ctx: ctx, lists: lists, list: list, root: root, faults: &faults}
	}
	job, terms, takeoff := takeOff(r, list, &faults)
	if beside != nil {
		if err := beside.read(r); err != nil {
			return nil, nil, err
		}
	}
	if faults.Len() > 0 {
		return nil, faults.List(root), nil
	}
	q := &Quote{Job: job, Takeoff: takeoff, List: list, Terms: terms, Notices: takeoff.Notices}
	if err := q.finish(ctx, workplace, &faults, root, text); err != nil {
		return nil, nil, err
	}
	if beside != nil {
		if err := beside.price(workplace, q); err != nil {
			return nil, nil, err
		}
	}
	if faults.Len() > 0 {
		return nil, faults.List(root), nil
	}
	return q, nil, nil
}

// takeOff reads a job, of which the caller has read the price list, and takes it off; without a list it is only read.
// The takeoff is whole only if there are no faults.
func takeOff(r document.Reader, list *List, faults *document.Faults) (*estimate.Job, Terms, *estimate.Takeoff) {
	terms := ReadTerms(r, list)
	var catalogue *estimate.Catalogue
	system := measure.US
	if list != nil {
		catalogue, system = list.Catalogue, list.System
	}
	job := estimate.ReadJob(r, catalogue, system, faults)
	r.Close()
	if terms.Crew.at != "" {
		terms.Crew.calendarOn(terms.Crew.crewOn(list), faults)
	}
	if list == nil {
		return job, terms, nil
	}
	takeoff := estimate.Measure(job, faults)
	if terms.Tolerances.Given() {
		terms.Tolerances.check(job, takeoff, faults)
	}
	return job, terms, takeoff
}

// Identify is the id of an answer: SHA-256 over the RFC 8785 form of the request, the name and version of the price
// list and the version of the engine, each ended by a line feed.
func Identify(text []byte, list *List) (string, error) {
	canonical, err := document.Canonical(text)
	if err != nil {
		return "", fmt.Errorf("bringing the request into canonical form: %w", err)
	}
	h := sha256.New()
	h.Write(canonical)
	h.Write([]byte("\n" + list.Name + "\n" + strconv.Itoa(list.Version) + "\n" + estimate.Version + "\n"))
	return hex.EncodeToString(h.Sum(nil)), nil
}

// chooseList finds the list that the request names; nil after a fault.
func chooseList(ctx context.Context, r document.Reader, lists Lists, faults *document.Faults) (*List, error) {
	name, named := r.Key("price_list", document.Optional)
	if !named {
		if r.Has("price_list") {
			r.Has("price_list_version")
			_, _ = r.Int("price_list_version", document.Optional, 1, 1<<31-1)
			return nil, nil
		}
		name = DefaultList
	}
	version, pinned := r.Int("price_list_version", document.Optional, 1, 1<<31-1)
	var list *List
	var err error
	if pinned {
		list, err = lists.Version(ctx, name, version)
	} else {
		list, err = lists.Latest(ctx, name)
	}
	var missing *ListNotFoundError
	if !named && errors.As(err, &missing) && missing.Latest == 0 && len(missing.Known) == 1 {
		// The only list there is can't be mistaken; the answer names it.
		if name = missing.Known[0]; pinned {
			list, err = lists.Version(ctx, name, version)
		} else {
			list, err = lists.Latest(ctx, name)
		}
	}
	switch {
	case errors.As(err, &missing) && missing.Latest > 0:
		faults.Add(r.At("price_list_version"), codeUnknownVersion, "there is no such version of the price list: the latest is "+strconv.Itoa(missing.Latest), strconv.Itoa(missing.Latest))
		return nil, nil
	case errors.As(err, &missing):
		detail := "there is no price list of this name"
		if !named {
			detail = "no price list is named, and there is none called " + DefaultList
		}
		example := ""
		if len(missing.Known) > 0 {
			detail += "; there are: " + strings.Join(missing.Known, ", ")
			example = strconv.Quote(missing.Known[0])
		}
		faults.Add(r.At("price_list"), codeUnknownList, detail, example)
		return nil, nil
	case err != nil:
		return nil, fmt.Errorf("reading price list %s: %w", name, err)
	}
	return list, nil
}

// assemble makes the lines of the quote and sums them.
func (q *Quote) assemble(ctx context.Context, workplace *supply.Workplace, faults *document.Faults, root *document.Node) error {
	if err := q.buy(ctx, workplace, faults, root); err != nil {
		return err
	}
	if err := q.choose(faults); err != nil {
		return err
	}
	if err := q.labour(faults); err != nil {
		return err
	}
	if faults.Len() > 0 {
		return nil
	}
	if err := q.cautions(); err != nil {
		return fmt.Errorf("summing the hours of cutting: %w", err)
	}
	q.hireLines()
	q.plan(q.layout)
	sort.SliceStable(q.Lines, func(a, b int) bool { return rank(q.Lines[a].Key) < rank(q.Lines[b].Key) })
	return q.total(q.Terms.On(q.List.Commercial))
}

// order is the order of the lines in an answer.
var order = [...]estimate.LineKey{estimate.Edging, estimate.Base, estimate.BeddingSand, estimate.JointFill, estimate.Fabric, estimate.Pins,
	estimate.Slabs, estimate.Paving, estimate.PlanterSoil, estimate.DecorativeStone, estimate.Excavation, estimate.Spoil, estimate.Delivery, estimate.Labour, estimate.Equipment}

func rank(key estimate.LineKey) int {
	for i, k := range order {
		if k == key {
			return i
		}
	}
	return len(order)
}

// needs gathers what has to be bought, one need per material.
func (q *Quote) needs() []demand {
	lines := q.Takeoff.Lines
	return q.List.demands(len(lines), func(i int) (*estimate.Material, float64) { return lines[i].Material, lines[i].Required.Value })
}

// market is what the job buys on.
func (q *Quote) market() market {
	m := market{list: q.List, system: q.Job.System, prefer: q.Terms.Prefer, steps: q.Terms.Steps, options: q.Terms.options}
	if m.CrewTime || q.Terms.Tolerances.Given() {
		m.Hourly = q.Terms.Labour.HourlyCost
	}
	return m
}

// buy makes the buying plan and the lines of materials and deliveries.
func (q *Quote) buy(ctx context.Context, workplace *supply.Workplace, faults *document.Faults, root *document.Node) error {
	needs := q.needs()
	m := q.market()
	var d *doubt
	if q.Terms.Tolerances.Given() {
		d = m.doubtOf(needs, uncertainLines(q.Takeoff), q.Terms.Confidence, func(*uncertain) *Tolerances { return &q.Terms.Tolerances })
	}
	var err error
	if q.Supply, err = m.buyFor(ctx, workplace, needs, d); err != nil {
		return m.refuse(err, faults, func(material string) []string { return []string{q.pointerOf(root, material)} })
	}
	if q.Supply.Short != nil {
		q.Notices = append(q.Notices, q.Supply.Short.notices(pencil{q.Job.System, q.List.Currency})...)
	}
	q.materialLines(needs)
	q.load(needs)
	return q.crewLine()
}

// pointerOf is where a request names a material first.
func (q *Quote) pointerOf(root *document.Node, key string) string {
	return q.List.pointerOf(root, key)
}

// pointerOf is where a job names a material first: as a material, a unit or a fill. A pin is named by the fabric that it
// comes with.
func (l *List) pointerOf(root *document.Node, key string) string {
	if at, ok := named(root, key, ""); ok {
		return at
	}
	for i := range l.Catalogue.Materials {
		if m := &l.Catalogue.Materials[i]; m.Pin == key {
			if at, ok := named(root, m.Key, ""); ok {
				return at
			}
		}
	}
	return ""
}

// named finds the first member of a node that names a material.
func named(n *document.Node, key, at string) (string, bool) {
	for i := range n.Members {
		m := &n.Members[i]
		below := at + "/" + document.Escape(m.Name)
		if m.Value.Kind == document.String && m.Value.Text == key && (m.Name == "material" || m.Name == "unit" || m.Name == "fill") {
			return below, true
		}
		if p, ok := named(&m.Value, key, below); ok {
			return p, true
		}
	}
	for i := range n.Items {
		if p, ok := named(&n.Items[i], key, at+"/"+strconv.Itoa(i)); ok {
			return p, true
		}
	}
	return "", false
}
