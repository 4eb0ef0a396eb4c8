package main

import "context"

type calibrateCommand struct {
	File string `arg:"" help:"The past jobs as JSON, as POST /v1/calibrations takes them; - reads standard input."`
	source
}

// Run answers the past jobs.
func (c *calibrateCommand) Run(ctx context.Context, std streams) error {
	return c.post(ctx, std, "/v1/calibrations", c.File, nil)
}
