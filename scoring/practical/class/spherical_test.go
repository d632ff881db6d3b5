package class

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring/practical"
)

// An eye without a cylinder that shows has no axis to find, for who states an end point and
// for whose time is up: the parts of both have the same most, and the class can be described.
func TestNobodyHasAnAxisAtASphericalEye(t *testing.T) {
	long(t)
	library := cases.Library()
	c := library[slices.IndexFunc(library, func(c *cases.Case) bool { return c.ID == "band-drummer" })]
	p := friday(t, func(p *practical.Plan) {
		p.Title = "Spheres"
		p.Cases = []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}}
	})
	s := practical.NewSimulator(p)
	var files []File
	for i, k := range []practical.Skill{skills[slices.IndexFunc(skills, func(k practical.Skill) bool { return k.Name == "gives up" })], skills[0]} {
		r, err := s.Sit([]string{"K1", "K2"}[i], k, morning, false)
		require.NoError(t, err)
		data, err := p.Result(r)
		require.NoError(t, err)
		files = append(files, File{Name: k.Name, Data: data})
	}
	done := collect(t, p, files, nil)
	require.Len(t, done.Sheets, 2)
	gaveUp, stated := done.Sheets[0].Cases[0], done.Sheets[1].Cases[0]
	require.Equal(t, practical.TimedUp, gaveUp.Ended)
	require.Equal(t, practical.Stated, stated.Ended)
	for j := range stated.Parts {
		assert.Equal(t, stated.Parts[j].Most, gaveUp.Parts[j].Most, stated.Parts[j].Name)
	}
	assert.Zero(t, stated.Parts[0].Most, "the axis")
}
