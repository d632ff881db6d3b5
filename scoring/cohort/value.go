package cohort

import (
	"encoding/json"
	"fmt"
	"math"

	"conoid/sim/fact"
)

// Value is a number, or the reason why there is none. As JSON it is
// {"value": 0.95} or {"value": null, "why": {"id": "..."}}: never NaN, and never a 0
// that stands for nothing.
type Value struct {
	V   float64   // in the unit of the field that it stands in; 0 unless OK
	OK  bool      // there is a number
	Why fact.Fact // why there is none; empty if OK
}

// Number is a Value that has a number. It panics unless v is finite: what
// cannot be worked out has to give its reason.
func Number(v float64) Value {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		panic(fmt.Sprintf("cohort: Number: %v is not a finite number", v))
	}
	return Value{V: v, OK: true}
}

// None is a Value without a number, and why.
func None(why fact.Fact) Value { return Value{Why: why} }

// String is for programmers: the number, or the reason.
func (v Value) String() string {
	if !v.OK {
		return v.Why.String()
	}
	return fmt.Sprint(v.V)
}

type valueJSON struct {
	Value *float64  `json:"value"`
	Why   fact.Fact `json:"why,omitzero"`
}

// MarshalJSON writes the number, or null and the reason.
func (v Value) MarshalJSON() ([]byte, error) {
	if !v.OK {
		return json.Marshal(valueJSON{Why: v.Why})
	}
	return json.Marshal(valueJSON{Value: &v.V})
}

// UnmarshalJSON reads what MarshalJSON writes.
func (v *Value) UnmarshalJSON(data []byte) error {
	var j valueJSON
	if err := json.Unmarshal(data, &j); err != nil {
		return fact.Because(err, "cohort.value")
	}
	if j.Value == nil {
		*v = Value{Why: j.Why}
		return nil
	}
	*v = Value{V: *j.Value, OK: true}
	return nil
}
