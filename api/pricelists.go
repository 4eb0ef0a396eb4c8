package api

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"bedline/api/internal/etag"
	"bedline/api/problem"
	"bedline/estimate/document"
	"bedline/pricing"
)

const listsPath = "/v1/price-lists"

func listPath(name string) string { return listsPath + "/" + name }

func versionPath(name string, version int) string {
	return listPath(name) + "/versions/" + strconv.Itoa(version)
}

// priceListForms are the representations of a price list, the preferred first.
var priceListForms = []form[*pricing.List]{
	{"application/json", func(l *pricing.List) ([]byte, error) { return l.JSON(), nil }},
	{"text/csv; charset=utf-8; header=present", func(l *pricing.List) ([]byte, error) { return l.Document().CSV() }},
}

func (h *Handler) listPriceLists(c *call) (*reply, *problem.Problem) {
	summaries, err := h.config.Lists.Summaries(c.r.Context())
	if err != nil {
		return nil, h.failure(c, "listing the price lists", err)
	}
	body, err := encode(summarize(summaries))
	if err != nil {
		return nil, h.failure(c, "writing the price lists", err)
	}
	return &reply{contentType: "application/json", body: body, cache: shortLived, etag: etag.Of(body)}, nil
}

// PriceLists is the answer to GET /v1/price-lists.
type PriceLists struct {
	PriceLists []PriceListSummary `json:"price_lists"`
}

// PriceListSummary tells of a price list and its current version.
type PriceListSummary struct {
	Name      string `json:"name"`
	Version   int    `json:"version"`
	Currency  string `json:"currency"`
	System    string `json:"system"`
	Effective string `json:"effective"`
	Note      string `json:"note,omitempty"`
	ETag      string `json:"etag"`
}

func summarize(summaries []pricing.Summary) PriceLists {
	lists := PriceLists{PriceLists: make([]PriceListSummary, 0, len(summaries))}
	for _, s := range summaries {
		lists.PriceLists = append(lists.PriceLists, PriceListSummary(s))
	}
	return lists
}

func (h *Handler) getPriceList(c *call) (*reply, *problem.Problem) {
	list, err := h.config.Lists.Latest(c.r.Context(), c.param("name"))
	if err != nil {
		return nil, h.listFailure(c, err)
	}
	return h.priceList(c, list, shortLived)
}

func (h *Handler) getPriceListVersion(c *call) (*reply, *problem.Problem) {
	version, err := strconv.Atoi(c.param("n"))
	if err != nil {
		return nil, problem.New(problem.PriceListNotFound, "")
	}
	list, err := h.config.Lists.Version(c.r.Context(), c.param("name"), version)
	if err != nil {
		return nil, h.listFailure(c, err)
	}
	return h.priceList(c, list, immutable)
}

func (h *Handler) listFailure(c *call, err error) *problem.Problem {
	var missing *pricing.ListNotFoundError
	switch {
	case !errors.As(err, &missing):
		return h.failure(c, "reading a price list", err)
	case missing.Latest > 0:
		return problem.New(problem.PriceListNotFound, "The price list has no such version; the latest is "+strconv.Itoa(missing.Latest)+".")
	case len(missing.Known) > 0 && len(missing.Known) <= 20:
		return problem.New(problem.PriceListNotFound, "There is no price list of this name; there are: "+strings.Join(missing.Known, ", ")+".")
	}
	return problem.New(problem.PriceListNotFound, "")
}

func (h *Handler) priceList(c *call, list *pricing.List, cache string) (*reply, *problem.Problem) {
	f := priceListForms[c.form]
	body, err := f.write(list)
	if err != nil {
		return nil, h.failure(c, "writing a price list", err)
	}
	return &reply{contentType: f.contentType, body: body, cache: cache, etag: formTag(list.ETag(), c.form),
		header: http.Header{"Content-Location": {versionPath(list.Name, list.Version)}}}, nil
}

