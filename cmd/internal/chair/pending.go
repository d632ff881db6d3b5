package chair

import "conoid/sim/sitting"

// Pending is an action on its way. It is decided once, and can be asked from
// any goroutine.
type Pending struct {
	Action  sitting.Action
	decided chan struct{}
	told    Told
	err     error
}

// Sent is an action that was sent on its way, for chairs that decide later.
func Sent(a sitting.Action) *Pending { return &Pending{Action: a, decided: make(chan struct{})} }

// Decide says what became of the action: an event, or an error and nothing
// happened. It is called once.
func (p *Pending) Decide(told Told, err error) *Pending {
	p.told, p.err = told, err
	close(p.decided)
	return p
}

// Ready reports whether it is decided, and then what became of it.
func (p *Pending) Ready() (told Told, err error, ready bool) {
	select {
	case <-p.decided:
		return p.told, p.err, true
	default:
		return Told{}, nil, false
	}
}

// Wait waits for it to be decided.
func (p *Pending) Wait() (Told, error) {
	<-p.decided
	return p.told, p.err
}
