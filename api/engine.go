package api

import (
	"context"
	"sync"

	"bedline/estimate/document"
	"bedline/pricing"
	"bedline/pricing/supply"
)

// Engine is the Estimator of the service: the takeoff and its prices from the lists.
type Engine struct {
	lists      pricing.Lists
	workplaces sync.Pool // of *supply.Workplace
}

var _ Estimator = (*Engine)(nil)

// NewEngine is an engine over price lists.
func NewEngine(lists pricing.Lists) *Engine { return &Engine{lists: lists} }

// Estimate implements Estimator.
func (e *Engine) Estimate(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error) {
	workplace, ok := e.workplaces.Get().(*supply.Workplace)
	if !ok {
		workplace = new(supply.Workplace)
	}
	quote, faults, err := pricing.EstimateIn(ctx, workplace, e.lists, request, raw)
	e.workplaces.Put(workplace) // after a panic it is left to the collector
	if err != nil || len(faults) > 0 {
		return nil, faults, err
	}
	return &Estimate{JSON: NewAnswer(quote).Append(make([]byte, 0, 48<<10)), List: quote.List.Name, Version: quote.List.Version}, nil, nil
}
