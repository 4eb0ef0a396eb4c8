//go:build !linux

package scaling

import "time"

var start = time.Now()

func now() time.Duration { return time.Since(start) }
