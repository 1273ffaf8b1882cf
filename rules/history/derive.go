package history

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// What is made from the sightings: spans and looks. A run that only adds to them
// brings them up to date; after all else they are made anew.

// toThird fills what the third form of the schema added.
func (b *Book) toThird() error {
	key := make([]byte, 32)
	rand.Read(key)
	if err := b.exec("INSERT INTO secret VALUES (1, ?)", key); err != nil {
		return err
	}
	if err := b.keyContacts(); err != nil {
		return err
	}
	return b.derive()
}

// addRun counts the sightings of a run into a table of spans. ?1 is the run.
// The table, a condition on captures and the table's bare name are put in.
const addRun = `INSERT INTO %[1]s
	SELECT state, min(t), max(t), run_at, 1, count(*), min(sold), min(ratings), max(iif(n = 1, capture, 0)), max(iif(n = 1, row, 0)) FROM (
		SELECT s.*, coalesce(s.at, r.at) AS t, r.at AS run_at, row_number() OVER (PARTITION BY s.state ORDER BY coalesce(s.at, r.at) DESC, c.sha256 DESC, s.row DESC) AS n
		FROM run r JOIN capture c ON c.run = r.id JOIN sighting s ON s.capture = c.id WHERE r.id = ?1 AND %[2]s)
	GROUP BY state
	ON CONFLICT (state) DO UPDATE SET first = min(first, excluded.first), last = max(last, excluded.last),
		run_at = max(run_at, excluded.run_at), runs = runs + 1, sightings = sightings + excluded.sightings,
		sold = coalesce(min(sold, excluded.sold), sold, excluded.sold), ratings = coalesce(min(ratings, excluded.ratings), ratings, excluded.ratings),
		capture = iif(` + later + `, capture, excluded.capture), row = iif(` + later + `, row, excluded.row)`

// later is true where the last sighting so far is later than that of the run.
const later = `last > excluded.last OR last = excluded.last AND (SELECT sha256 FROM capture WHERE id = %[3]s.capture) > (SELECT sha256 FROM capture WHERE id = excluded.capture)`

const spanColumns = `(state INTEGER PRIMARY KEY, first INTEGER, last INTEGER, run_at INTEGER, runs INTEGER, sightings INTEGER, sold INTEGER, ratings INTEGER, capture INTEGER, row INTEGER)`

const lookColumns = `(place INTEGER, run INTEGER, listings BLOB, PRIMARY KEY (place, run)) WITHOUT ROWID`

// derive makes spans and looks from all sightings.
func (b *Book) derive() error {
	for _, q := range []string{"DELETE FROM main.span", "DELETE FROM main.look"} {
		if err := b.exec(q); err != nil {
			return err
		}
	}
	runs, err := b.runIDs("true")
	for i := 0; err == nil && i < len(runs); i++ {
		err = b.deriveRun(runs[i])
	}
	return err
}

// deriveRun adds the sightings of a run.
func (b *Book) deriveRun(run int64) error {
	if err := b.exec(fmt.Sprintf(addRun, "main.span", "true", "span"), run); err != nil {
		return err
	}
	return b.lookOf("main.look", run, "true")
}

// runIDs lists the runs under a condition.
func (b *Book) runIDs(where string, args ...any) (ids []int64, err error) {
	err = b.each("SELECT r.id FROM run r WHERE "+where+" ORDER BY r.id", args, func(rows *sql.Rows) error {
		var id int64
		err := rows.Scan(&id)
		ids = append(ids, id)
		return err
	})
	return ids, err
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

// contactPrefix begins the marks of contacts, which a hash follows.
const contactPrefix = "contact "

// keyed hides the hash of a contact behind the casebook's own key (HMAC, RFC
// 2104, with SHA-256), so that two casebooks cannot be joined by their contacts
// and no list of hashes made elsewhere fits. Whoever has the file has the key,
// and can test whether a contact he knows is in it.
func (b *Book) keyed(mark string) (string, error) {
	hash, ok := strings.CutPrefix(mark, contactPrefix)
	if !ok {
		return mark, nil
	}
	if b.key == nil {
		if err := b.conn.QueryRowContext(b.ctx, "SELECT key FROM secret").Scan(&b.key); err != nil {
			return "", err
		}
	}
	h := hmac.New(sha256.New, b.key)
	h.Write([]byte(hash))
	return contactPrefix + hex.EncodeToString(h.Sum(nil)[:16]), nil
}

// keyContacts replaces the hashes of contacts that earlier forms of the schema
// held.
func (b *Book) keyContacts() error {
	var marks []string
	err := b.each("SELECT DISTINCT mark FROM seller_mark WHERE substr(mark, 1, length(?1)) = ?1", []any{contactPrefix}, func(rows *sql.Rows) error {
		var mark string
		err := rows.Scan(&mark)
		marks = append(marks, mark)
		return err
	})
	for i := 0; err == nil && i < len(marks); i++ {
		var now string
		if now, err = b.keyed(marks[i]); err == nil {
			err = b.exec("UPDATE seller_mark SET mark = ? WHERE mark = ?", now, marks[i])
		}
	}
	return err
}
