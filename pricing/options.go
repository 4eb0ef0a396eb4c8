package pricing

import (
	"context"
	"errors"
	"strconv"
	"strings"

	"bedline/estimate/document"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// MostOptions is how many options a request has at most; the contract states the same.
const MostOptions = 10

// mostJobsText is how many bytes of JSON without white space the jobs of a request come to at most: the job itself, the
// job with the changes of each option, and an earlier job; the contract states the same.
const mostJobsText = 1 << 20

// Option is a job with changes, estimated as a job of its own.
type Option struct {
	Name       string
	Full       bool   // the whole answer is asked for
	Quote      *Quote // of the job with the changes, without options of its own
	Difference Difference
}

// notToChange are the members of a job that no option may change.
var notToChange = []document.Kept{
	{Name: "options", Why: "options do not nest; give each its own changes of the job"},
	{Name: "changes_from", Why: "an option is of this job; for changes of an earlier job send a request of its own"},
	{Name: "price_list", Why: "options are priced with the list of the job, so that they can be compared"},
	{Name: "price_list_version", Why: "options are priced with the version of the job, so that they can be compared"},
}

// variants are the jobs that a request wants estimated beside its own.
type variants struct {
	ctx    context.Context
	lists  Lists
	list   *List // of the request; nil after a fault
	root   *document.Node
	faults *document.Faults
	text   int // bytes of all jobs so far

	own     []document.Fault // of the job itself
	options []variant
	earlier *variant
}

// variant is one of them.
type variant struct {
	at     string // where its faults belong
	name   string
	full   bool
	node   *document.Node
	text   []byte
	quote  *Quote // begun when it is taken off
	option bool   // made by changes at that place, else written there
}

// asks tells whether a request has variants. It has to be asked before the reader closes.
func asks(r document.Reader) bool {
	options, earlier := r.Has("options"), r.Has("changes_from")
	return options || earlier
}

// read reads the variants and takes them off; the job itself has been, and has left its faults.
func (v *variants) read(r document.Reader) error {
	v.own = v.faults.List(v.root)
	job := document.Node{Kind: document.Object, Offset: v.root.Offset}
	for _, m := range v.root.Members {
		if m.Name != "options" && m.Name != "changes_from" {
			job.Members = append(job.Members, m)
		}
	}
	v.text = len(job.AppendJSON(nil))
	patcher := document.NewPatcher(&job, notToChange...)
	names := map[string]bool{} // only looked up
	r.Each("options", document.Optional, 0, MostOptions, func(_ int, at document.Value) {
		if o, ok := at.Object(); ok {
			v.option(o, patcher, names)
			o.Close()
		}
	})
	if at, ok := r.Value("changes_from", document.Optional); ok {
		return v.from(at)
	}
	return v.ctx.Err()
}

func (v *variants) option(r document.Reader, patcher *document.Patcher, names map[string]bool) {
	one := variant{at: r.At("changes"), option: true}
	var ok bool
	if one.name, ok = r.Text("name", document.Required, 100); ok {
		if names[one.name] {
			r.Fault("name", "duplicate", "is the name of an earlier option; each needs its own", strconv.Quote("Option "+strconv.Itoa(len(names)+1)))
		}
		names[one.name] = true
	}
	one.full, _ = r.Bool("full", document.Optional)
	changes, ok := r.Value("changes", document.Required)
	if !ok || v.ctx.Err() != nil {
		return
	}
	if one.node, ok = patcher.Apply(changes); !ok {
		return
	}
	one.text = one.node.AppendJSON(nil)
	if !v.fits(one.at, len(one.text)) {
		return
	}
	var faults document.Faults
	job := document.Read(one.node, &faults)
	job.Has("price_list") // as the job itself has them
	job.Has("price_list_version")
	one.takeOff(job, v.list, &faults)
	v.report(&one, &faults)
	v.options = append(v.options, one)
}

// fits counts the text of a job.
func (v *variants) fits(at string, text int) bool {
	if v.text += text; v.text <= mostJobsText {
		return true
	}
	v.faults.Add(at, codeTooLarge, "makes the jobs of this request together more than a mebibyte of JSON: send some of them in a request of their own", "")
	return false
}

func (o *variant) takeOff(r document.Reader, list *List, faults *document.Faults) {
	job, terms, takeoff := takeOff(r, list, faults)
	if takeoff != nil {
		o.quote = &Quote{Job: job, Takeoff: takeoff, List: list, Terms: terms, Notices: takeoff.Notices}
	}
}

// price finishes the quotes of the variants and sets them beside that of the job, which has been finished, or has left its
// faults.
func (v *variants) price(workplace *supply.Workplace, q *Quote) error {
	v.own = v.faults.List(v.root)
	all := v.options
	if v.earlier != nil {
		all = append(all[:len(all):len(all)], *v.earlier)
	}
	for i := range all {
		if err := v.ctx.Err(); err != nil {
			return err
		}
		var faults document.Faults
		o := &all[i]
		if err := o.quote.finish(v.ctx, workplace, &faults, o.node, o.text); err != nil {
			return err
		}
		v.report(o, &faults)
	}
	if v.faults.Len() > 0 {
		return nil
	}
	for i := range v.options {
		o := &v.options[i]
		difference, err := Compare(o.name, q, o.quote)
		if err != nil {
			return err
		}
		q.Options = append(q.Options, Option{Name: o.name, Full: o.full, Quote: o.quote, Difference: difference})
	}
	if v.earlier == nil {
		return nil
	}
	var err error
	q.ChangeOrder, err = newChangeOrder(v.earlier.quote, q)
	return err
}

// finish buys for a job that was taken off, prices it and gives it its id. What is wrong with the job goes to faults.
func (q *Quote) finish(ctx context.Context, workplace *supply.Workplace, faults *document.Faults, root *document.Node, text []byte) error {
	if err := q.assemble(ctx, workplace, faults, root); err != nil {
		if errors.Is(err, money.ErrTooLarge) {
			faults.Add("", codeTooLarge, "comes to more money than can be reckoned: check the units of its measures", "")
			return nil
		}
		return err
	}
	if faults.Len() > 0 {
		return nil
	}
	var err error
	q.ID, err = Identify(text, q.List)
	return err
}

// mostTogether is how many faults of one kind are told at one place.
const mostTogether = 5

// report tells the faults of a variant at their places in the request. Those of an option that come from a value of its
// changes are told there, others at the changes, and those that the job has without them not again.
func (v *variants) report(o *variant, faults *document.Faults) {
	if !o.option {
		for _, f := range faults.List(o.node) {
			v.faults.Add(o.at+f.Pointer, f.Code, f.Detail, f.Example)
		}
		return
	}
	type place struct{ pointer, code string }
	var order []place
	said := map[place][]document.Fault{} // only looked up
	for _, f := range faults.List(o.node) {
		if v.known(f) {
			continue
		}
		told := document.Fault{Pointer: o.at, Code: f.Code, Detail: "makes a job with a fault", Example: f.Example}
		if f.Pointer != "" {
			told.Detail += " at " + f.Pointer
		}
		told.Detail += ": it " + f.Detail
		if at, ok := v.within(o, f.Pointer); ok {
			told.Pointer, told.Detail = at, f.Detail+" (it becomes "+f.Pointer+" of the job)"
		}
		p := place{told.Pointer, told.Code}
		if said[p] == nil {
			order = append(order, p)
		}
		said[p] = append(said[p], told)
	}
	for _, p := range order {
		list := said[p]
		detail := list[0].Detail
		for i, f := range list[1:] {
			if i+1 == mostTogether {
				detail += "; and " + strconv.Itoa(len(list)-mostTogether) + " more"
				break
			}
			detail += "; and " + f.Detail
		}
		v.faults.Add(p.pointer, p.code, detail, list[0].Example)
	}
}

// known tells whether the job has a fault without the changes.
func (v *variants) known(f document.Fault) bool {
	for _, own := range v.own {
		if own.Pointer == f.Pointer && own.Code == f.Code && own.Detail == f.Detail {
			return true
		}
	}
	return false
}

// within is the place among the changes of an option that a place of its job comes from.
func (v *variants) within(o *variant, pointer string) (string, bool) {
	owner := pointer
	node, ok := o.node.Lookup(owner)
	for !ok {
		owner = owner[:strings.LastIndexByte(owner, '/')]
		node, ok = o.node.Lookup(owner)
	}
	at, ok := v.root.PointerTo(node.Offset)
	if !ok || !strings.HasPrefix(at, o.at+"/") {
		return "", false
	}
	return at + pointer[len(owner):], true
}
