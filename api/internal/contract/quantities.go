package contract

import (
	"errors"
	"fmt"

	"github.com/getkin/kin-openapi/openapi3"

	"bedline/estimate/measure"
)

// quantityFormats check the strings of the schemas with an x-quantity. The document gives clients a pattern for each;
// the service uses the parsers of the engine, which are exact and several times as fast. They are only read.
var quantityFormats = map[string]openapi3.StringFormatValidator{
	"quantity-Length":       openapi3.NewCallbackValidator(unsigned(measure.ParseLength)),
	"quantity-Tape":         openapi3.NewCallbackValidator(unsigned(measure.ParseLength)),
	"quantity-SignedLength": openapi3.NewCallbackValidator(signed(measure.ParseLength)),
	"quantity-Volume":       openapi3.NewCallbackValidator(unsigned(measure.ParseVolume)),
	"quantity-Mass":         openapi3.NewCallbackValidator(unsigned(measure.ParseMass)),
	"quantity-Density":      openapi3.NewCallbackValidator(unsigned(measure.ParseDensity)),
	"quantity-Amount":       openapi3.NewCallbackValidator(amount),
}

// parseQuantities puts the parsers in the place of the patterns, in the loaded document only.
func parseQuantities(doc *openapi3.T) error {
	for name, ref := range doc.Components.Schemas {
		if quantity(ref.Value) == "" {
			continue
		}
		format := "quantity-" + name
		if quantityFormats[format] == nil {
			return fmt.Errorf("schema %s is a quantity that this service cannot read", name)
		}
		ref.Value.Pattern, ref.Value.Format = "", format
	}
	return nil
}

var errNegative = errors.New("is negative")

func unsigned[Q ~float64](parse func(string) (Q, error)) func(string) error {
	return func(s string) error {
		if q, err := parse(s); err != nil {
			return err
		} else if q < 0 {
			return errNegative
		}
		return nil
	}
}

func signed[Q ~float64](parse func(string) (Q, error)) func(string) error {
	return func(s string) error {
		_, err := parse(s)
		return err
	}
}

// amount takes a length, an area, a volume or a mass.
func amount(s string) error {
	for _, read := range []func(string) error{unsigned(measure.ParseVolume), unsigned(measure.ParseMass), unsigned(measure.ParseLength), unsigned(measure.ParseArea)} {
		if read(s) == nil {
			return nil
		}
	}
	return errors.New("is no quantity")
}
