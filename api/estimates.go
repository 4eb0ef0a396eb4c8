package api

import (
	"context"
	"errors"
	"fmt"
	"log/slog"

	"bedline/api/problem"
	"bedline/estimate/document"
)

// form is one representation of a thing: its content type and how it is written.
type form[T any] struct {
	contentType string
	write       func(T) ([]byte, error)
}

func mediaTypes[T any](forms []form[T]) []string {
	types := make([]string, len(forms))
	for i := range forms {
		types[i] = forms[i].contentType
	}
	return types
}

// createEstimate answers POST /v1/estimates. What the contract and what the engine find wrong is reported together,
// the engine's words first where both speak of one member.
func (h *Handler) createEstimate(c *call) (*reply, *problem.Problem) {
	form := &estimateForms[c.form]
	formal := c.operation.Body(c.root.Any())
	e, faults, err := h.config.Estimator.Estimate(c.r.Context(), c.root, c.text)
	if len(formal) > 0 || len(faults) > 0 {
		// An error beside faults of the contract changes nothing for the client: the request must change first.
		return nil, problem.OfBody(problem.InvalidJob, together(c.root, faults, formal), false)
	}
	if err != nil {
		return nil, h.failure(c, "estimating", err)
	}
	if e == nil {
		return nil, h.failure(c, "estimating", errors.New("the estimator gave neither an estimate nor a fault"))
	}
	a, p := h.represent(c, e, form, c.wishOf())
	if p != nil {
		return nil, p
	}
	a.cache, a.sent = neverStored, h.release(e)
	a.header.Set("Link", fmt.Sprintf("<%s>; rel=\"describedby\"", versionPath(e.List, e.Version)))
	return a, nil
}

// release gives an estimate back once it is sent to an Estimator that takes it; else it does nothing.
func (h *Handler) release(e *Estimate) func() {
	taker, ok := h.config.Estimator.(interface{ Release(*Estimate) })
	if !ok {
		return nil
	}
	return func() { taker.Release(e) }
}

// together merges faults of one document; of two lists that speak of one member the first counts.
func together(root *document.Node, first, second []document.Fault) []document.Fault {
	var faults document.Faults
	for _, f := range first {
		faults.Add(f.Pointer, f.Code, f.Detail, f.Example)
	}
	faults.Merge(second)
	return faults.List(root)
}

// failure turns an error that is no fault of the request into a problem: the time is up, a database does not answer,
// or the service has a fault. Only the log says what.
func (h *Handler) failure(c *call, doing string, err error) *problem.Problem {
	slug, level := problem.InternalError, slog.LevelError
	var temporary interface{ Temporary() bool }
	switch {
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		slug, level = problem.Timeout, slog.LevelWarn
	case errors.As(err, &temporary) && temporary.Temporary():
		slug, level = problem.DependencyUnavailable, slog.LevelWarn
	}
	h.config.Logger.LogAttrs(c.r.Context(), level, doing+" failed", slog.String("error", err.Error()))
	return problem.New(slug, "")
}
