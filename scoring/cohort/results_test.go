package cohort

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/fact"
)

func TestCheck(t *testing.T) {
	require.NoError(t, five().Check())
	require.NoError(t, Results{}.Check())
	for _, c := range []struct {
		break_ func(*Results)
		says   string
	}{
		{func(r *Results) { r.Points = r.Points[:4] }, "cohort.rows (candidates 5, rows 4)"},
		{func(r *Results) { r.Points[1] = r.Points[1][:3] }, "cohort.entries (candidate 102, entries 3, items 4)"},
		{func(r *Results) { r.Candidates[1] = "101" }, "cohort.twice (candidate 101)"},
		{func(r *Results) { r.Items[2].Most = 0 }, "cohort.item-most (item cylinder, largest 1e+09, most 0, n 3)"},
		{func(r *Results) { r.Items[2].Most = math.NaN() }, "most NaN"},
		{func(r *Results) { r.Items[2].Most = math.Inf(1) }, "most +Inf"},
		{func(r *Results) { r.Points[4][0] = Number(5.5) }, "cohort.points (candidate 105, item fog, most 5, n 1, points 5.5)"},
		{func(r *Results) { r.Points[4][0] = Number(-1) }, "cohort.points (candidate 105"},
		{func(r *Results) { r.Points[4][0] = Value{V: math.NaN(), OK: true} }, "cohort.points (candidate 105"},
	} {
		r := five()
		c.break_(&r)
		assert.ErrorContains(t, r.Check(), c.says)
		_, err := Describe(r)
		assert.Error(t, err, c.says)
	}
}

func TestValue(t *testing.T) {
	for _, c := range []struct {
		v    Value
		json string
		text string
	}{
		{Number(0.95), `{"value":0.95}`, "0.95"},
		{Number(0), `{"value":0}`, "0"},
		{None(fact.New("cohort.few-rated", "n", "2")), `{"value":null,"why":{"id":"cohort.few-rated","values":{"n":"2"}}}`, "cohort.few-rated (n 2)"},
	} {
		data, err := json.Marshal(c.v)
		require.NoError(t, err)
		assert.JSONEq(t, c.json, string(data))
		var back Value
		require.NoError(t, json.Unmarshal(data, &back))
		assert.Equal(t, c.v, back)
		assert.Equal(t, c.text, c.v.String())
	}
	var v Value
	assert.ErrorContains(t, json.Unmarshal([]byte(`{"value":"much"}`), &v), "cohort.value")
	assert.Panics(t, func() { Number(math.NaN()) })
	assert.Panics(t, func() { Number(math.Inf(-1)) })
}
