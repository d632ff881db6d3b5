// Package staff has the people who hold practicals: each under a short name of their
// own choosing, what their role lets them do, and how they come in. It knows no
// network; times are given.
package staff

import "slices"

// Role is what somebody is there for.
type Role string

// The roles.
const (
	Assessor    Role = "assessor"    // prepares, opens, marks, and asks others in
	Invigilator Role = "invigilator" // is in the room: sees no truth and no marks
	Auditor     Role = "auditor"     // reads all and changes nothing
	Examiner    Role = "examiner"    // rates works, and sees nothing that tells whose they are
)

// Roles are all roles.
var Roles = []Role{Assessor, Invigilator, Auditor, Examiner}

// Task is a kind of thing to do.
type Task string

// The tasks.
const (
	Watch  Task = "watch"  // see who is where, and what was done
	Read   Task = "read"   // see results and marks
	Hold   Task = "hold"   // give out tickets, let in, stop the time and go on
	Lead   Task = "lead"   // make, open and close a practical
	Mark   Task = "mark"   // work out marks, and ask for and confirm what takes two
	Invite Task = "invite" // let others in
	Rate   Task = "rate"   // rate works without knowing whose they are; for nobody who has another task
)

// tasks are those of each role.
var tasks = map[Role][]Task{
	Assessor:    {Watch, Read, Hold, Lead, Mark, Invite},
	Invigilator: {Watch, Hold},
	Auditor:     {Watch, Read},
	Examiner:    {Rate},
}

// May reports whether a role has a task.
func (r Role) May(t Task) bool { return slices.Contains(tasks[r], t) }
