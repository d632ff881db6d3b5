package chair

import (
	"slices"
	"time"
)

// Aside is what went on around an action: it is kept, and changes nothing.
type Aside struct {
	Wall      time.Time
	Predicted string
	Opened    []string
	Hint      bool
}

// and is what went on around an action of which nothing came, and since.
func (a Aside) and(since Aside) Aside {
	since.Opened = slices.Concat(a.Opened, since.Opened)
	since.Hint = since.Hint || a.Hint
	return since
}
