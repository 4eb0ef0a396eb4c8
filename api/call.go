package api

import (
	"errors"
	"io"
	"mime"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strconv"
	"strings"

	"bedline/api/internal/accept"
	"bedline/api/internal/contract"
	"bedline/api/internal/digest"
	"bedline/api/problem"
	"bedline/estimate/document"
)

// call is one request on its way through the steps.
type call struct {
	w         http.ResponseWriter
	r         *http.Request
	operation *contract.Operation
	offers    []string
	param     func(name string) string

	form int            // the place in offers of the representation that was chosen
	text []byte         // the body
	root *document.Node // the body, read
}

// step looks at one thing of a request.
type step func(*call) *problem.Problem

// steps are what an endpoint's requests go through before it serves them. The order decides which of several faults a
// client hears of first, and tests hold it.
func (h *Handler) steps(e endpoint) []step {
	var steps []step
	if e.permit != nil {
		steps = append(steps, e.permit)
	}
	if len(e.offers) > 0 {
		steps = append(steps, chooseForm)
	}
	if e.body {
		steps = append(steps, checkMediaType, h.readBody, checkDigest, parseBody)
	} else {
		steps = append(steps, func(c *call) *problem.Problem { return refuseContent(c.r) })
	}
	return append(steps, func(c *call) *problem.Problem { return checkParameters(c, e.more) })
}

func chooseForm(c *call) *problem.Problem {
	form, ok := accept.Choose(c.r.Header["Accept"], c.offers)
	if !ok {
		return notAcceptable(c.offers)
	}
	c.form = form
	return nil
}

func notAcceptable(offers []string) *problem.Problem {
	p := problem.New(problem.NotAcceptable, "")
	for _, offer := range offers {
		mediaType, _, _ := strings.Cut(offer, ";")
		p.Available = append(p.Available, mediaType)
	}
	p.Detail = "This resource exists as " + strings.Join(p.Available, ", ") + "."
	return p
}

// refuseContent refuses a body where none has a meaning.
func refuseContent(r *http.Request) *problem.Problem {
	if r.ContentLength > 0 || len(r.TransferEncoding) > 0 {
		return problem.New(problem.MalformedRequest, "A request with "+r.Method+" has no body here.")
	}
	return nil
}

// checkMediaType takes only JSON in UTF-8 without a coding. What came is not guessed at.
func checkMediaType(c *call) *problem.Problem {
	for _, line := range c.r.Header["Content-Encoding"] {
		for coding := range strings.SplitSeq(line, ",") {
			if coding = strings.TrimSpace(coding); coding != "" && !strings.EqualFold(coding, "identity") {
				c.w.Header().Set("Accept-Encoding", "identity")
				return problem.New(problem.UnsupportedMediaType, "The body has a content coding; send it without.")
			}
		}
	}
	refuse := func(detail string) *problem.Problem {
		c.w.Header().Set("Accept", "application/json")
		return problem.New(problem.UnsupportedMediaType, detail)
	}
	fields := c.r.Header["Content-Type"]
	if len(fields) == 1 && fields[0] == "application/json" {
		return nil
	}
	if len(fields) == 0 || strings.TrimSpace(fields[0]) == "" {
		return refuse("The request has no Content-Type; send application/json.")
	}
	mediaType, parameters, err := mime.ParseMediaType(fields[0])
	if err != nil || len(fields) > 1 || mediaType != "application/json" {
		return refuse("The body is not application/json.")
	}
	if charset, ok := parameters["charset"]; ok && !strings.EqualFold(charset, "utf-8") {
		return refuse("The charset of the body is not UTF-8.")
	}
	return nil
}

// readBody reads all of the body, up to the limit, whatever length was declared.
func (h *Handler) readBody(c *call) *problem.Problem {
	limit := h.config.MaxBody
	tooLarge := func() *problem.Problem {
		c.w.Header().Set("Connection", "close") // the rest of the body is not read
		return problem.New(problem.ContentTooLarge, "The body is larger than "+strconv.FormatInt(limit, 10)+" bytes.")
	}
	if c.r.ContentLength > limit {
		return tooLarge()
	}
	text := make([]byte, 0, max(512, c.r.ContentLength+1))
	body := http.MaxBytesReader(c.w, c.r.Body, limit)
	for {
		n, err := body.Read(text[len(text):cap(text)])
		text = text[:len(text)+n]
		var large *http.MaxBytesError
		switch {
		case err == nil:
			if len(text) == cap(text) {
				text = slices.Grow(text, len(text))
			}
		case errors.Is(err, io.EOF):
			c.text = text
			return nil
		case errors.As(err, &large):
			return tooLarge()
		case errors.Is(err, os.ErrDeadlineExceeded):
			c.w.Header().Set("Connection", "close")
			return problem.New(problem.RequestTimeout, "")
		default:
			c.w.Header().Set("Connection", "close")
			return problem.New(problem.MalformedRequest, "The body ends before its declared length, or its chunks are malformed.")
		}
	}
}

func checkDigest(c *call) *problem.Problem {
	if lines := c.r.Header["Content-Digest"]; lines != nil && !digest.Verify(lines, c.text) {
		return problem.New(problem.DigestMismatch, "")
	}
	return nil
}

func parseBody(c *call) *problem.Problem {
	root, err := document.Parse(c.text)
	if err != nil {
		detail := ""
		if e := (*document.SyntaxError)(nil); errors.As(err, &e) {
			detail = "The text " + e.Reason + ", at line " + strconv.Itoa(e.Line) + ", column " + strconv.Itoa(e.Column) + "."
		}
		return problem.New(problem.MalformedJSON, detail)
	}
	c.root = root
	return nil
}

func checkParameters(c *call, more func(*call) []problem.Fault) *problem.Problem {
	formal := c.operation.Parameters(c.param, c.r.URL.RawQuery, c.r.Header)
	var faults []problem.Fault
	for _, f := range formal {
		fault := problem.Fault{Fault: document.Fault{Code: f.Code, Detail: f.Detail, Example: f.Example}}
		switch {
		case f.In == "header":
			fault.Header = f.Name
		case f.Name == "":
			fault.Parameter = "query"
		default:
			fault.Parameter = shorten(f.Name)
		}
		faults = append(faults, fault)
	}
	if more != nil {
		faults = append(faults, more(c)...)
	}
	if len(faults) == 0 {
		return nil
	}
	p := problem.New(problem.InvalidParameter, "Look at errors for what is wrong.")
	p.Truncated = len(faults) > problem.MostFaults
	p.Faults = faults[:min(len(faults), problem.MostFaults)]
	return p
}

// shorten keeps the name of a parameter that the client made up within bounds.
func shorten(name string) string {
	name = url.QueryEscape(name)
	if len(name) > 100 {
		name = name[:100] + "..."
	}
	return name
}
