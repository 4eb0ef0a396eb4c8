package pricing

import (
	"context"
	"errors"
	"strconv"

	"bedline/estimate"
	"bedline/estimate/document"
	"bedline/estimate/measure"
	"bedline/pricing/money"
	"bedline/pricing/supply"
)

// MostPooledJobs is how many jobs are bought for together at most; the contract states the same.
const MostPooledJobs = 20

// SharingRule says how what is bought together is shared among the jobs.
const SharingRule = "Goods and surplus: every order line is shared by the quantity of its material that each job requires. " +
	"Delivery: the drops or trips of a supplier are shared by the mass of each job's part of the load, or by its volume where volume fills more of a load than mass does. " +
	"What does not divide goes, unit by unit of the currency, to the largest remainders. " +
	"Then a job whose share is more than it would pay alone pays what it would pay alone, and the others bear the rest in proportion to what they save, " +
	"so that no job pays more than alone. Where buying together costs more than buying apart, or a job cannot be bought for alone, that cannot be promised, and the shares stay as they are."

// Pool is what several jobs buy together and what each of them bears of it.
type Pool struct {
	ID        string // see Identify
	Reference string
	Title     string
	System    measure.System
	List      *List

	Jobs      []PooledJob  // in the order of the request
	Materials []Bought     // together, in the order in which they are first asked for
	Supply    Supply       // together
	Compared  bool         // every job can be bought for alone, so that Apart and Saved have a meaning
	Apart     money.Amount // what all jobs come to, each bought for alone
	Saved     money.Amount // Apart less what is paid together; below zero where buying apart is cheaper
	Notices   []estimate.Notice
	Workings  []estimate.Working
}

// PooledJob is one job of a pool. Goods + Delivery + Adjustment = Amount; the amounts of all jobs add up to the landed
// cost of the plan.
type PooledJob struct {
	Pointer      string
	Key          string
	Requirements []Requirement // nil where the job was given whole
	Materials    []Bought      // its part of each material
	Deliveries   []DeliveryShare
	Goods        money.Amount
	Delivery     money.Amount
	Adjustment   money.Amount // what the promise that no job pays more than alone adds or takes
	Amount       money.Amount
	Alone        supply.Plan  // bought for this job only
	Unavailable  error        // why there is no such plan, else nil
	Saved        money.Amount // 0 where there is none
	Workings     []estimate.Working

	amounts []Requirement // what it asks for, of whatever kind
	places  func(material string) []string
}

// DeliveryShare is what a job bears of the drops or trips of one supplier.
type DeliveryShare struct {
	Supplier string
	Way      supply.Way
	Mass     measure.Mass   // of its part of the load
	Volume   measure.Volume // likewise
	Amount   money.Amount
}

// PoolSupply reads a request of several jobs, buys for them together and shares what is bought. Every fault of the
// request comes back at once, in the order of the document. An error is a failure of ours, not of the request, or that
// of a context which ended. The workplace is for the buying; nobody else may use it meanwhile, and the answer does not
// depend on it.
func PoolSupply(ctx context.Context, workplace *supply.Workplace, lists Lists, root *document.Node, text []byte) (*Pool, []document.Fault, error) {
	var faults document.Faults
	r := document.Read(root, &faults)
	head, err := readHead(ctx, r, lists, &faults)
	if err != nil {
		return nil, nil, err
	}
	pool := &Pool{Reference: head.reference, Title: head.title, System: head.system, List: head.list}
	reader := poolReader{ctx: ctx, lists: lists, head: head, faults: &faults, keys: map[string]bool{}}
	pool.Jobs = reader.jobs(r)
	terms := Terms{Prefer: Cheapest}
	if s, ok := r.Object("supply", document.Optional); ok {
		terms = readSupply(s)
	}
	r.Close()
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	if faults.Len() > 0 {
		return nil, faults.List(root), nil
	}
	m := market{list: pool.List, system: pool.System, prefer: terms.Prefer, steps: terms.Steps}
	refused, err := pool.buy(ctx, m, workplace)
	if refused != nil {
		if err := m.refuse(refused, &faults, pool.places); err != nil {
			return nil, nil, err
		}
		return nil, faults.List(root), nil
	}
	if err != nil {
		return nil, nil, err
	}
	pool.Notices = append(pool.notices(), pool.Supply.notices(pool.System)...)
	pool.Workings = m.workings(&pool.Supply.Plan)
	pool.ID, err = Identify(text, pool.List)
	return pool, nil, err
}

// places are where the jobs ask for a material.
func (p *Pool) places(material string) []string {
	var at []string
	for i := range p.Jobs {
		at = append(at, p.Jobs[i].places(material)...)
	}
	return at
}

