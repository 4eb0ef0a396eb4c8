// Package problem holds the problem documents (RFC 9457) of the service: the types, what each means, and how one is
// written.
package problem

import "slices"

// Slug names a problem type; the type's address ends in it.
type Slug string

// The problem types.
const (
	MalformedRequest      Slug = "malformed-request"
	MalformedJSON         Slug = "malformed-json"
	InvalidParameter      Slug = "invalid-parameter"
	DigestMismatch        Slug = "digest-mismatch"
	ReadOnly              Slug = "read-only"
	NotFound              Slug = "not-found"
	PriceListNotFound     Slug = "price-list-not-found"
	MethodNotAllowed      Slug = "method-not-allowed"
	NotAcceptable         Slug = "not-acceptable"
	RequestTimeout        Slug = "request-timeout"
	PreconditionFailed    Slug = "precondition-failed"
	ContentTooLarge       Slug = "content-too-large"
	UnsupportedMediaType  Slug = "unsupported-media-type"
	InvalidJob            Slug = "invalid-job"
	InvalidPriceList      Slug = "invalid-price-list"
	InvalidRequirements   Slug = "invalid-requirements"
	InvalidCalibration    Slug = "invalid-calibration"
	PreconditionRequired  Slug = "precondition-required"
	InternalError         Slug = "internal-error"
	NotImplemented        Slug = "not-implemented"
	Overloaded            Slug = "overloaded"
	Stopping              Slug = "stopping"
	Timeout               Slug = "timeout"
	DependencyUnavailable Slug = "dependency-unavailable"
)

// Type is a problem type as its page explains it.
type Type struct {
	Slug    Slug
	Title   string // the same in every problem of the type
	Status  int
	Meaning string
	Remedy  string
}

// Types are all problem types, by status.
func Types() []Type { return slices.Clone(types[:]) }

// Lookup finds a problem type.
func Lookup(slug Slug) (Type, bool) {
	for i := range types {
		if types[i].Slug == slug {
			return types[i], true
		}
	}
	return Type{}, false
}

var types = [...]Type{
	{MalformedRequest, "The request is malformed", 400,
		"A part of the request other than its body cannot be read, or a body came where none belongs.",
		"Correct what the detail names. Requests with GET, HEAD and OPTIONS have no body."},
	{MalformedJSON, "The body is not one well-formed JSON text", 400,
		"The body must be exactly one JSON text (RFC 8259) in UTF-8 without a byte order mark, with no member twice in one object, no number beyond double precision, nested at most 32 deep.",
		"Correct the text at the line and column given; write it with a JSON library rather than by hand."},
	{InvalidParameter, "A parameter is not right", 400,
		"A parameter of the path or the query, or a header field, does not conform to the contract. Query parameters that a resource does not have are refused, because a misspelt one would otherwise be overlooked.",
		"Correct the parameters listed in errors."},
	{DigestMismatch, "The body does not match its digest", 400,
		"The Content-Digest field (RFC 9530) has another digest than the body that arrived.",
		"Send the request again. If it happens again, look at what changes the body on the way, or at how the digest is computed."},
	{ReadOnly, "The price lists cannot be changed", 403,
		"This service runs without a database. Its price lists are those that it started with.",
		"Connect a database: start the service with bedline serve --database URL, or set BEDLINE_DATABASE to the URL."},
	{NotFound, "There is nothing at this address", 404,
		"The service has no resource of this path. Paths are case-sensitive and do not end in a slash.",
		"Look up the address in the contract at /openapi.yaml or the reference at /docs."},
	{PriceListNotFound, "There is no such price list", 404,
		"No price list has this name, or the list has no such version.",
		"GET /v1/price-lists tells which lists there are and their current versions."},
	{MethodNotAllowed, "The method does not work on this resource", 405,
		"The resource exists, and the method is not one of those that it knows.",
		"Use one of the methods in the Allow field."},
	{NotAcceptable, "None of the representations is acceptable", 406,
		"The Accept field of the request rules out every representation that the resource has.",
		"Ask for one of the media types in available, or leave the Accept field out."},
	{RequestTimeout, "The body did not arrive in time", 408,
		"The service waited for the body of the request and gave up.",
		"Send the request again over a better connection."},
	{PreconditionFailed, "The price list is not what the request expects", 412,
		"Somebody has published a version since the client read the list, or the list that should be new exists already.",
		"GET the list, bring the change into the current version, and send it with the ETag of that."},
	{ContentTooLarge, "The body is too large", 413,
		"The body is larger than the service reads, which is 1 MiB unless the operator set another limit.",
		"Send less: split a large job into several, or give outlines fewer points."},
	{UnsupportedMediaType, "The body is of a kind that is not read here", 415,
		"The body has another media type than application/json, no media type, another charset than UTF-8, or a content coding.",
		"Send JSON in UTF-8, without compression, with Content-Type: application/json."},
	{InvalidJob, "The job has faults", 422,
		"The body is well-formed JSON, and what it says cannot be estimated. Everything that was found is listed at once in the order of the document, at most fifty faults; if there are more, truncated is true.",
		"Correct the members that the pointers name. The example of a fault shows a right value."},
	{InvalidPriceList, "The price list has faults", 422,
		"The body is well-formed JSON, and it is no possible price list. Everything that was found is listed at once in the order of the document, at most fifty faults; if there are more, truncated is true.",
		"Correct the members that the pointers name. The example of a fault shows a right value."},
	{InvalidRequirements, "The requirements have faults", 422,
		"The body is well-formed JSON, and what it says cannot be bought. Everything that was found is listed at once in the order of the document, at most fifty faults; if there are more, truncated is true.",
		"Correct the members that the pointers name. The example of a fault shows a right value."},
	{InvalidCalibration, "The past jobs have faults", 422,
		"The body is well-formed JSON, and what it says of past jobs cannot be compared with the price list. Everything that was found is listed at once in the order of the document, at most fifty faults; if there are more, truncated is true.",
		"Correct the members that the pointers name. The example of a fault shows a right value."},
	{PreconditionRequired, "The request must say what it expects to replace", 428,
		"A price list is only published on condition, so that nobody overwrites what they have not seen.",
		"For a new list send If-None-Match: *; for the next version send If-Match with the ETag of the current one."},
	{InternalError, "The service has a fault", 500,
		"Something went wrong that is no fault of the request. The instance names the record in the log of the service.",
		"Report the instance to the operator. Sending the same request again will probably not help."},
	{NotImplemented, "The service does not know the method", 501,
		"The method of the request is none of HTTP that this service knows.",
		"Use one of the methods in the Allow field."},
	{Overloaded, "The service is busy", 503,
		"As many requests are being answered as the service takes on at once.",
		"Send the request again after the seconds in the Retry-After field."},
	{Stopping, "The service is about to stop", 503,
		"The service finishes the requests that it has and takes no new ones.",
		"Send the request again after the seconds in the Retry-After field; another instance will answer it."},
	{Timeout, "The answer took too long", 503,
		"The work did not get done within the time that the service allows a request.",
		"Send the request again after the seconds in the Retry-After field. If it happens again, make the job smaller."},
	{DependencyUnavailable, "The price lists cannot be read just now", 503,
		"The database of the service does not answer.",
		"Send the request again after the seconds in the Retry-After field."},
}
