package chair

import (
	"conoid/sim/sitting"
)

// Log is where the lines of a sitting's log are kept: a file, or a store.
type Log interface {
	// Append puts a line at the end, and returns when it is sure to stay. After
	// an error the line may be there, or a part of it.
	Append(line []byte) error
	// Truncate cuts off what is longer than size bytes.
	Truncate(size int64) error
}

// keeper appends to a log, and sees to it that nothing of a line that failed
// stays before the next.
type keeper struct {
	log  Log
	size int64 // bytes that are sure
	torn bool  // there may be more than those
}

// Write keeps one line; it is a whole one, as sitting.Log writes them.
func (k *keeper) Write(line []byte) (int, error) {
	if err := k.mend(); err != nil {
		return 0, err
	}
	if err := k.log.Append(line); err != nil {
		k.torn = true
		_ = k.mend() // at once, lest the program ends now; else before the next line
		return 0, err
	}
	k.size += int64(len(line))
	return len(line), nil
}

// mend cuts off what a line that failed has left.
func (k *keeper) mend() error {
	if !k.torn {
		return nil
	}
	if err := k.log.Truncate(k.size); err != nil {
		return err
	}
	k.torn = false
	return nil
}

// begin begins a log with its header; nil keeps none.
func begin(log Log, h sitting.Header) (*sitting.Log, error) {
	if log == nil {
		return nil, nil
	}
	return sitting.NewLog(&keeper{log: log}, h)
}

// goOn goes on with a log that was read; nil keeps none.
func goOn(log Log, rec *sitting.Record) (*sitting.Log, error) {
	if log == nil {
		return nil, nil
	}
	k := &keeper{log: log, size: rec.Size, torn: rec.Torn}
	return sitting.ContinueLog(k, rec), k.mend()
}
