package chairtest

import "errors"

// Disk is a log in memory that fails when it is told to.
type Disk struct {
	Data  []byte
	Calls int                             // of Append and Truncate, so far
	Fails func(call int, cuts bool) Fault // nil never fails; cuts is set for Truncate
}

// Fault is how a call fails.
type Fault int

// The faults.
const (
	Works   Fault = iota
	Nothing       // nothing was written or cut
	Half          // half of a line was written
	Whole         // all was written or cut, but it is not sure to stay
)

// ErrDisk is what a disk fails with.
var ErrDisk = errors.New("the disk gave up")

// Append puts a line at the end.
func (d *Disk) Append(line []byte) error {
	fault := d.fault(false)
	switch fault {
	case Nothing:
	case Half:
		d.Data = append(d.Data, line[:len(line)/2]...)
	default:
		d.Data = append(d.Data, line...)
	}
	return fault.err()
}

// Truncate cuts off what is longer than size bytes.
func (d *Disk) Truncate(size int64) error {
	fault := d.fault(true)
	if fault == Works || fault == Whole {
		d.Data = d.Data[:size]
	}
	return fault.err()
}

func (d *Disk) fault(cuts bool) Fault {
	d.Calls++
	if d.Fails == nil {
		return Works
	}
	return d.Fails(d.Calls, cuts)
}

func (f Fault) err() error {
	if f == Works {
		return nil
	}
	return ErrDisk
}
