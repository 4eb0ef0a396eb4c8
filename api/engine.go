package api

import (
	"context"

	"bedline/estimate/document"
	"bedline/pricing"
)

// Engine is the Estimator of the service: the takeoff and its prices from the lists.
type Engine struct {
	lists pricing.Lists
}

var _ Estimator = (*Engine)(nil)

// NewEngine is an engine over price lists.
func NewEngine(lists pricing.Lists) *Engine { return &Engine{lists: lists} }

// Estimate implements Estimator.
func (e *Engine) Estimate(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error) {
	quote, faults, err := pricing.Estimate(ctx, e.lists, request, raw)
	if err != nil || len(faults) > 0 {
		return nil, faults, err
	}
	return &Estimate{JSON: NewAnswer(quote).Append(make([]byte, 0, 48<<10)), List: quote.List.Name, Version: quote.List.Version}, nil, nil
}
