package api

import (
	"context"
	"sync"

	"bedline/estimate/document"
	"bedline/pricing"
)

// Engine is the Estimator of the service: the takeoff and its prices from the lists.
type Engine struct {
	lists      pricing.Lists
	workplaces sync.Pool // of *supply.Workplace
	texts      sync.Pool // of *[]byte, the answers that were sent
}

var _ Estimator = (*Engine)(nil)

// NewEngine is an engine over price lists.
func NewEngine(lists pricing.Lists) *Engine { return &Engine{lists: lists} }

// Estimate implements Estimator.
func (e *Engine) Estimate(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error) {
	workplace := e.workplace()
	quote, faults, err := pricing.EstimateIn(ctx, workplace, e.lists, request, raw)
	e.workplaces.Put(workplace) // after a panic it is left to the collector
	if err != nil || len(faults) > 0 {
		return nil, faults, err
	}
	text, ok := e.texts.Get().(*[]byte)
	if !ok {
		text = new([]byte)
		*text = make([]byte, 0, usualText)
	}
	return &Estimate{JSON: NewAnswer(quote).Append((*text)[:0]), Quote: quote, List: quote.List.Name, Version: quote.List.Version}, nil, nil
}

// Sizes of answers: the text of one is mostly shorter than usualText, and one that is longer than mostText is not kept
// for the next.
const (
	usualText = 48 << 10
	mostText  = 256 << 10
)

// Release takes an estimate back whose JSON nobody reads any longer, so that the next answer can be written there.
func (e *Engine) Release(estimate *Estimate) {
	if cap(estimate.JSON) <= mostText {
		e.texts.Put(&estimate.JSON)
	}
}
