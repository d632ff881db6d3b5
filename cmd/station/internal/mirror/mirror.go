package mirror

import (
	"slices"
	"strconv"

	"conoid/cmd/station/internal/ui"
)

// Change is what the elements of a page have to be told.
type Change struct {
	Gone  []string `json:"gone,omitempty"`  // keys of elements that there are no more
	Nodes []Node   `json:"nodes,omitempty"` // that are new, or differ
	Order []string `json:"order,omitempty"` // keys of all, in reading order; empty: as it was
	Focus string   `json:"focus"`           // key of the one that has the keyboard; empty: none
}

// Mirror is what a page was told last. The zero value is an empty page.
type Mirror struct {
	things []ui.Thing
	nodes  []Node
	texts  int // that there ever were
}

// Turn shows other things, and tells what has changed; there is nothing to be told
// where nothing did.
func (m *Mirror) Turn(things []ui.Thing) (c Change, changed bool) {
	if slices.Equal(things, m.things) {
		return Change{}, false
	}
	m.things = append(m.things[:0], things...)
	now, focused := nodes(things)
	m.keep(now)
	was := map[string]Node{}
	for _, n := range m.nodes {
		was[n.Key] = n
	}
	for _, n := range now {
		if old, there := was[n.Key]; !there || old != n {
			c.Nodes = append(c.Nodes, n)
		}
		delete(was, n.Key)
	}
	for _, n := range m.nodes {
		if _, gone := was[n.Key]; gone {
			c.Gone = append(c.Gone, n.Key)
		}
	}
	if !slices.EqualFunc(m.nodes, now, func(a, b Node) bool { return a.Key == b.Key }) {
		for _, n := range now {
			c.Order = append(c.Order, n.Key)
		}
	}
	m.nodes, c.Focus = now, focused
	return c, true
}

// keep gives texts, which have no names, their keys. One that was there keeps its
// element. One that stands where another stood, after the same element, is that one with
// other words: who reads it there hears the new ones, and does not lose the place.
func (m *Mirror) keep(now []Node) {
	old := pastOf(m.nodes)
	for i := range now {
		if n := &now[i]; wordy(*n) {
			n.Key = old.same(*n)
		}
	}
	for i := range now {
		n := &now[i]
		if !wordy(*n) || n.Key != "" {
			continue
		}
		if n.Key = old.after(now[i-1].Key, *n); n.Key == "" { // the screen comes first
			m.texts++
			n.Key = "text " + strconv.Itoa(m.texts)
		}
	}
}

// wordy reports whether an element is nothing but words.
func wordy(n Node) bool { return n.Kind == Text || n.Kind == Heading }

// words are what tells one text from another, but for where it lies.
type words struct {
	kind         Kind
	level        int
	within, name string
}

func wordsOf(n Node) words { return words{n.Kind, n.Level, n.Within, n.Name} }

// past is the elements that there were, and the texts among them that are to be had.
type past struct {
	next map[string]Node    // the one after each, by its key
	free map[words][]string // keys of texts
}

func pastOf(nodes []Node) past {
	p := past{map[string]Node{}, map[words][]string{}}
	for i, n := range nodes {
		if i > 0 {
			p.next[nodes[i-1].Key] = n
		}
		if wordy(n) {
			p.free[wordsOf(n)] = append(p.free[wordsOf(n)], n.Key)
		}
	}
	return p
}

// same takes the first text with the words of n; "" if there is none.
func (p past) same(n Node) (key string) {
	keys := p.free[wordsOf(n)]
	if len(keys) == 0 {
		return ""
	}
	p.free[wordsOf(n)] = keys[1:]
	return keys[0]
}

// after takes the text that stood after an element, if it is of the kind of n and nobody
// has taken it.
func (p past) after(key string, n Node) string {
	old, is := p.next[key]
	keys := p.free[wordsOf(old)]
	at := slices.Index(keys, old.Key)
	if !is || at < 0 || old.Kind != n.Kind || old.Level != n.Level || old.Within != n.Within {
		return ""
	}
	p.free[wordsOf(old)] = slices.Delete(keys, at, at+1)
	return old.Key
}
