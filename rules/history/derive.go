package history

import (
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// What is made from the sightings: spans, looks and chunks of fingerprints. A run
// that only adds to them brings them up to date. Where sightings go, come or
// change their run, what they touch is made anew, and nothing else.

// toFourth fills what the fourth form of the schema holds in another way.
func (b *Book) toFourth() error {
	if err := b.derive(); err != nil {
		return err
	}
	return b.packAll()
}

// The columns of spans that sightings make, from the rows of sighted: of each
// state those of the sightings that count, where n is 1 for the last one.
const (
	spanned = `state, min(t), max(t), max(run_at), count(DISTINCT run), count(*), min(sold), min(ratings),
	max(iif(n = 1, capture, 0)), max(iif(n = 1, row, 0)), group_concat(capture)`
	sighted = `s.*, c.run, coalesce(s.at, r.at) AS t, r.at AS run_at,
	row_number() OVER (PARTITION BY s.state ORDER BY coalesce(s.at, r.at) DESC, c.sha256 DESC, s.row DESC) AS n`
)

// addRun counts the sightings of the run ?1.
const addRun = `INSERT INTO main.span SELECT ` + spanned + ` FROM (
		SELECT ` + sighted + ` FROM run r JOIN capture c ON c.run = r.id JOIN sighting s ON s.capture = c.id WHERE r.id = ?1)
	GROUP BY state
	ON CONFLICT (state) DO UPDATE SET first = min(first, excluded.first), last = max(last, excluded.last),
		run_at = max(run_at, excluded.run_at), runs = runs + 1, sightings = sightings + excluded.sightings,
		sold = coalesce(min(sold, excluded.sold), sold, excluded.sold), ratings = coalesce(min(ratings, excluded.ratings), ratings, excluded.ratings),
		capture = iif(` + later + `, capture, excluded.capture), row = iif(` + later + `, row, excluded.row),
		captures = captures || ',' || excluded.captures`

// later is true where the last sighting so far is later than that of the run.
const later = `last > excluded.last OR last = excluded.last AND (SELECT sha256 FROM capture WHERE id = span.capture) > (SELECT sha256 FROM capture WHERE id = excluded.capture)`

// spanAgain reckons the spans of the states in temp.touched from their sightings,
// in captures under a condition: those that their spans name, and those in
// temp.stirred.
const spanAgain = `SELECT ` + spanned + ` FROM (
		SELECT ` + sighted + ` FROM (
			SELECT sp.state, j.value AS capture FROM temp.touched x CROSS JOIN main.span sp ON sp.state = x.state, json_each('[' || sp.captures || ']') j
			UNION SELECT s.state, s.capture FROM temp.stirred x CROSS JOIN sighting s ON s.capture = x.capture) k
		CROSS JOIN sighting s ON s.capture = k.capture AND s.state = k.state JOIN capture c ON c.id = s.capture JOIN run r ON r.id = c.run WHERE %s)
	GROUP BY state`

const spanColumns = `(state INTEGER PRIMARY KEY, first INTEGER, last INTEGER, run_at INTEGER, runs INTEGER, sightings INTEGER, sold INTEGER, ratings INTEGER, capture INTEGER, row INTEGER, captures TEXT)`

const lookColumns = `(place INTEGER, run INTEGER, listings BLOB, PRIMARY KEY (place, run)) WITHOUT ROWID`

// derive makes spans and looks from all sightings.
func (b *Book) derive() error {
	for _, q := range []string{"DELETE FROM main.span", "DELETE FROM main.look"} {
		if err := b.exec(q); err != nil {
			return err
		}
	}
	var runs []int64
	err := b.numbers("SELECT id FROM run ORDER BY id", nil, func(id int64) error { runs = append(runs, id); return nil })
	for i := 0; err == nil && i < len(runs); i++ {
		err = b.deriveRun(runs[i])
	}
	return err
}

// numbers calls do for each number that a query gives.
func (b *Book) numbers(query string, args []any, do func(int64) error) error {
	return b.each(query, args, func(rows *sql.Rows) error {
		var id int64
		if err := rows.Scan(&id); err != nil {
			return err
		}
		return do(id)
	})
}

// deriveRun adds the sightings of a run.
func (b *Book) deriveRun(run int64) error {
	if err := b.exec(addRun, run); err != nil {
		return err
	}
	return b.lookOf("main.look", run, "true")
}

// The tables of a change live in memory only.
var changeTables = []string{
	"stirred (capture INTEGER PRIMARY KEY)", // whose sightings or run change
	"touched (state INTEGER PRIMARY KEY)",   // with a sighting that changes
	"stirred_run (run INTEGER PRIMARY KEY)", // of which a sighting changes
}

// makeTables makes empty tables that live in memory.
func (b *Book) makeTables(tables []string) error {
	for _, t := range tables {
		name, _, _ := strings.Cut(t, " ")
		if err := b.exec("DROP TABLE IF EXISTS temp." + name + "; CREATE TEMP TABLE " + t); err != nil {
			return err
		}
	}
	return nil
}

// stir notes captures, as a query gives them, before or after their sightings or
// runs change.
func (b *Book) stir(captures string, args ...any) error {
	if err := b.exec("INSERT OR IGNORE INTO temp.stirred "+captures, args...); err != nil {
		return err
	}
	return b.touchStirred()
}

// touchStirred notes what the captures touch as they are now.
func (b *Book) touchStirred() error {
	if err := b.exec("INSERT OR IGNORE INTO temp.touched SELECT s.state FROM temp.stirred x CROSS JOIN sighting s ON s.capture = x.capture"); err != nil {
		return err
	}
	return b.exec("INSERT OR IGNORE INTO temp.stirred_run SELECT c.run FROM temp.stirred x CROSS JOIN capture c ON c.id = x.capture")
}

// settle makes anew what is made from the sightings that were touched, and
// deletes what has none any more.
func (b *Book) settle() error {
	if err := b.touchStirred(); err != nil {
		return err
	}
	for _, q := range []string{
		"DROP TABLE IF EXISTS temp.again; CREATE TEMP TABLE again " + spanColumns,
		"INSERT INTO temp.again " + fmt.Sprintf(spanAgain, "true"),
		"DELETE FROM main.span WHERE state IN (SELECT state FROM temp.touched)",
		"INSERT INTO main.span SELECT * FROM temp.again",
		"DROP TABLE temp.again",
		"DELETE FROM main.look WHERE run IN (SELECT run FROM temp.stirred_run)",
	} {
		if err := b.exec(q); err != nil {
			return err
		}
	}
	var runs []int64
	err := b.numbers("SELECT run FROM temp.stirred_run ORDER BY run", nil, func(id int64) error { runs = append(runs, id); return nil })
	for i := 0; err == nil && i < len(runs); i++ {
		err = b.lookOf("main.look", runs[i], "true")
	}
	if err != nil {
		return err
	}
	return b.prune()
}

// lookOf writes which listings a run saw into a table of looks. Captures count
// under a condition.
func (b *Book) lookOf(table string, run int64, where string) error {
	w := newWriter(b)
	defer w.close()
	seen := map[int64][]int64{} // by place
	err := b.each(`SELECT st.place, st.listing FROM capture c JOIN sighting s ON s.capture = c.id JOIN state st ON st.id = s.state WHERE c.run = ? AND `+where, []any{run},
		func(rows *sql.Rows) error {
			var place, listing int64
			err := rows.Scan(&place, &listing)
			seen[place] = append(seen[place], listing)
			return err
		})
	if err != nil {
		return err
	}
	for _, place := range slices.Sorted(maps.Keys(seen)) {
		ids := seen[place]
		slices.Sort(ids)
		if err := w.do("INSERT INTO "+table+" VALUES (?, ?, ?)", place, run, packIDs(slices.Compact(ids))); err != nil {
			return err
		}
	}
	return nil
}

// packIDs encodes ascending numbers.
func packIDs(ids []int64) []byte {
	var data []byte
	last := int64(0)
	for _, id := range ids {
		data = binary.AppendUvarint(data, uint64(id-last))
		last = id
	}
	return data
}

var errLook = errors.New("a look of the casebook cannot be read")

// unpackIDs decodes what packIDs wrote.
func unpackIDs(data []byte) ([]int64, error) {
	ids := make([]int64, 0, len(data))
	last := int64(0)
	for len(data) > 0 {
		step, n := binary.Uvarint(data)
		if n <= 0 || int64(step) <= 0 || last+int64(step) < last {
			return nil, errLook
		}
		last += int64(step)
		ids, data = append(ids, last), data[n:]
	}
	return ids, nil
}
