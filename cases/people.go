package cases

import (
	"math/rand/v2"
	"strconv"
)

// What the people of Thrennow are called and what they do, for cases that are
// drawn. All of it is made up.
var (
	names = []string{
		"Aldra", "Brennock", "Callis", "Dorwen", "Eskil", "Farrow", "Gwint", "Hessa", "Ivar", "Jessamy",
		"Kell", "Lorrin", "Mossa", "Nerrick", "Ottery", "Pasco", "Quill", "Ruan", "Sennet", "Tamsel",
		"Ulla", "Verrin", "Wyllow", "Yarra",
	}
	trades = []string{
		"boat builder", "bell ringer", "chandler", "cooper", "diver", "eel smoker", "ferry hand", "fish curer",
		"harbour cook", "ice carrier", "kelp gatherer", "lock keeper", "mail carrier", "oyster raker", "pilot",
		"rigger", "salt weigher", "shrimper", "tide clerk", "weather observer",
	}
	habits = []string{
		"Knows every boat by its engine and would like to know them by sight as well.",
		"Came in because a neighbour did, and sat down because there was a chair.",
		"Has an opinion on the new sea wall and will share it between two lenses.",
		"Brought a sandwich, in case this takes as long as the last time.",
		"Has not missed a tide since the year of the big storm, nor an appointment.",
		"Walked the whole length of the quay to be here and counted the bollards.",
	}
)

// The years below which a person goes to school, and from which the work is
// done.
const (
	schooling  = 16
	retirement = 66
)

// dress gives a drawn case its words. They say no more than a record card
// would.
func dress(r *rand.Rand, c *Case) {
	c.Name = names[r.IntN(len(names))]
	trade := trades[r.IntN(len(trades))]
	switch {
	case c.Age < schooling:
		trade = "pupil at the harbour school"
	case c.Age >= retirement:
		trade = "retired " + trade
	}
	c.Title = c.Name + ", " + trade + ", " + strconv.Itoa(int(c.Age))
	c.Story = habits[r.IntN(len(habits))]
	c.Symptoms = complaint(c)
}

func complaint(c *Case) string {
	m := c.Of(c.Tested).Error.SE()
	switch {
	case m <= -0.75:
		return "Things across the harbour are blurred."
	case m >= 1 && c.Age >= 40:
		return "Near and far have both become an effort."
	case m >= 1:
		return "My eyes are tired by the evening."
	}
	return "Nothing much. It has been a while since anyone looked."
}
