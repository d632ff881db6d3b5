package room

// Lend has the patients of one room sit in another of the same practical as well: to
// seat them takes longer than all else that a test does.
func Lend(from, to *Room) { to.patients = from.patients }

// SessionOf is the session that a ticket gives to who uses it with an ID.
func SessionOf(r *Room, ticket, id string) string { return sessionOf(r, ticket, id) }
