package desk

import (
	"sync"

	"conoid/cases"
)

// Library is the built-in cases, which no screen changes. They are read once: that takes as long as
// some frames in a browser.
var Library = sync.OnceValue(cases.Library)
