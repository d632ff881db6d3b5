package cases

import (
	"crypto/sha256"
	_ "embed"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"sync"

	"github.com/pelletier/go-toml/v2"
)

//go:embed people.toml
var peopleFile []byte

// people is what is known of the people of Thrennow.
var people = sync.OnceValue(func() (p struct {
	Names []struct {
		Name string
		She  bool
	}
	Trades         []trade
	Habits         []inTwo
	Pupil, Retired trade
	Complaints     struct{ Myope, Hyperope, Presbyope, None inTwo }
}) {
	if err := toml.Unmarshal(peopleFile, &p); err != nil {
		panic("cases: " + err.Error())
	}
	return p
})

// inTwo is a text in two languages.
type inTwo struct{ En, De string }

// trade is what a person does, in English, and in German of him and of her.
type trade struct{ En, He, She string }

// of is the trade in both languages.
func (t trade) of(she bool) inTwo {
	if she {
		return inTwo{t.En, t.She}
	}
	return inTwo{t.En, t.He}
}

// The years below which a person goes to school, and from which the work is
// done.
const (
	schooling  = 16
	retirement = 66
)

// peopleOf is the chance by which people are drawn for a draw with a seed: another
// one than that of their eyes, and behind a hash, so that who meets the people has
// nothing to work the seed back from but trying all.
func peopleOf(seed uint64, draw string) *rand.Rand {
	return rand.New(rand.NewChaCha8(sha256.Sum256(fmt.Appendf(nil, "people of %s %d", draw, seed))))
}

// dress gives a drawn case its words: the name and the story are of those that a
// set has the least of so far. They say no more than a record card would.
func dress(r *rand.Rand, c *Case, so tally) {
	p := people()
	who := p.Names[rarest(r, len(p.Names), func(i int) int { return so[p.Names[i].Name] })]
	does := p.Trades[r.IntN(len(p.Trades))].of(who.She)
	switch {
	case c.Age < schooling:
		does = p.Pupil.of(who.She)
	case c.Age >= retirement:
		done := p.Retired.of(who.She)
		does.En = strings.ReplaceAll(done.En, "{trade}", does.En)
		does.De = strings.ReplaceAll(done.De, "{trade}", does.De)
	}
	habit := p.Habits[rarest(r, len(p.Habits), func(i int) int { return so[p.Habits[i].En] })]
	symptoms := complaint(c)
	title := func(does string) string { return who.Name + ", " + does + ", " + strconv.Itoa(int(c.Age)) }
	c.Name, c.Title, c.Story, c.Symptoms = who.Name, title(does.En), habit.En, symptoms.En
	c.Translations = map[string]Texts{"de": {title(does.De), habit.De, symptoms.De}}
}

// rarest is one of n at random, of those that were used the least.
func rarest(r *rand.Rand, n int, used func(i int) int) int {
	var least []int
	for i := range n {
		switch {
		case len(least) == 0 || used(i) < used(least[0]):
			least = []int{i}
		case used(i) == used(least[0]):
			least = append(least, i)
		}
	}
	return least[r.IntN(len(least))]
}

func complaint(c *Case) inTwo {
	m, of := c.Of(c.Tested).Error.SE(), people().Complaints
	switch {
	case m <= -0.75:
		return of.Myope
	case m >= 1 && c.Age >= 40:
		return of.Presbyope
	case m >= 1:
		return of.Hyperope
	}
	return of.None
}
