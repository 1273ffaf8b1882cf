package history

import (
	"cmp"
	"database/sql"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// commonFrom is the number of sellers from which a picture or description is so
// common that it leads to nobody.
const commonFrom = 13

// eachOf is the number of a seller's listings that are told for one picture or
// description.
const eachOf = 4

// hubFrom is the number of sellers from which a contact joins none of them.
const hubFrom = 9

// Recall implements rules.History.
func (b *Book) Recall(q *rules.Question) (*rules.Memory, error) {
	r := &reader{Book: b, q: q, at: map[int64]int{}, contacts: map[string]string{}}
	m := &rules.Memory{IDs: map[string]int64{}}
	for _, step := range []func(*rules.Memory) error{r.ask, r.runs, r.known, r.ids, r.cases, r.wanted, r.states, r.contents} {
		if err := step(m); err != nil {
			return nil, b.wrap(err)
		}
	}
	slices.SortStableFunc(m.Earlier, func(x, y rules.Earlier) int {
		return cmp.Or(cmp.Compare(x.Key, y.Key), x.First.Compare(y.First), x.Last.Compare(y.Last), cmp.Compare(x.Capture.SHA256, y.Capture.SHA256))
	})
	return m, nil
}

// The question's tables live in memory only.
var askTables = []string{
	"own (capture INTEGER PRIMARY KEY)",
	"stirred (capture INTEGER PRIMARY KEY)", // that do not count: the batch's own, and those of later runs
	"touched (state INTEGER PRIMARY KEY)",   // with a sighting in one of these
	"asked_key (key TEXT PRIMARY KEY) WITHOUT ROWID",
	"asked_serial (text TEXT PRIMARY KEY) WITHOUT ROWID",
	"asked_text (hash BLOB PRIMARY KEY) WITHOUT ROWID",
	"asked_photo (sha256 BLOB PRIMARY KEY) WITHOUT ROWID",
	"asked_mark (mark TEXT PRIMARY KEY) WITHOUT ROWID",
	"like_photo (photo INTEGER PRIMARY KEY)",
	"wanted (listing INTEGER PRIMARY KEY)",
	"partly (run INTEGER PRIMARY KEY)", // runs of which some captures do not count
	"seen " + spanColumns,
	"looked " + lookColumns,
}

type reader struct {
	*Book
	q        *rules.Question
	at       map[int64]int     // by state: number in Memory.Earlier
	contacts map[string]string // of the batch: mark as the casebook keeps it, to mark
	fresh    []bool            // by trace: no earlier run saw the listing, or none its seller
	span     string            // table of the spans that count
}

func (r *reader) ask(*rules.Memory) error {
	if err := r.makeTables(askTables); err != nil {
		return err
	}
	w := newWriter(r.Book)
	defer w.close()
	for _, s := range r.q.Captures {
		if sum, err := hex.DecodeString(s); err == nil {
			if err := w.do("INSERT OR IGNORE INTO temp.own SELECT id FROM capture WHERE sha256 = ?", sum); err != nil {
				return err
			}
		}
	}
	for i := range r.q.Traces {
		t := &r.q.Traces[i]
		if err := w.do("INSERT OR IGNORE INTO temp.asked_key VALUES (?)", t.Key); err != nil {
			return err
		}
		for _, s := range t.Serials {
			if err := w.do("INSERT OR IGNORE INTO temp.asked_serial VALUES (?)", s.Serial); err != nil {
				return err
			}
		}
		for _, m := range t.Marks {
			kept, err := r.keyed(m)
			if err != nil {
				return err
			}
			r.contacts[kept] = m
			if err := w.do("INSERT OR IGNORE INTO temp.asked_mark VALUES (?)", kept); err != nil {
				return err
			}
		}
	}
	return r.count()
}

// count settles which sightings count. Most often all do, and what was made of
// them holds. Else it is made anew where others have a part in it.
func (r *reader) count() error {
	if err := r.exec("INSERT INTO temp.partly SELECT DISTINCT run FROM capture WHERE id IN (SELECT capture FROM temp.own)"); err != nil {
		return err
	}
	if err := r.exec("INSERT INTO temp.stirred SELECT capture FROM temp.own UNION SELECT c.id FROM run r CROSS JOIN capture c ON c.run = r.id WHERE r.at > ?", r.until()); err != nil {
		return err
	}
	var not bool
	if err := r.conn.QueryRowContext(r.ctx, "SELECT EXISTS (SELECT 1 FROM temp.stirred)").Scan(&not); err != nil {
		return err
	}
	if r.span = "main.span"; !not {
		return nil
	}
	r.span = "temp.seen"
	for _, q := range []string{
		"INSERT INTO temp.touched SELECT DISTINCT s.state FROM temp.stirred x CROSS JOIN sighting s ON s.capture = x.capture",
		"INSERT INTO temp.seen SELECT * FROM main.span WHERE state NOT IN (SELECT state FROM temp.touched)",
		"INSERT INTO temp.seen " + fmt.Sprintf(spanAgain, "c.id NOT IN (SELECT capture FROM temp.stirred)"),
	} {
		if err := r.exec(q); err != nil {
			return err
		}
	}
	var runs []int64
	err := r.numbers("SELECT id FROM run WHERE at <= ? AND id IN (SELECT run FROM temp.partly) ORDER BY id", []any{r.until()}, func(id int64) error { runs = append(runs, id); return nil })
	for i := 0; err == nil && i < len(runs); i++ {
		err = r.lookOf("temp.looked", runs[i], "c.id NOT IN (SELECT capture FROM temp.own)")
	}
	return err
}

func (r *reader) until() int64 { return r.q.Until.Unix() }

// runs lists the runs of which a capture counts that no earlier run had read.
func (r *reader) runs(m *rules.Memory) error {
	var ids []int64
	err := r.each(`SELECT r.id, r.at FROM run r WHERE r.at <= ? AND EXISTS (SELECT 1 FROM capture c
		WHERE c.run = r.id AND c.id NOT IN (SELECT capture FROM temp.own)) ORDER BY r.at, r.mark`, []any{r.until()}, func(rows *sql.Rows) error {
		var id, at int64
		err := rows.Scan(&id, &at)
		ids = append(ids, id)
		m.Runs = append(m.Runs, rules.EarlierRun{At: moment(at)})
		return err
	})
	for i := 0; err == nil && i < len(ids); i++ {
		err = r.each("SELECT name FROM market WHERE run = ? ORDER BY name", []any{ids[i]}, func(rows *sql.Rows) error {
			var name string
			err := rows.Scan(&name)
			m.Runs[i].Markets = append(m.Runs[i].Markets, name)
			return err
		})
	}
	return err
}

// known finds which traders of the batch an earlier run saw.
func (r *reader) known(m *rules.Memory) error {
	err := r.each(`SELECT a.mark FROM temp.asked_mark a WHERE EXISTS (SELECT 1 FROM seller_mark sm JOIN state st ON st.seller = sm.seller
		JOIN `+r.span+` sp ON sp.state = st.id WHERE sm.mark = a.mark)`, nil, func(rows *sql.Rows) error {
		var mark string
		err := rows.Scan(&mark)
		m.Known = append(m.Known, r.contacts[mark])
		return err
	})
	slices.Sort(m.Known)
	return err
}

// ids numbers the listings of the batch that an earlier run saw, and asks for
// the descriptions of those that are new or have a new seller. What is alike is
// looked for to these only: what a known listing shares with old ones tells
// nothing new, unless those have a case.
func (r *reader) ids(m *rules.Memory) error {
	err := r.each(`SELECT a.key, l.id FROM temp.asked_key a CROSS JOIN listing l ON l.key = a.key
		WHERE EXISTS (SELECT 1 FROM state st JOIN `+r.span+` sp ON sp.state = st.id WHERE st.listing = l.id)`, nil, func(rows *sql.Rows) error {
		var key string
		var id int64
		err := rows.Scan(&key, &id)
		m.IDs[key] = id
		return err
	})
	if err != nil {
		return err
	}
	w := newWriter(r.Book)
	defer w.close()
	r.fresh = make([]bool, len(r.q.Traces))
	for i := range r.q.Traces {
		t := &r.q.Traces[i]
		_, seen := m.IDs[t.Key]
		seller := slices.ContainsFunc(t.Marks, func(mark string) bool { _, ok := slices.BinarySearch(m.Known, mark); return ok })
		if r.fresh[i] = !seen || !seller; r.fresh[i] && !t.Text.IsZero() {
			if err := w.do("INSERT OR IGNORE INTO temp.asked_text VALUES (?)", t.Text.Hash[:]); err != nil {
				return err
			}
		}
	}
	return nil
}

// wanted gathers the listings that the answer is about. What was asked leads each
// join, lest the database goes through all that is kept.
func (r *reader) wanted(*rules.Memory) error {
	if err := r.findLikePhotos(); err != nil {
		return err
	}
	for _, common := range []string{
		"DELETE FROM temp.asked_text WHERE NOT " + fewSellers("state", "text_hash", "asked_text.hash"),
		"DELETE FROM temp.like_photo WHERE NOT " + fewSellers("state_photo", "photo", "like_photo.photo"),
	} {
		if err := r.exec(common, commonFrom); err != nil {
			return err
		}
	}
	for _, q := range []struct {
		listings string
		args     []any
	}{
		{"SELECT l.id FROM temp.asked_key a CROSS JOIN listing l ON l.key = a.key", nil},
		{"SELECT st.listing FROM temp.asked_serial a CROSS JOIN serial s ON s.text = a.text CROSS JOIN state_serial ss ON ss.serial = s.id CROSS JOIN state st ON st.id = ss.state", nil},
		{r.lastSeen("SELECT a.hash AS what, st.seller, st.listing, st.id FROM temp.asked_text a CROSS JOIN state st ON st.text_hash = a.hash"), []any{eachOf}},
		{r.lastSeen("SELECT a.photo AS what, x.seller, st.listing, st.id FROM temp.like_photo a CROSS JOIN state_photo x ON x.photo = a.photo CROSS JOIN state st ON st.id = x.state"), []any{eachOf}},
		{"SELECT l.id FROM outcome o JOIN listing l ON l.key = o.name WHERE o.of = 'listing'", nil},
	} {
		if err := r.exec("INSERT OR IGNORE INTO temp.wanted "+q.listings, q.args...); err != nil {
			return err
		}
	}
	return nil
}

// fewSellers is true where a text or a photo has been at fewer than ?1 sellers.
// Each step finds the next seller in an index, however many states he has.
func fewSellers(table, column, is string) string {
	return fmt.Sprintf(`(WITH RECURSIVE d(n, seller) AS (SELECT 0, 0 UNION ALL
		SELECT n + 1, (SELECT min(x.seller) FROM main.%s x WHERE x.%s = %s AND x.seller > d.seller) FROM d WHERE d.seller IS NOT NULL AND n < ?1)
		SELECT count(*) - 1 FROM d WHERE seller IS NOT NULL) < ?1`, table, column, is)
}

// lastSeen gives, of the listings of each seller that show the same, those ?1
// that were seen last and are not in the batch.
func (r *reader) lastSeen(states string) string {
	return `SELECT listing FROM (SELECT x.listing, row_number() OVER (PARTITION BY x.what, x.seller ORDER BY max(sp.last) DESC, l.key) AS n
		FROM (` + states + `) x CROSS JOIN ` + r.span + ` sp ON sp.state = x.id JOIN listing l ON l.id = x.listing
		WHERE l.key NOT IN (SELECT key FROM temp.asked_key) GROUP BY x.what, x.seller, x.listing) WHERE n <= ?1`
}

// states reads the wanted listings' states. The capture is that of the last
// sighting, of several at one time the one with the greatest hash.
func (r *reader) states(m *rules.Memory) error {
	return r.read(m, r.span, "true ORDER BY l.key, st.mark", nil)
}

// read reads states of the wanted listings: those under a condition that have a
// row in a table, or query, of spans.
func (r *reader) read(m *rules.Memory, spans, where string, args []any) error {
	return r.each(`SELECT st.id, l.id, l.key, p.market, p.part, st.unit, coalesce(se.key, ''), coalesce(se.shown, ''),
		st.title, st.claim, st.claim_quote, st.condition, st.availability, st.price, st.currency, st.shipping, st.lot, st.quantity,
		st.last_one, st.text_hash, st.text_signature, sp.first, sp.last, sp.run_at, sp.runs, sp.sold, sp.ratings, c.sha256, c.file, c.entry, sp.row
		FROM temp.wanted w CROSS JOIN listing l ON l.id = w.listing CROSS JOIN state st ON st.listing = l.id JOIN `+spans+` sp ON sp.state = st.id
		JOIN place p ON p.id = st.place LEFT JOIN seller se ON se.id = st.seller JOIN capture c ON c.id = sp.capture WHERE `+where, args, func(rows *sql.Rows) error {
		var id int64
		e, err := scanState(rows, &id)
		if err == nil {
			r.at[id] = len(m.Earlier)
			m.Earlier = append(m.Earlier, e)
		}
		return err
	})
}

func scanState(rows *sql.Rows, id *int64) (e rules.Earlier, err error) {
	var first, last, run int64
	var price, shipping, quantity, sold, ratings sql.NullInt64
	var currency sql.NullString
	var hash, signature, sum []byte
	err = rows.Scan(id, &e.ID, &e.Key, &e.Market, &e.Part, &e.Unit, &e.Seller, &e.Shown,
		&e.Title, &e.Claim, &e.ClaimQuote, &e.Condition, &e.State, &price, &currency, &shipping, &e.Lot, &quantity,
		&e.LastOne, &hash, &signature, &first, &last, &run, &e.Runs, &sold, &ratings, &sum, &e.Capture.File, &e.Capture.Entry, &e.Capture.Row)
	e.First, e.Last, e.LastRun = moment(first), moment(last), moment(run)
	e.Price = listing.Amount{Minor: price.Int64, Currency: currency.String}
	e.Shipping, e.Quantity = int64(orNot(shipping)), orNot(quantity)
	e.Sold, e.Ratings = orNot(sold), orNot(ratings)
	copy(e.Text.Hash[:], hash)
	copy(e.Text.Signature[:], signature)
	e.Lot, e.Capture.SHA256 = max(e.Lot, 1), hex.EncodeToString(sum)
	return e, err
}

// contents adds what the states hold lists of: captures, serials, photos, the
// marks of their sellers.
func (r *reader) contents(m *rules.Memory) error {
	if len(m.Earlier) == 0 {
		return nil
	}
	err := r.each(`SELECT ss.state, s.text, ss.field FROM temp.wanted w CROSS JOIN state st ON st.listing = w.listing
		CROSS JOIN state_serial ss ON ss.state = st.id CROSS JOIN serial s ON s.id = ss.serial ORDER BY ss.state, s.text, ss.field`, nil,
		func(rows *sql.Rows) error {
			var id int64
			var text, field string
			if err := rows.Scan(&id, &text, &field); err != nil {
				return err
			}
			if n, ok := r.at[id]; ok {
				m.Earlier[n].Serials = append(m.Earlier[n].Serials, rules.SerialSeen{Serial: text, Field: listing.NameOf(field)})
			}
			return nil
		})
	if err != nil {
		return err
	}
	err = r.each(`SELECT sp.state, p.sha256, p.fingerprint, p.mirror, p.algorithm, p.one_unit, p.labels FROM temp.wanted w CROSS JOIN state st ON st.listing = w.listing
		CROSS JOIN state_photo sp ON sp.state = st.id CROSS JOIN photo p ON p.id = sp.photo ORDER BY sp.state, p.sha256`, nil,
		func(rows *sql.Rows) error {
			id, p, algorithm, err := scanPhoto(rows)
			if n, ok := r.at[id]; ok && err == nil {
				p.Printed = p.Printed && algorithm == r.opt.PhotoVersion
				m.Earlier[n].Photos = append(m.Earlier[n].Photos, p)
			}
			return err
		})
	if err != nil {
		return err
	}
	return r.marks(m)
}

func scanPhoto(rows *sql.Rows) (id int64, p rules.Print, algorithm string, err error) {
	var sum []byte
	var fingerprint, mirror sql.NullInt64
	var labels string
	err = rows.Scan(&id, &sum, &fingerprint, &mirror, &algorithm, &p.OneUnit, &labels)
	p.SHA256, p.Printed = hex.EncodeToString(sum), fingerprint.Valid
	p.Fingerprint, p.Mirror = uint64(fingerprint.Int64), uint64(mirror.Int64)
	if labels != "" {
		p.Labels = strings.Split(labels, "\n")
	}
	return id, p, algorithm, err
}

// marks gives each state the marks of its seller, without contacts that many
// sellers show.
func (r *reader) marks(m *rules.Memory) error {
	marks := map[string][]string{} // by key of the seller
	err := r.each(`SELECT se.key, sm.mark FROM (SELECT DISTINCT st.seller AS id FROM temp.wanted w CROSS JOIN state st ON st.listing = w.listing WHERE st.seller IS NOT NULL) x
		CROSS JOIN seller se ON se.id = x.id CROSS JOIN seller_mark sm ON sm.seller = se.id
		WHERE sm.mark < 'contact ' OR sm.mark >= 'contact!' OR (SELECT count(*) FROM (SELECT 1 FROM seller_mark h WHERE h.mark = sm.mark LIMIT ?1)) < ?1 ORDER BY se.key, sm.mark`, []any{hubFrom}, func(rows *sql.Rows) error {
		var key, mark string
		err := rows.Scan(&key, &mark)
		marks[key] = append(marks[key], cmp.Or(r.contacts[mark], mark))
		return err
	})
	for i := range m.Earlier {
		m.Earlier[i].Marks = marks[m.Earlier[i].Seller]
	}
	return err
}

func (r *reader) cases(m *rules.Memory) error {
	return r.each(`SELECT o.of, o.name, o.word, o.at, o.basis FROM outcome o
		WHERE o.at <= ? AND (o.of = 'listing' OR o.name IN (SELECT text FROM temp.asked_serial)) ORDER BY o.of, o.name`, []any{r.until()}, func(rows *sql.Rows) error {
		c, err := scanCase(rows)
		m.Cases = append(m.Cases, c)
		return err
	})
}

// Looks implements rules.History. It follows a Recall of the same question.
func (b *Book) Looks(q *rules.Question, market, part string) ([]rules.Look, error) {
	var looks []rules.Look
	const place = "place = (SELECT id FROM place WHERE market = ?1 AND part = ?2)"
	err := b.each(`SELECT r.at, k.listings FROM (SELECT run, listings FROM main.look WHERE `+place+` AND run NOT IN (SELECT run FROM temp.partly)
			UNION ALL SELECT run, listings FROM temp.looked WHERE `+place+`) k
		JOIN run r ON r.id = k.run WHERE r.at <= ?3 ORDER BY r.at, r.mark`, []any{market, part, q.Until.Unix()}, func(rows *sql.Rows) error {
		var at int64
		var data []byte
		if err := rows.Scan(&at, &data); err != nil {
			return err
		}
		ids, err := unpackIDs(data)
		looks = append(looks, rules.Look{Run: moment(at), Listings: ids})
		return err
	})
	return looks, err
}

func moment(seconds int64) time.Time { return time.Unix(seconds, 0).UTC() }

func orNot(n sql.NullInt64) int {
	if !n.Valid {
		return rules.NotStated
	}
	return int(n.Int64)
}
