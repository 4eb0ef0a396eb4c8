package main

import "context"

type supplyCommand struct {
	Compare compareCommand `cmd:"" help:"Compare ways to buy bare quantities of materials."`
	Pool    poolCommand    `cmd:"" help:"Buy for several jobs together and share the cost."`
}

type compareCommand struct {
	File string `arg:"" help:"The quantities as JSON, as POST /v1/supply-comparisons takes them; - reads standard input."`
	source
}

// Run answers the quantities.
func (c *compareCommand) Run(ctx context.Context, std streams) error {
	return c.post(ctx, std, "/v1/supply-comparisons", c.File, nil)
}

type poolCommand struct {
	File string `arg:"" help:"The jobs as JSON, as POST /v1/supply-plans takes them; - reads standard input."`
	source
}

// Run answers the jobs.
func (c *poolCommand) Run(ctx context.Context, std streams) error {
	return c.post(ctx, std, "/v1/supply-plans", c.File, nil)
}
