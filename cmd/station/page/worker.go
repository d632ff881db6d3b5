package page

import _ "embed"

//go:embed worker.js
var worker []byte

// Kept is what a service worker keeps of a site.
type Kept struct {
	ID      string            `json:"id"`
	Bench   Program           `json:"bench"`
	Files   map[string]string `json:"files"`   // SHA-256 of each file by its name, but for the bench
	Benches map[string]string `json:"benches"` // the same of the bench: one of them is kept
}

// Worker is the script of the service worker that keeps a site.
func (k Kept) Worker() []byte {
	pick, err := files.ReadFile("pick.js")
	if err != nil {
		panic("page: " + err.Error()) // it is in the program
	}
	return append(append(script("site", k), pick...), worker...)
}
