package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"bedline/api/problem"
	"bedline/estimate/document"
	"bedline/pricing"
	"bedline/pricing/supply"
)

// Buyer finds how to buy what is asked for without an estimate. Its methods are as that of Estimator.
type Buyer interface {
	// CompareSupply buys bare quantities.
	CompareSupply(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error)
	// PoolSupply buys for several jobs together.
	PoolSupply(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error)
}

var _ Buyer = (*Engine)(nil)

// CompareSupply implements Buyer.
func (e *Engine) CompareSupply(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error) {
	workplace := e.workplace()
	c, faults, err := pricing.CompareSupply(ctx, workplace, e.lists, request, raw)
	e.workplaces.Put(workplace) // after a panic it is left to the collector
	if err != nil || len(faults) > 0 {
		return nil, faults, err
	}
	return written(NewComparison(c), c.List)
}

// PoolSupply implements Buyer.
func (e *Engine) PoolSupply(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error) {
	workplace := e.workplace()
	p, faults, err := pricing.PoolSupply(ctx, workplace, e.lists, request, raw)
	e.workplaces.Put(workplace)
	if err != nil || len(faults) > 0 {
		return nil, faults, err
	}
	return written(NewPooledPlan(p), p.List)
}

func (e *Engine) workplace() *supply.Workplace {
	if workplace, ok := e.workplaces.Get().(*supply.Workplace); ok {
		return workplace
	}
	return new(supply.Workplace)
}

func written(answer any, list *pricing.List) (*Estimate, []document.Fault, error) {
	text, err := encode(answer)
	if err != nil {
		return nil, nil, err
	}
	return &Estimate{JSON: text[:len(text)-1], List: list.Name, Version: list.Version}, nil, nil
}

// createSupplyComparison answers POST /v1/supply-comparisons.
func (h *Handler) createSupplyComparison(c *call) (*reply, *problem.Problem) {
	return h.buy(c, "comparing ways to buy", h.config.Buyer.CompareSupply)
}

// createSupplyPlan answers POST /v1/supply-plans.
func (h *Handler) createSupplyPlan(c *call) (*reply, *problem.Problem) {
	return h.buy(c, "buying for several jobs", h.config.Buyer.PoolSupply)
}

// buy answers a request for buying as createEstimate does one for an estimate.
func (h *Handler) buy(c *call, doing string, find func(context.Context, *document.Node, []byte) (*Estimate, []document.Fault, error)) (*reply, *problem.Problem) {
	formal := c.operation.Body(c.root.Any())
	answer, faults, err := find(c.r.Context(), c.root, c.text)
	if len(formal) > 0 || len(faults) > 0 {
		return nil, problem.OfBody(problem.InvalidRequirements, together(c.root, faults, formal), false)
	}
	if err != nil {
		return nil, h.failure(c, doing, err)
	}
	if answer == nil {
		return nil, h.failure(c, doing, errors.New("there is neither an answer nor a fault"))
	}
	return &reply{contentType: c.offers[c.form], body: answer.JSON, cache: neverStored,
		header: http.Header{"Link": {fmt.Sprintf("<%s>; rel=\"describedby\"", versionPath(answer.List, answer.Version))}}}, nil
}