// buy plans each job alone and all together, and shares. Refused is an error for refuse; err is that of the context.
func (p *Pool) buy(ctx context.Context, m market, workplace *supply.Workplace) (refused, err error) {
	var all []Requirement
	var owners []int
	for i := range p.Jobs {
		j := &p.Jobs[i]
		all = append(all, j.amounts...)
		for range j.amounts {
			owners = append(owners, i)
		}
	}
	needs := p.List.demandsOf(all)
	if p.Supply, refused = m.buy(ctx, workplace, needs); refused != nil {
		return refused, nil
	}
	p.Compared = true
	for i := range p.Jobs {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		j := &p.Jobs[i]
		var uncovered *supply.NoCoverError
		j.Alone, refused = m.buyOnly(workplace, p.List.demandsOf(j.amounts))
		switch {
		case errors.As(refused, &uncovered): // such as goods too cheap to reach a minimum order without the other jobs
			j.Unavailable, p.Compared = uncovered, false
		case refused != nil:
			return refused, nil
		}
		p.Apart += j.Alone.Landed
	}
	if p.Compared {
		p.Saved = p.Apart - p.Supply.Plan.Landed
	} else {
		p.Apart = 0
	}
	p.Materials = boughtFor(needs, &p.Supply.Plan)
	p.share(m, needs, all, owners)
	return nil, nil
}

func (l *List) demandsOf(requirements []Requirement) []demand {
	return l.demands(len(requirements), func(i int) (*estimate.Material, float64) {
		return requirements[i].Material, requirements[i].Required.Value
	})
}

func (p *Pool) notices() []estimate.Notice {
	if !p.Compared || p.Saved >= 0 {
		return nil
	}
	w := pencil{p.System, p.List.Currency}
	return []estimate.Notice{{Code: "apart_is_cheaper", Severity: estimate.Confirm,
		Message: "Buying apart costs " + w.money(-p.Saved) + " less than buying together: one way of each supplier serves all jobs of a plan. Buy for them apart."}}
}

// poolReader reads the jobs of a pool.
type poolReader struct {
	ctx    context.Context
	lists  Lists
	head   head
	faults *document.Faults
	keys   map[string]bool
}

const poolExample = `[{"material":"pebble-20","quantity":"4 yd3"}]`

func (b *poolReader) jobs(r document.Reader) []PooledJob {
	var out []PooledJob
	r.Each("jobs", document.Required, 1, MostPooledJobs, func(_ int, v document.Value) {
		item, ok := v.Object()
		if !ok || b.ctx.Err() != nil {
			return
		}
		out = append(out, b.job(item))
		item.Close()
	})
	return out
}

func (b *poolReader) job(r document.Reader) PooledJob {
	j := PooledJob{Pointer: r.Pointer()}
	var ok bool
	if j.Key, ok = r.Key("id", document.Required); ok {
		if b.keys[j.Key] {
			r.Fault("id", "duplicate_id", "is the id of an earlier job; each needs its own", `"job-2"`)
		}
		b.keys[j.Key] = true
	}
	bare, whole := r.Has("requirements"), r.Has("job")
	switch {
	case bare && whole:
		r.Fault("job", CodeConflict, "stands beside requirements: give one of the two", "")
	case whole:
		if v, ok := r.Value("job", document.Required); ok {
			b.whole(&j, v)
		}
	case bare:
		reader := requirementReader{list: b.head.list, pencil: b.head.pencil()}
		j.Requirements = reader.each(r, "requirements")
		j.amounts, j.places = j.Requirements, placesOf(j.Requirements)
	default:
		r.Fault("requirements", document.CodeMissing, "is missing, and so is job: a job is told by one of the two", poolExample)
	}
	return j
}

// whole takes a job off as for an estimate. Its faults are found as in a document of its own, so that their places are
// those of the job, and then told at their places in this one.
func (b *poolReader) whole(j *PooledJob, v document.Value) {
	if v.Kind() != document.Object {
		v.Object() // notes the fault
		return
	}
	var own document.Faults
	node, at := v.Node(), v.Pointer()
	r := document.Read(node, &own)
	b.agree(r, j.Key)
	for _, member := range [...]string{"options", "changes_from"} {
		if r.Has(member) {
			r.Fault(member, CodeConflict, "has no meaning in a pool, which buys for one job as it stands: leave it out", "")
		}
	}
	_, _, takeoff := takeOff(r, b.head.list, &own)
	for _, f := range own.List(node) {
		b.faults.Add(at+f.Pointer, f.Code, f.Detail, f.Example)
	}
	if takeoff == nil || own.Len() > 0 {
		return
	}
	for i := range takeoff.Lines {
		l := &takeoff.Lines[i]
		j.amounts = append(j.amounts, Requirement{Material: l.Material, Required: l.Required})
	}
	list := b.head.list
	j.places = func(material string) []string {
		for i := range j.amounts {
			if j.amounts[i].Material.Key == material {
				return []string{at + list.pointerOf(node, material)}
			}
		}
		return nil
	}
}

// agree holds a job to the price list of the pool.
func (b *poolReader) agree(r document.Reader, job string) {
	name, named := r.Key("price_list", document.Optional)
	version, pinned := r.Int("price_list_version", document.Optional, 1, 1<<31-1)
	list := b.head.list
	if list == nil {
		return
	}
	if named && name != list.Name {
		detail := "of job " + job + " is another price list than that of the pool, from which all its jobs are bought"
		if other, err := b.lists.Latest(b.ctx, name); err == nil && other.Currency != list.Currency {
			detail = "of job " + job + " is in " + other.Currency.Code + ", and the pool buys in " + list.Currency.Code + ": all its jobs are bought from one price list"
		}
		r.Fault("price_list", CodeConflict, detail, strconv.Quote(list.Name))
	}
	if pinned && version != list.Version {
		r.Fault("price_list_version", CodeConflict, "of job "+job+" is another version than that of the pool, from which all its jobs are bought", strconv.Itoa(list.Version))
	}
}
