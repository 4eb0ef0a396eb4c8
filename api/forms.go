package api

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"bedline/api/problem"
	"bedline/api/render"
	"bedline/api/render/calendar"
	"bedline/api/render/drawing"
	"bedline/api/render/edition"
	"bedline/api/render/locale"
	"bedline/api/render/page"
	"bedline/api/render/table"
	"bedline/estimate/document"
	"bedline/pricing"
)

// Editions of pages; without one it is the customer's.
const (
	editionCustomer = "customer"
	editionCrew     = "crew"
)

// wish is what a client wants to see of an estimate, beside its form.
type wish struct {
	words   *locale.Locale
	edition string
	view    string
	table   string
	paper   string // empty for the paper of the place
}

// estimateForm is one representation of an estimate.
type estimateForm struct {
	contentType string
	takes       []string // parameters of the query that say something here
	ending      string   // of a file's name
	write       func(*Estimate, wish) ([]byte, error)
}

// estimateForms are the representations of an estimate, the preferred first.
var estimateForms = []estimateForm{
	{"application/json", nil, "json", func(e *Estimate, _ wish) ([]byte, error) { return e.JSON, nil }},
	{"text/html; charset=utf-8", []string{"edition"}, "html", writeHTML},
	{"application/pdf", []string{"edition", "paper"}, "pdf", writePDF},
	{"image/svg+xml", []string{"view"}, "svg", writeSVG},
	{"text/csv; charset=utf-8; header=present", []string{"table"}, "csv", writeCSV},
	{"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", nil, "xlsx",
		func(e *Estimate, w wish) ([]byte, error) { return table.Workbook(e.Quote, w.words) }},
	{"text/calendar; charset=utf-8", nil, "ics",
		func(e *Estimate, w wish) ([]byte, error) { return calendar.Of(e.Quote, w.words) }},
}

// estimateTypes are the content types of the representations of an estimate.
func estimateTypes() []string {
	types := make([]string, len(estimateForms))
	for i := range estimateForms {
		types[i] = estimateForms[i].contentType
	}
	return types
}

func writeHTML(e *Estimate, w wish) ([]byte, error) { return page.HTML(w.document(e.Quote)) }

func writePDF(e *Estimate, w wish) ([]byte, error) { return page.PDF(w.document(e.Quote), w.sheet()) }

func writeSVG(e *Estimate, w wish) ([]byte, error) { return w.drawing(e.Quote).SVG(), nil }

func writeCSV(e *Estimate, w wish) ([]byte, error) {
	switch w.table {
	case "cuts":
		return table.CSV(table.Cuts(e.Quote, w.words)), nil
	case "shopping":
		return table.CSV(table.Shopping(e.Quote, w.words)), nil
	}
	return table.CSV(table.LineItems(e.Quote, w.words)), nil
}

func (w wish) document(q *pricing.Quote) *page.Document {
	if w.edition == editionCrew {
		return edition.Crew(q, w.words)
	}
	return edition.Customer(q, w.words)
}

// sheet is the paper asked for, else that of the place: Letter in the United States.
func (w wish) sheet() page.Paper {
	if w.paper == "a4" || w.paper == "" && !strings.HasSuffix(w.words.Tag(), "-US") {
		return page.A4
	}
	return page.Letter
}

func (w wish) drawing(q *pricing.Quote) *drawing.Sheet {
	var sheet *drawing.Sheet
	switch w.view {
	case "section":
		sheet = render.Section(q, w.words)
	case "fabric":
		sheet = render.Fabric(q, w.words)
	case "cost":
		sheet = render.Cost(q, w.words)
	case "tasks":
		sheet = render.Tasks(q, w.words)
	default:
		sheet = render.Plan(q, w.words)
	}
	if sheet == nil {
		return render.Nothing(w.view, w.words)
	}
	return sheet
}

// wishOf reads what the client wants to see.
func (c *call) wishOf() wish {
	query := c.r.URL.Query()
	return wish{words: locale.Choose(c.r.Header["Accept-Language"]), edition: query.Get("edition"), view: query.Get("view"),
		table: query.Get("table"), paper: query.Get("paper")}
}

// mute are the faults of parameters that say nothing of the form that the request accepts.
func mute(c *call) []problem.Fault {
	if c.r.URL.RawQuery == "" {
		return nil
	}
	query, form := c.r.URL.Query(), &estimateForms[c.form]
	var faults []problem.Fault
	for _, name := range [...]string{"edition", "paper", "table", "view"} {
		if !query.Has(name) || slices.Contains(form.takes, name) {
			continue
		}
		mediaType, _, _ := strings.Cut(form.contentType, ";")
		var others []string
		for i := range estimateForms {
			if slices.Contains(estimateForms[i].takes, name) {
				other, _, _ := strings.Cut(estimateForms[i].contentType, ";")
				others = append(others, "Accept: "+other)
			}
		}
		faults = append(faults, problem.Fault{Parameter: name, Fault: document.Fault{Code: "conflict",
			Detail: "says nothing of " + mediaType + ", which the request accepts: leave it out, or send " + strings.Join(others, " or ")}})
	}
	return faults
}

// represent writes an estimate in a form. What the job lacks for it is a fault of the request.
func (h *Handler) represent(c *call, e *Estimate, form *estimateForm, w wish) (*reply, *problem.Problem) {
	if e.Quote == nil && form != &estimateForms[0] {
		return nil, h.failure(c, "writing an estimate", errors.New("the estimator gave no quote to show"))
	}
	body, err := form.write(e, w)
	if over := c.r.Context().Err(); over != nil && form != &estimateForms[0] {
		err = over // nobody waits any longer, whatever was written
	}
	switch {
	case errors.Is(err, calendar.ErrUndated):
		return nil, problem.OfBody(problem.InvalidJob, []document.Fault{{Pointer: "/crew/start", Code: document.CodeMissing,
			Detail: "is missing: a calendar needs the day on which the crew begins", Example: `"2027-05-24"`}}, false)
	case err != nil:
		return nil, h.failure(c, "writing an estimate", err)
	}
	header := http.Header{}
	if form != &estimateForms[0] {
		header.Set("Content-Language", w.words.Tag())
		header.Set("Vary", "Accept, Accept-Language")
		header.Set("Content-Disposition", fmt.Sprintf("inline; filename=%q", w.fileName(e.Quote.Job.Reference, form)))
	}
	switch form.ending {
	case "html":
		header.Set("Content-Security-Policy", page.Policy)
	case "svg":
		header.Set("Content-Security-Policy", pagePolicy)
	}
	return &reply{contentType: form.contentType, body: body, header: header}, nil
}

// fileName is a name to keep the representation under: of letters, digits and hyphens (RFC 6266, appendix D).
func (w wish) fileName(reference string, form *estimateForm) string {
	var b strings.Builder
	for _, r := range strings.ToLower(reference) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	name := strings.Trim(b.String(), "-")
	if len(name) > 60 {
		name = name[:60]
	}
	if name == "" {
		name = "estimate"
	}
	for _, take := range form.takes {
		if value := map[string]string{"edition": w.edition, "view": w.view, "table": w.table}[take]; value != "" {
			name += "-" + value
		}
	}
	return name + "." + form.ending
}
