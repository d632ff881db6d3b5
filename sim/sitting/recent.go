package sitting

import "container/list"

// recent remembers what was used last. What is remembered can always be worked out
// again, and comes out the same.
type recent[K comparable, V any] struct {
	most  int
	at    map[K]*list.Element // of entry[K, V]
	order list.List           // what was used last comes first
}

type entry[K comparable, V any] struct {
	key   K
	value V
}

func newRecent[K comparable, V any](most int) *recent[K, V] {
	return &recent[K, V]{most: most, at: map[K]*list.Element{}}
}

// get is what is remembered of a key, or else what work gives, which is remembered then.
func (r *recent[K, V]) get(key K, work func() V) V {
	if e, is := r.at[key]; is {
		r.order.MoveToFront(e)
		return e.Value.(entry[K, V]).value
	}
	value := work()
	r.at[key] = r.order.PushFront(entry[K, V]{key, value})
	r.keep(r.most)
	return value
}

// keep remembers no more than so many, from now on.
func (r *recent[K, V]) keep(most int) {
	r.most = most
	for r.order.Len() > r.most {
		oldest := r.order.Back()
		delete(r.at, oldest.Value.(entry[K, V]).key)
		r.order.Remove(oldest)
	}
}

func (r *recent[K, V]) len() int { return r.order.Len() }