// formTag is the entity tag of a representation: that of the list for JSON, with the number of the form for others,
// because strong tags differ where bytes do.
func formTag(tag string, form int) string {
	if form == 0 {
		return tag
	}
	return strings.TrimSuffix(tag, `"`) + "-" + strconv.Itoa(form) + `"`
}

// listTags are the tags of lists behind strong tags of representations.
func listTags(tags []string) []string {
	lists := make([]string, 0, len(tags))
	for _, tag := range tags {
		if strings.HasPrefix(tag, "W/") {
			continue
		}
		for form := 1; form < len(priceListForms); form++ {
			if rest, ok := strings.CutSuffix(tag, "-"+strconv.Itoa(form)+`"`); ok {
				tag = rest + `"`
			}
		}
		lists = append(lists, tag)
	}
	return lists
}

// permitPublishing refuses to publish where nothing can be kept.
func (h *Handler) permitPublishing(*call) *problem.Problem {
	if h.config.Publisher != nil {
		return nil
	}
	return problem.New(problem.ReadOnly, "This service runs without a database, so its price lists cannot be changed. "+
		"Connect one with bedline serve --database URL, or set BEDLINE_DATABASE.")
}

// putPriceList publishes the next version of a list, if it is what the client takes it for.
func (h *Handler) putPriceList(c *call) (*reply, *problem.Problem) {
	expect, p := expectation(c.r.Header)
	if p != nil {
		return nil, p
	}
	formal := c.operation.Body(c.root.Any())
	doc, err := pricing.ReadDocument(c.text)
	var invalid *pricing.InvalidListError
	if err != nil && !errors.As(err, &invalid) {
		return nil, h.failure(c, "reading a price list", err)
	}
	if name := c.root.Member("name"); name != nil && name.Kind == document.String && name.Text != c.param("name") {
		formal = append(formal, document.Fault{Pointer: "/name", Code: "conflict",
			Detail: "must be the name in the address", Example: strconv.Quote(c.param("name"))})
	}
	if invalid != nil {
		return nil, problem.OfBody(problem.InvalidPriceList, together(c.root, invalid.Faults, formal), invalid.Total > len(invalid.Faults))
	}
	if len(formal) > 0 {
		return nil, problem.OfBody(problem.InvalidPriceList, together(c.root, nil, formal), false)
	}
	list, created, err := h.config.Publisher.Publish(c.r.Context(), doc, *expect)
	var conflict *pricing.VersionConflictError
	switch {
	case errors.As(err, &conflict) && conflict.Current == "":
		return nil, problem.New(problem.PreconditionFailed, "There is no such list yet; publish it with If-None-Match: *.")
	case errors.As(err, &conflict):
		return nil, problem.New(problem.PreconditionFailed, "The list has another current version than the request expects.")
	case errors.As(err, &invalid):
		return nil, problem.OfBody(problem.InvalidPriceList, together(c.root, invalid.Faults, nil), invalid.Total > len(invalid.Faults))
	case err != nil:
		return nil, h.failure(c, "publishing a price list", err)
	}
	a := &reply{contentType: "application/json", body: list.JSON(), cache: neverStored, etag: list.ETag(),
		header: http.Header{"Content-Location": {versionPath(list.Name, list.Version)}}}
	if created && list.Version == 1 {
		a.status = http.StatusCreated
		a.header.Set("Location", listPath(list.Name))
	}
	return a, nil
}

// expectation reads what the client takes the list for: If-Match comes before If-None-Match (RFC 9110, 13.2.2).
func expectation(header http.Header) (*Expectation, *problem.Problem) {
	if lines := header["If-Match"]; lines != nil {
		l := etag.Parse(lines)
		if l.Any {
			return &Expectation{Exists: true}, nil
		}
		tags := listTags(l.Tags)
		if len(tags) == 0 {
			return nil, problem.New(problem.PreconditionFailed, "If-Match holds no strong entity tag.")
		}
		return &Expectation{ETags: tags}, nil
	}
	if lines := header["If-None-Match"]; lines != nil && etag.Parse(lines).Any {
		return &Expectation{New: true}, nil
	}
	return nil, problem.New(problem.PreconditionRequired, "")
}
