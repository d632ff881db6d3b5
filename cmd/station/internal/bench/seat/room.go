package seat

// Size is how many bytes a sitting takes in the store; 0 when it is not there.
func (k *Keeper) Size(name string) (n int) {
	for _, ending := range []string{logEnding, notesEnding} {
		if data, err := k.store.Read(name + ending); err == nil {
			n += len(data)
		}
	}
	return n
}

// Has reports whether a sitting's log is in the store, so that it can be stepped through.
func (k *Keeper) Has(name string) bool {
	data, err := k.store.Read(name + logEnding)
	return err == nil && len(data) > 0
}

// Drop takes a sitting out of the store for good.
func (k *Keeper) Drop(name string) error {
	if err := k.store.Remove(name + logEnding); err != nil {
		return err
	}
	return k.store.Remove(name + notesEnding)
}
