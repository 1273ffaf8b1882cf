package history

import (
	"database/sql"
	"encoding/hex"
	"strings"
	"time"

	"counterfoil/rules"
)

// RunSummary is a run as a list of runs shows it.
type RunSummary struct {
	Mark     string // hex; its beginning names the run
	At       time.Time
	Tool     string
	Captures int
	New      int // captures that no earlier run had read
	Listings int // sightings in the captures that are its own
}

// Runs lists the runs, oldest first.
func (b *Book) Runs() (list []RunSummary, err error) {
	err = b.each(`SELECT r.mark, r.at, r.tool, (SELECT count(*) FROM run_capture rc WHERE rc.run = r.id),
		(SELECT count(*) FROM run_capture rc JOIN capture c ON c.id = rc.capture WHERE rc.run = r.id AND c.run = r.id),
		(SELECT count(*) FROM run_capture rc JOIN capture c ON c.id = rc.capture JOIN sighting s ON s.capture = c.id WHERE rc.run = r.id AND c.run = r.id)
		FROM run r ORDER BY r.at, r.mark`, nil, func(rows *sql.Rows) error {
		var s RunSummary
		var mark []byte
		var at int64
		err := rows.Scan(&mark, &at, &s.Tool, &s.Captures, &s.New, &s.Listings)
		s.Mark, s.At = hex.EncodeToString(mark), moment(at)
		list = append(list, s)
		return err
	})
	return list, err
}

// RunsNamed gives the runs that a text means: those whose name begins with it, or,
// for a day such as 2026-09-30, the last one up to its end.
func (b *Book) RunsNamed(text string) (list []RunSummary, err error) {
	runs, err := b.Runs()
	if day, fails := time.Parse(time.DateOnly, strings.TrimSpace(text)); fails == nil {
		for _, r := range runs {
			if r.At.Before(day.AddDate(0, 0, 1)) {
				list = []RunSummary{r}
			}
		}
		return list, err
	}
	for _, r := range runs {
		if strings.HasPrefix(r.Mark, onlyHex(text)) {
			list = append(list, r)
		}
	}
	return list, err
}

// Seen gives what the captures of a run showed, read by this run or an earlier
// one: for each listing its last state in them, with First its first sighting in
// any run and Last that in these captures. The states are in the order of their
// keys.
func (b *Book) Seen(run RunSummary) ([]rules.Earlier, error) {
	mark, err := hex.DecodeString(run.Mark)
	if err != nil {
		return nil, b.wrap(err)
	}
	const captures = "SELECT rc.capture FROM run r JOIN run_capture rc ON rc.run = r.id WHERE r.mark = ?1"
	return b.told("SELECT DISTINCT st.listing FROM sighting s JOIN state st ON st.id = s.state WHERE s.capture IN ("+captures+")", `(
		SELECT state, (SELECT min(a.first) FROM state o JOIN main.span a ON a.state = o.id WHERE o.listing = x.listing) AS first, t AS last, t AS run_at, 1 AS runs, sold, ratings, capture, row FROM (
			SELECT s.*, st.listing, coalesce(s.at, r.at) AS t, row_number() OVER (PARTITION BY st.listing ORDER BY coalesce(s.at, r.at) DESC, c.sha256 DESC, s.row DESC) AS n
			FROM sighting s JOIN state st ON st.id = s.state JOIN capture c ON c.id = s.capture JOIN run r ON r.id = c.run WHERE s.capture IN (`+captures+`)) x WHERE n = 1)`,
		"true ORDER BY l.key", []any{mark})
}
