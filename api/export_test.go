package api

import "github.com/gin-gonic/gin"

// Routes are the methods and paths that the router answers, as "GET /v1/price-lists/:name".
func (h *Handler) Routes() []string {
	var routes []string
	for _, r := range h.router.(*gin.Engine).Routes() {
		routes = append(routes, r.Method+" "+r.Path)
	}
	return routes
}

// Shelved is how many answers that show sample jobs are kept.
func (h *Handler) Shelved() int { return len(h.shelf.replies) }
