// Package edition writes a quote as the documents that people work with: one for the customer, who reads and accepts it,
// and one for the crew, who builds from it. It reckons nothing: every figure comes from the quote.
package edition
