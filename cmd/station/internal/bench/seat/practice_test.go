package seat

import (
	"bytes"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/work"
	"conoid/cmd/station/internal/store"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// memory is a store that is nowhere.
type memory map[string][]byte

func (m memory) List(prefix string) (out []string, err error) {
	for _, name := range slices.Sorted(maps.Keys(m)) {
		if strings.HasPrefix(name, prefix) {
			out = append(out, name)
		}
	}
	return out, nil
}

func (m memory) Read(name string) ([]byte, error) {
	if data, ok := m[name]; ok {
		return data, nil
	}
	return nil, fs.ErrNotExist
}

func (m memory) Append(name string, data []byte) error {
	m[name] = append(m[name], data...)
	return nil
}

func (m memory) Truncate(name string, size int64) error {
	m[name] = m[name][:size]
	return nil
}

func (m memory) Replace(name string, data []byte) error {
	m[name] = data
	return nil
}

func (m memory) Remove(name string) error {
	delete(m, name)
	return nil
}

// Sittings that begin in the same second with the same person have a log each.
func TestATakenNameGetsANumber(t *testing.T) {
	c, err := cases.Find("1")
	require.NoError(t, err)
	kept, seed := memory{}, uint64(7)
	k := NewKeeper(kept, func() time.Time { return time.Unix(0, 0).UTC() }, nil, work.New(time.Now),
		func(chair.Brief, chair.Told) []string { return nil })
	var names []string
	for range 3 {
		p, err := k.Begin(c, How{Seed: &seed})
		require.NoError(t, err)
		_, err = p.Visit().Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, time.Unix(1, 0)).Wait()
		require.NoError(t, err)
		names = append(names, p.Name())
	}
	assert.Equal(t, []string{names[0], names[0] + ".2", names[0] + ".3"}, names)
	for _, name := range names {
		rec, err := sitting.ReadLog(bytes.NewReader(kept[name+logEnding]))
		require.NoError(t, err)
		assert.Len(t, rec.Events, 1)
		p, _, err := k.Resume(name)
		require.NoError(t, err)
		assert.Equal(t, name, p.Name())
		assert.Equal(t, "19700101-000000", stamp(name))
		assert.NoError(t, store.Check(name+notesEnding))
	}
}
