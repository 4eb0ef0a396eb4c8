package pricing

import (
	_ "embed"
	"fmt"
	"sync"
)

//go:embed standard.json
var standard []byte

// Sample is the built-in list "standard", version 1. Its prices and labour rates are invented for demonstration.
func Sample() *List { return sample() }

var sample = sync.OnceValue(func() *List {
	d, err := ReadDocument(standard)
	if err != nil {
		panic(fmt.Sprintf("reading the built-in price list: %v", err))
	}
	l, err := d.Compile(1)
	if err != nil {
		panic(fmt.Sprintf("compiling the built-in price list: %v", err))
	}
	return l
})
