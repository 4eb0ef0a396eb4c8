package pricing

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
)

// Content is a quantity with its unit ("0.5 ft3") or a whole number of units, pieces or packs: exactly one of the two.
// The zero value is an absent member.
type Content struct {
	Quantity string
	Count    int
}

// MaxCount is the greatest count that a price list may name.
const MaxCount = 1_000_000

// IsZero tells an absent member; encoding/json asks it for omitzero.
func (c Content) IsZero() bool { return c == Content{} }

// String is the text of the quantity, or the count in digits.
func (c Content) String() string {
	if c.Quantity != "" {
		return c.Quantity
	}
	return strconv.Itoa(c.Count)
}

// ParseContent reads what String writes: digits alone are a count, anything else is kept as the text of a quantity.
// The text is not looked into further; Compile does that where it knows the material.
func ParseContent(text string) (Content, error) {
	if text == "" {
		return Content{}, errors.New("reading a content: it is empty")
	}
	for _, r := range text {
		if r < '0' || r > '9' {
			return Content{Quantity: text}, nil
		}
	}
	count, err := strconv.Atoi(text)
	if err != nil || count > MaxCount {
		return Content{}, fmt.Errorf("reading a content: a count is at most %d", MaxCount)
	}
	return Content{Count: count}, nil
}

// MarshalJSON is a string for a quantity and a number for a count.
func (c Content) MarshalJSON() ([]byte, error) {
	if c.Quantity != "" {
		return appendText(nil, c.Quantity), nil
	}
	return strconv.AppendInt(nil, int64(c.Count), 10), nil
}

// UnmarshalJSON reads a string or a whole number.
func (c *Content) UnmarshalJSON(text []byte) error {
	if len(text) > 0 && text[0] == '"' {
		var quantity string
		if err := json.Unmarshal(text, &quantity); err != nil {
			return fmt.Errorf("reading a content: %w", err)
		}
		*c = Content{Quantity: quantity}
		return nil
	}
	count, err := strconv.Atoi(string(text))
	if err != nil {
		return errors.New("reading a content: it is a quantity with its unit or a whole number")
	}
	*c = Content{Count: count}
	return nil
}
