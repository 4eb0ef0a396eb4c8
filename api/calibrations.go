package api

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"bedline/api/problem"
	"bedline/estimate/document"
	"bedline/pricing"
)

// Calibrator finds what past jobs say of the figures of a price list. Its method is as that of Estimator.
type Calibrator interface {
	Calibrate(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error)
}

var _ Calibrator = (*Engine)(nil)

// Calibrate implements Calibrator.
func (e *Engine) Calibrate(ctx context.Context, request *document.Node, raw []byte) (*Estimate, []document.Fault, error) {
	c, faults, err := pricing.Calibrate(ctx, e.lists, request, raw)
	if err != nil || len(faults) > 0 {
		return nil, faults, err
	}
	return written(NewCalibration(c), c.List)
}

// createCalibration answers POST /v1/calibrations as createEstimate does a job.
func (h *Handler) createCalibration(c *call) (*reply, *problem.Problem) {
	const doing = "calibrating by past jobs"
	formal := c.operation.Body(c.root.Any())
	answer, faults, err := h.config.Calibrator.Calibrate(c.r.Context(), c.root, c.text)
	if len(formal) > 0 || len(faults) > 0 {
		return nil, problem.OfBody(problem.InvalidCalibration, together(c.root, faults, formal), false)
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
