package cases

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/sitting"
)

const friday = `conoid-set = 1
title = "Friday"
# in this order
cases = ["one.toml", # the easy one
  "two.conoid-case", 'deep/three.toml']
`

func TestReadSet(t *testing.T) {
	s, err := ReadSet("friday.toml", []byte(friday))
	require.NoError(t, err)
	assert.Equal(t, &Set{"Friday", []Listed{{"one.toml", 4, 10}, {"two.conoid-case", 5, 3}, {"deep/three.toml", 5, 22}}}, s)
	assert.True(t, IsSet([]byte(friday)))
	assert.False(t, IsSet([]byte(plain)))
	assert.False(t, IsSet(Template(plainWords)))
}

func TestMistakesInASetAreFoundWhereTheyStand(t *testing.T) {
	of := func(list string) string { return "conoid-set = 1\ntitle = \"T\"\ncases = " + list }
	for name, c := range map[string]struct{ file, want string }{
		"unknown key":       {of(`["a.toml"]`) + "\nminuts = 3", "4:1: set.no-key (allowed [conoid-set title cases], key minuts, meant )"},
		"misspelt":          {strings.Replace(friday, "title", "titel", 1), "2:1: set.no-key (allowed [conoid-set title cases], key titel, meant case.did-you-mean (word title))"},
		"a section":         {friday + "[room]\nx = 1", "6:2: set.no-section (section room)"},
		"no list":           {of(`"a.toml"`), `3:9: case.type (is case.is.text (text "a.toml"), key cases, write set.write.files)`},
		"an empty list":     {of(`[]`), "3:9: set.count (most 200, n 0)"},
		"a number":          {of(`["a.toml", 7]`), "3:20: case.type (is case.is.number (number 7), key case.item (key cases, n 2), write set.write.file)"},
		"twice":             {of(`["a.toml", "./a.toml"]`), `3:20: set.twice (file "./a.toml")`},
		"elsewhere":         {of(`["../a.toml"]`), `3:10: set.elsewhere (file "../a.toml")`},
		"from the root":     {of(`["/a.toml"]`), `3:10: set.elsewhere (file "/a.toml")`},
		"another file":      {of(`["a.png"]`), `3:10: set.no-case (ending .conoid-case, file "a.png")`},
		"empty title":       {strings.Replace(friday, "Friday", " ", 1), "2:9: case.empty (key title)"},
		"title as a number": {strings.Replace(friday, `"Friday"`, "5", 1), "2:9: case.type (is case.is.number (number 5), key title, write case.write.text)"},
		"no title":          {strings.Replace(friday, `title = "Friday"`, "", 1), "1:1: case.missing (how set.need.title, key title)"},
		"no version":        {strings.Replace(friday, `conoid-set = 1`, "", 1), "1:1: case.missing (how case.need.version (key conoid-set, version 1), key conoid-set)"},
		"not TOML":          {"conoid-set = \n", "1:14: case.toml (why unexpected character U+000A at start of value)"},
		"too large":         {friday + strings.Repeat("#", maxSize), "1:1: case.size (most 65536, size 65660)"},
	} {
		_, err := ReadSet("friday.toml", []byte(c.file))
		assert.Equal(t, c.want, told(t, err), name)
	}
}

func TestWriteSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := &Set{Title: rapid.StringMatching(`[a-z"\\é]([a-z"\\é]{0,20}[a-z])?`).Draw(t, "title")}
		files := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z"é]{1,5}(/[a-z]{1,5})?`), 1, 20, rapid.ID).Draw(t, "files")
		for _, f := range files {
			s.Cases = append(s.Cases, Listed{File: f + ".toml"})
		}
		got, err := ReadSet("x", WriteSet(s, plainWords))
		require.NoError(t, err)
		for i := range got.Cases {
			got.Cases[i].Line, got.Cases[i].Column = 0, 0
		}
		assert.Equal(t, s, got)
	})
}

func TestDrawSetIsEven(t *testing.T) {
	if testing.Short() {
		t.Skip("many cards are worked out")
	}
	for seed := range uint64(5) {
		s, drawn := DrawSet(seed, 0, 24)
		again, _ := DrawSet(seed, 0, 24)
		require.Equal(t, s, again)
		require.Len(t, s.Cases, 24)
		levels, sides, who, kinds := map[int]int{}, map[sitting.Side]int{}, map[string]int{}, map[string]int{}
		for i, c := range drawn {
			assert.Equal(t, c.ID+".toml", s.Cases[i].File)
			assert.Equal(t, c.grade(), c.Level)
			assert.Empty(t, c.notMadeUp())
			levels[c.Level]++
			sides[c.Tested]++
			who[c.Name]++
			for _, d := range c.Difficulties() {
				kinds[string(d)]++
			}
			if i > 0 {
				assert.GreaterOrEqual(t, c.Level, drawn[i-1].Level, "from easy to hard")
			}
		}
		assert.Equal(t, map[int]int{1: 6, 2: 6, 3: 6, 4: 6}, levels)
		assert.Equal(t, map[sitting.Side]int{sitting.Right: 12, sitting.Left: 12}, sides)
		assert.Len(t, who, 24, "nobody shares a name")
		assert.GreaterOrEqual(t, len(kinds), 6)
		for kind, n := range kinds {
			if kind != string(SmallPupil) { // hardly any
				assert.InDelta(t, 6, n, 2, kind)
			}
		}
	}
}

func TestDrawSet(t *testing.T) {
	_, drawn := DrawSet(7, 3, 30)
	for i, c := range drawn {
		assert.Equal(t, 3, c.Level)
		got, err := Read(c.ID+".toml", Write(c))
		require.NoError(t, err)
		assert.Equal(t, c, got)
		assert.True(t, strings.HasPrefix(c.ID, fmt.Sprintf("%02d-", i+1)), c.ID)
	}
	for _, bad := range [][2]int{{-1, 3}, {5, 3}, {0, 0}, {0, 201}} {
		assert.Panics(t, func() { DrawSet(1, bad[0], bad[1]) })
	}
}

func FuzzReadSet(f *testing.F) {
	f.Add([]byte(friday))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ReadSet("quay", data)
		if err == nil {
			for _, c := range s.Cases {
				assert.True(t, c.Line >= 1 && c.Column >= 1)
			}
		}
	})
}
