package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"conoid/cmd/internal/blind"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// ratePath is where examiners rate. Nothing below it tells a candidate's number, a code, a
// mark or a truth.
const ratePath = "/staff/rate/"

// ratePages are those of examiners who rate works without knowing whose they are.
type ratePages struct{ *Staff }

// ratesPage is where there is something to rate.
type ratesPage struct {
	frame
	Rooms []rateRow
}

type rateRow struct {
	ID, Title string
	Left, All int
	Mine      []practical.Rating // of who looks
}

// rowOf is how far somebody has come with the works of a practical; left are those to go.
func rowOf(x *room.Room, who string) (row rateRow, left []string) {
	left, all := x.Beside().Left(who)
	return rateRow{x.Plan().ID, x.Plan().Title, len(left), all, x.Beside().RatedBy(who)}, left
}

// rated is what who looks gave a work; nil for nothing.
func (row rateRow) rated(work string) *practical.Rating {
	i := slices.IndexFunc(row.Mine, func(r practical.Rating) bool { return r.Work == work })
	if i < 0 {
		return nil
	}
	return &row.Mine[i]
}

func (s ratePages) list(w http.ResponseWriter, r *http.Request) {
	var p ratesPage
	for _, x := range s.service.Rooms() {
		if row, _ := rowOf(x, meOf(r).Name); row.All > 0 {
			p.Rooms = append(p.Rooms, row)
		}
	}
	var status int
	p.frame, status = s.frame(r, nil)
	s.page(w, r, status, "rates", p)
}

// ratePage is the next work to rate.
type ratePage struct {
	frame
	rateRow
	Work   string       // its name; "" when there is nothing left
	Before *float64     // what it was rated, where it is rated again; nil: it was not
	Cases  []blind.Case // that were begun
	Of     int          // cases of the practical
	Rating string       // as it was typed
	Sure   string       // the one that is asked about, and kept if it is sent again
}

func (s ratePages) next(w http.ResponseWriter, r *http.Request, x *room.Room) {
	s.nextSaying(w, r, x, "", nil)
}

func (s ratePages) nextSaying(w http.ResponseWriter, r *http.Request, x *room.Room, sure string, err error) {
	var unread error
	row, left := rowOf(x, meOf(r).Name)
	p := ratePage{rateRow: row, Of: len(x.Plan().Cases)}
	if before := row.rated(r.FormValue("again")); before != nil {
		p.Before, left = &before.Rating, []string{before.Work}
	}
	if len(left) > 0 {
		p.Cases, unread = s.service.Work(x, left[0], s.speaks(r))
	}
	if len(left) > 0 && unread == nil {
		p.Work = left[0]
	}
	if p.Work == r.FormValue("work") { // else it was typed for another one
		p.Rating, p.Sure = r.FormValue("rating"), sure
	}
	var status int
	p.frame, status = s.frame(r, firstOf(err, unread))
	s.page(w, r, status, "rate", p)
}

// rate keeps a rating, and goes on to the next work. Of one that may be a slip it asks first.
func (s ratePages) rate(w http.ResponseWriter, r *http.Request, x *room.Room) {
	work, typed := r.FormValue("work"), strings.TrimSpace(r.FormValue("rating"))
	rating, err := number(typed)
	row, left := rowOf(x, meOf(r).Name)
	again := r.FormValue("again") != ""
	may := slices.Contains(left, work) || again && row.rated(work) != nil
	if err == nil && typed != r.FormValue("sure") && may && x.Beside().Unusual(work, rating, meOf(r).Name) {
		s.nextSaying(w, r, x, typed, fact.Refuse("host.rating-unusual", "text", typed))
		return
	}
	if err == nil {
		err = x.Beside().Rate(work, rating, again, meOf(r).Name, s.service.Now())
	}
	if err != nil {
		s.nextSaying(w, r, x, "", err)
		return
	}
	http.Redirect(w, r, ratePath+x.Plan().ID+"/", http.StatusSeeOther)
}

// Unbegun is how many cases were not begun.
func (p ratePage) Unbegun() int { return p.Of - len(p.Cases) }

// first is where who comes in begins.
func (s *Staff) first(w http.ResponseWriter, r *http.Request) {
	if role := meOf(r).Role; role.May(staff.Rate) && !role.May(staff.Watch) {
		http.Redirect(w, r, ratePath, http.StatusSeeOther)
		return
	}
	s.may(staff.Watch, s.home)(w, r)
}

// number is a number that somebody typed: with a point or a comma, and any minus.
func number(text string) (float64, error) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, fact.Refuse("host.no-number")
	}
	n, err := strconv.ParseFloat(strings.NewReplacer(",", ".", "\u2212", "-").Replace(text), 64)
	if err != nil || !practical.RatingIs(n) {
		return 0, fact.Refuse("host.number", "text", text)
	}
	return n, nil
}
