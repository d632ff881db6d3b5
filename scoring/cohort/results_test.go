package cohort

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCheck(t *testing.T) {
	require.NoError(t, five().Check())
	require.NoError(t, Results{}.Check())
	for _, c := range []struct {
		break_ func(*Results)
		says   string
	}{
		{func(r *Results) { r.Points = r.Points[:4] }, "4 rows of points for 5 candidates"},
		{func(r *Results) { r.Points[1] = r.Points[1][:3] }, `candidate "102" has 3 entries; there are 4 items`},
		{func(r *Results) { r.Candidates[1] = "101" }, `"101" stands in the list twice`},
		{func(r *Results) { r.Items[2].Most = 0 }, `item 3 ("cylinder"): its most is 0 points`},
		{func(r *Results) { r.Items[2].Most = math.NaN() }, "its most is NaN points"},
		{func(r *Results) { r.Items[2].Most = math.Inf(1) }, "its most is +Inf points"},
		{func(r *Results) { r.Points[4][0] = Number(5.5) }, `"105" has 5.5 points for item 1 ("fog"); allowed are 0 to 5`},
		{func(r *Results) { r.Points[4][0] = Number(-1) }, "allowed are 0 to 5"},
		{func(r *Results) { r.Points[4][0] = Value{V: math.NaN(), OK: true} }, "allowed are 0 to 5"},
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
		{None("%d candidates", 2), `{"value":null,"why":"2 candidates"}`, "not defined: 2 candidates"},
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
	assert.ErrorContains(t, json.Unmarshal([]byte(`{"value":"much"}`), &v), "allowed is")
	assert.Panics(t, func() { Number(math.NaN()) })
	assert.Panics(t, func() { Number(math.Inf(-1)) })
}
