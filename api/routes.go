package api

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"bedline/api/internal/contract"
	"bedline/api/problem"
)

// endpoint is one operation of the contract as this service answers it.
type endpoint struct {
	operation string   // operationId
	offers    []string // content types of the representations, the preferred first
	body      bool     // a JSON body is due

	// more finds what is wrong with the parameters beside what the contract says of each; nil for nothing.
	more func(*call) []problem.Fault

	// permit refuses a request for who sends it or for what this service is, before anything else is looked at.
	permit func(*call) *problem.Problem
	serve  func(*call) (*reply, *problem.Problem)
}

// endpoints are all operations.
func (h *Handler) endpoints() []endpoint {
	const (
		asJSON = "application/json"
		asHTML = "text/html; charset=utf-8"
	)
	return []endpoint{
		{operation: "createEstimate", offers: estimateTypes(), body: true, more: mute, serve: h.createEstimate},
		{operation: "createSupplyComparison", offers: []string{asJSON}, body: true, serve: h.createSupplyComparison},
		{operation: "createSupplyPlan", offers: []string{asJSON}, body: true, serve: h.createSupplyPlan},
		{operation: "createCalibration", offers: []string{asJSON}, body: true, serve: h.createCalibration},
		{operation: "listPriceLists", offers: []string{asJSON}, serve: h.listPriceLists},
		{operation: "getPriceList", offers: mediaTypes(priceListForms), serve: h.getPriceList},
		{operation: "putPriceList", offers: []string{asJSON}, body: true, permit: h.permitPublishing, serve: h.putPriceList},
		{operation: "getPriceListVersion", offers: mediaTypes(priceListForms), serve: h.getPriceListVersion},
		{operation: "getRoot", offers: []string{asJSON}, serve: h.getRoot},
		{operation: "getContractYAML", offers: []string{"application/yaml"}, serve: h.getContractYAML},
		{operation: "getContractJSON", offers: []string{asJSON}, serve: h.getContractJSON},
		{operation: "getDocs", offers: []string{asHTML}, serve: h.getDocs},
		{operation: "getDocsAsset", serve: h.getDocsAsset},
		{operation: "listProblems", offers: []string{asHTML, asJSON}, serve: h.listProblems},
		{operation: "getProblem", offers: []string{asHTML, asJSON}, serve: h.getProblem},
		{operation: "listExamples", offers: []string{asHTML, asJSON}, serve: h.listExamples},
		{operation: "getExample", serve: h.getExample},
		{operation: "getLiveness", offers: []string{asJSON}, serve: h.getLiveness},
		{operation: "getReadiness", offers: []string{asJSON}, serve: h.getReadiness},
	}
}

// routes registers every operation of the contract with its endpoint. HEAD goes with GET, OPTIONS with every path;
// an operation without an endpoint, or the reverse, is an error.
func (h *Handler) routes() (http.Handler, error) {
	gin.SetMode(gin.ReleaseMode)
	engine := gin.New()
	engine.HandleMethodNotAllowed = true
	engine.RedirectTrailingSlash = false
	engine.RedirectFixedPath = false
	engine.UseRawPath = false
	if err := engine.SetTrustedProxies(nil); err != nil {
		return nil, fmt.Errorf("trusting no proxy: %w", err)
	}

	operations := h.contract.Operations()
	methods := map[string][]string{}
	unanswered := map[string]bool{}
	for _, o := range operations {
		methods[o.Path] = append(methods[o.Path], o.Method)
		unanswered[o.ID] = true
	}
	allow := map[string]string{}
	for path := range methods {
		allow[path] = allowed(methods[path])
	}
	for _, e := range h.endpoints() {
		o, ok := h.contract.Operation(e.operation)
		if !ok {
			return nil, fmt.Errorf("the contract has no operation %s", e.operation)
		}
		delete(unanswered, e.operation)
		handle := h.handle(e, o)
		engine.Handle(o.Method, route(o.Path), handle)
		if o.Method == http.MethodGet {
			engine.Handle(http.MethodHead, route(o.Path), handle)
		}
	}
	if len(unanswered) > 0 {
		return nil, fmt.Errorf("%d operations of the contract have no endpoint", len(unanswered))
	}
	for _, o := range operations { // in the order of the contract, each path once
		if list := methods[o.Path]; list != nil {
			engine.Handle(http.MethodOptions, route(o.Path), h.options(allow[o.Path]))
			delete(methods, o.Path)
		}
	}
	engine.NoRoute(func(c *gin.Context) {
		h.refuse(c.Writer, c.Request, problem.New(problem.NotFound, ""))
	})
	engine.NoMethod(func(c *gin.Context) { // gin has set Allow
		slug := problem.MethodNotAllowed
		if !slices.Contains(knownMethods, c.Request.Method) {
			slug = problem.NotImplemented
		}
		w := c.Writer
		w.Header().Set("Allow", sortMethods(w.Header().Get("Allow")))
		h.refuse(w, c.Request, problem.New(slug, ""))
	})
	return engine, nil
}

// knownMethods are those of RFC 9110, 9.3 and RFC 5789, in the order in which Allow lists them.
var knownMethods = []string{http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch,
	http.MethodDelete, http.MethodConnect, http.MethodTrace, http.MethodOptions}

func allowed(methods []string) string {
	list := append(slices.Clone(methods), http.MethodOptions)
	if slices.Contains(methods, http.MethodGet) {
		list = append(list, http.MethodHead)
	}
	return sortMethods(strings.Join(list, ", "))
}

func sortMethods(list string) string {
	methods := strings.Split(list, ", ")
	slices.SortFunc(methods, func(a, b string) int { return slices.Index(knownMethods, a) - slices.Index(knownMethods, b) })
	return strings.Join(slices.Compact(methods), ", ")
}

// route is a path of the contract as the router writes it: /problems/:slug for /problems/{slug}.
func route(path string) string {
	return strings.NewReplacer("{", ":", "}", "").Replace(path)
}

// record finds the recorder below gin's writer.
func record(w http.ResponseWriter) *recorder {
	for {
		if rec, ok := w.(*recorder); ok {
			return rec
		}
		u, ok := w.(interface{ Unwrap() http.ResponseWriter })
		if !ok {
			return &recorder{ResponseWriter: w} // remembers for nobody
		}
		w = u.Unwrap()
	}
}

func (h *Handler) options(allow string) gin.HandlerFunc {
	return func(c *gin.Context) {
		w := c.Writer
		record(w).route = c.FullPath()
		if p := refuseContent(c.Request); p != nil {
			h.refuse(w, c.Request, p)
			return
		}
		send(w, c.Request, &reply{status: http.StatusNoContent, cache: neverStored, header: http.Header{"Allow": {allow}}})
	}
}

func (h *Handler) handle(e endpoint, o *contract.Operation) gin.HandlerFunc {
	steps := h.steps(e)
	return func(c *gin.Context) {
		w := c.Writer
		record(w).route = c.FullPath()
		call := &call{w: w, r: c.Request, operation: o, offers: e.offers, param: c.Param}
		for _, step := range steps {
			if p := step(call); p != nil {
				h.refuse(w, c.Request, p)
				return
			}
		}
		a, p := e.serve(call)
		if p != nil {
			h.refuse(w, c.Request, p)
			return
		}
		send(w, c.Request, a)
	}
}
