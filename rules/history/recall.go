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

// hubFrom is the number of sellers from which a contact joins none of them.
const hubFrom = 9

// Recall implements rules.History.
func (b *Book) Recall(q *rules.Question) (*rules.Memory, error) {
	if err := b.ask(q); err != nil {
		return nil, b.wrap(err)
	}
	m := &rules.Memory{}
	r := &reader{Book: b, q: q, at: map[int64]int{}}
	for _, step := range []func(*rules.Memory) error{r.runs, r.wanted, r.states, r.contents, r.known, r.cases} {
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
const askTables = `
CREATE TEMP TABLE own (capture INTEGER PRIMARY KEY);
CREATE TEMP TABLE asked_key (key TEXT PRIMARY KEY) WITHOUT ROWID;
CREATE TEMP TABLE asked_serial (text TEXT PRIMARY KEY) WITHOUT ROWID;
CREATE TEMP TABLE asked_text (hash BLOB PRIMARY KEY) WITHOUT ROWID;
CREATE TEMP TABLE asked_photo (sha256 BLOB PRIMARY KEY) WITHOUT ROWID;
CREATE TEMP TABLE asked_mark (mark TEXT PRIMARY KEY) WITHOUT ROWID;
CREATE TEMP TABLE like_photo (photo INTEGER PRIMARY KEY);
CREATE TEMP TABLE wanted (listing INTEGER PRIMARY KEY);
`

func (b *Book) ask(q *rules.Question) error {
	if !b.asked {
		if err := b.exec(askTables); err != nil {
			return err
		}
		b.asked = true
	}
	w := &writer{Book: b, stmts: map[string]*sql.Stmt{}}
	defer w.close()
	for _, table := range []string{"own", "asked_key", "asked_serial", "asked_text", "asked_photo", "asked_mark", "like_photo", "wanted"} {
		if err := b.exec("DELETE FROM temp." + table); err != nil {
			return err
		}
	}
	for _, s := range q.Captures {
		if sum, err := hex.DecodeString(s); err == nil {
			if err := w.do("INSERT OR IGNORE INTO temp.own SELECT id FROM capture WHERE sha256 = ?", sum); err != nil {
				return err
			}
		}
	}
	for i := range q.Traces {
		if err := w.ask(&q.Traces[i]); err != nil {
			return err
		}
	}
	return nil
}

func (w *writer) ask(t *rules.Trace) error {
	if err := w.do("INSERT OR IGNORE INTO temp.asked_key VALUES (?)", t.Key); err != nil {
		return err
	}
	for _, s := range t.Serials {
		if err := w.do("INSERT OR IGNORE INTO temp.asked_serial VALUES (?)", s.Serial); err != nil {
			return err
		}
	}
	for _, m := range t.Marks {
		if err := w.do("INSERT OR IGNORE INTO temp.asked_mark VALUES (?)", m); err != nil {
			return err
		}
	}
	if !t.Text.IsZero() {
		if err := w.do("INSERT OR IGNORE INTO temp.asked_text VALUES (?)", t.Text.Hash[:]); err != nil {
			return err
		}
	}
	for i := range t.Photos {
		if sum, err := hex.DecodeString(t.Photos[i].SHA256); err == nil && len(sum) > 0 {
			if err := w.do("INSERT OR IGNORE INTO temp.asked_photo VALUES (?)", sum); err != nil {
				return err
			}
		}
	}
	return nil
}

type reader struct {
	*Book
	q  *rules.Question
	at map[int64]int // by state: number in Memory.Earlier
}

// counts is the condition under which a sighting counts for the question.
const counts = "r.at <= ? AND c.id NOT IN (SELECT capture FROM temp.own)"

func (r *reader) until() int64 { return r.q.Until.Unix() }

func (r *reader) runs(m *rules.Memory) error {
	var ids []int64
	err := r.each(`SELECT r.id, r.at FROM run r WHERE EXISTS (SELECT 1 FROM run_capture rc JOIN capture c ON c.id = rc.capture
		WHERE rc.run = r.id AND c.run = r.id AND `+counts+`) ORDER BY r.at, r.mark`, []any{r.until()}, func(rows *sql.Rows) error {
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

// wanted gathers the listings that the answer is about.
func (r *reader) wanted(*rules.Memory) error {
	if err := r.findLikePhotos(); err != nil {
		return err
	}
	const few = " GROUP BY 1 HAVING count(DISTINCT coalesce(st.seller, 0)) < ?)"
	for _, q := range []struct {
		listings string
		args     []any
	}{
		{"SELECT l.id FROM temp.asked_key a JOIN listing l ON l.key = a.key", nil},
		{"SELECT st.listing FROM temp.asked_serial a JOIN serial s ON s.text = a.text JOIN state_serial ss ON ss.serial = s.id JOIN state st ON st.id = ss.state", nil},
		{"SELECT x.listing FROM state x WHERE x.text_hash IN (SELECT a.hash FROM temp.asked_text a JOIN state st ON st.text_hash = a.hash" + few, []any{commonFrom}},
		{"SELECT x.listing FROM state_photo xp JOIN state x ON x.id = xp.state WHERE xp.photo IN (SELECT a.photo FROM temp.like_photo a JOIN state_photo sp ON sp.photo = a.photo JOIN state st ON st.id = sp.state" + few, []any{commonFrom}},
		{"SELECT l.id FROM outcome o JOIN listing l ON l.key = o.name WHERE o.of = 'listing'", nil},
	} {
		if err := r.exec("INSERT OR IGNORE INTO temp.wanted "+q.listings, q.args...); err != nil {
			return err
		}
	}
	return nil
}

// findLikePhotos finds the photos with the bytes of one of the batch, or with a
// fingerprint near to one.
func (r *reader) findLikePhotos() error {
	if err := r.exec("INSERT INTO temp.like_photo SELECT p.id FROM temp.asked_photo a JOIN photo p ON p.sha256 = a.sha256"); err != nil {
		return err
	}
	near := rules.NewPrints(r.q.Bound)
	done := map[uint64]bool{}
	for i := range r.q.Traces {
		for _, p := range r.q.Traces[i].Photos {
			for _, f := range []uint64{p.Fingerprint, p.Mirror} {
				if p.Printed && !done[f] {
					done[f] = true
					near.Add(f, i)
				}
			}
		}
	}
	if len(done) == 0 {
		return nil
	}
	var like []int64
	err := r.each(`SELECT id, fingerprint FROM photo WHERE fingerprint IS NOT NULL AND algorithm = ?
		AND sha256 NOT IN (SELECT sha256 FROM temp.asked_photo)`, []any{r.opt.PhotoVersion}, func(rows *sql.Rows) error {
		var id, f int64
		if err := rows.Scan(&id, &f); err != nil {
			return err
		}
		if near.Any(uint64(f)) {
			like = append(like, id)
		}
		return nil
	})
	for i := 0; err == nil && i < len(like); i++ {
		err = r.exec("INSERT INTO temp.like_photo VALUES (?)", like[i])
	}
	return err
}

// states reads the wanted listings' states. The capture is that of the last
// sighting, of several at one time the one with the greatest hash.
func (r *reader) states(m *rules.Memory) error {
	return r.each(`SELECT st.id, l.key, p.market, p.part, st.unit, coalesce(se.key, ''), coalesce(se.shown, ''),
		st.title, st.claim, st.claim_quote, st.condition, st.availability, st.price, st.currency, st.shipping, st.lot, st.quantity,
		st.last_one, st.text_hash, st.text_signature,
		min(coalesce(s.at, r.at)), max(coalesce(s.at, r.at)), max(r.at), count(DISTINCT r.id),
		min(s.sold), min(s.ratings),
		max(printf('%012d %s %09d', coalesce(s.at, r.at), lower(hex(c.sha256)), s.row))
		FROM temp.wanted w JOIN listing l ON l.id = w.listing JOIN state st ON st.listing = l.id JOIN place p ON p.id = st.place
		LEFT JOIN seller se ON se.id = st.seller
		JOIN sighting s ON s.state = st.id JOIN capture c ON c.id = s.capture JOIN run r ON r.id = c.run
		WHERE `+counts+` GROUP BY st.id ORDER BY l.key, st.mark`, []any{r.until()}, func(rows *sql.Rows) error {
		var e rules.Earlier
		var id, first, last, run int64
		var price, shipping, quantity, sold, ratings sql.NullInt64
		var currency sql.NullString
		var hash, signature []byte
		var from string
		if err := rows.Scan(&id, &e.Key, &e.Market, &e.Part, &e.Unit, &e.Seller, &e.Shown,
			&e.Title, &e.Claim, &e.ClaimQuote, &e.Condition, &e.State, &price, &currency, &shipping, &e.Lot, &quantity,
			&e.LastOne, &hash, &signature, &first, &last, &run, &e.Runs, &sold, &ratings, &from); err != nil {
			return err
		}
		e.First, e.Last, e.LastRun = moment(first), moment(last), moment(run)
		e.Price = listing.Amount{Minor: price.Int64, Currency: currency.String}
		e.Shipping, e.Quantity = int64(orNot(shipping)), orNot(quantity)
		e.Sold, e.Ratings = orNot(sold), orNot(ratings)
		copy(e.Text.Hash[:], hash)
		copy(e.Text.Signature[:], signature)
		e.Lot = max(e.Lot, 1)
		var at int64
		if _, err := fmt.Sscanf(from, "%d %s %d", &at, &e.Capture.SHA256, &e.Capture.Row); err != nil {
			return err
		}
		r.at[id] = len(m.Earlier)
		m.Earlier = append(m.Earlier, e)
		return nil
	})
}

// contents adds what the states hold lists of: captures, serials, photos, the
// marks of their sellers.
func (r *reader) contents(m *rules.Memory) error {
	if len(m.Earlier) == 0 {
		return nil
	}
	err := r.each(`SELECT ss.state, s.text, ss.field FROM temp.wanted w JOIN state st ON st.listing = w.listing
		JOIN state_serial ss ON ss.state = st.id JOIN serial s ON s.id = ss.serial ORDER BY ss.state, s.text, ss.field`, nil,
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
	err = r.each(`SELECT sp.state, p.sha256, p.fingerprint, p.mirror, p.algorithm, p.one_unit, p.labels FROM temp.wanted w JOIN state st ON st.listing = w.listing
		JOIN state_photo sp ON sp.state = st.id JOIN photo p ON p.id = sp.photo ORDER BY sp.state, p.sha256`, nil,
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
	if err := r.marks(m); err != nil {
		return err
	}
	return r.captures(m)
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
	hubs := map[string]bool{}
	err := r.each("SELECT mark FROM seller_mark WHERE mark LIKE 'contact %' GROUP BY mark HAVING count(*) >= ?", []any{hubFrom}, func(rows *sql.Rows) error {
		var mark string
		err := rows.Scan(&mark)
		hubs[mark] = true
		return err
	})
	if err != nil {
		return err
	}
	marks := map[string][]string{} // by key of the seller
	err = r.each(`SELECT se.key, sm.mark FROM (SELECT DISTINCT st.seller AS id FROM temp.wanted w JOIN state st ON st.listing = w.listing WHERE st.seller IS NOT NULL) x
		JOIN seller se ON se.id = x.id JOIN seller_mark sm ON sm.seller = se.id ORDER BY se.key, sm.mark`, nil, func(rows *sql.Rows) error {
		var key, mark string
		err := rows.Scan(&key, &mark)
		if !hubs[mark] {
			marks[key] = append(marks[key], mark)
		}
		return err
	})
	for i := range m.Earlier {
		m.Earlier[i].Marks = marks[m.Earlier[i].Seller]
	}
	return err
}

// captures names the files that the states were read from last.
func (r *reader) captures(m *rules.Memory) error {
	known := map[string][2]string{}
	s, err := r.conn.PrepareContext(r.ctx, "SELECT file, entry FROM capture WHERE sha256 = ?")
	if err != nil {
		return err
	}
	defer s.Close()
	for i := range m.Earlier {
		c := &m.Earlier[i].Capture
		name, ok := known[c.SHA256]
		if !ok {
			sum, err := hex.DecodeString(c.SHA256)
			if err != nil {
				return err
			}
			if err := s.QueryRowContext(r.ctx, sum).Scan(&name[0], &name[1]); err != nil {
				return err
			}
			known[c.SHA256] = name
		}
		c.File, c.Entry = name[0], name[1]
	}
	return nil
}

// known finds which traders of the batch an earlier run saw.
func (r *reader) known(m *rules.Memory) error {
	return r.each(`SELECT a.mark FROM temp.asked_mark a WHERE EXISTS (SELECT 1 FROM seller_mark sm JOIN state st ON st.seller = sm.seller
		JOIN sighting s ON s.state = st.id JOIN capture c ON c.id = s.capture JOIN run r ON r.id = c.run
		WHERE sm.mark = a.mark AND `+counts+`) ORDER BY a.mark`, []any{r.until()}, func(rows *sql.Rows) error {
		var mark string
		err := rows.Scan(&mark)
		m.Known = append(m.Known, mark)
		return err
	})
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
	last := int64(-1)
	err := b.each(`SELECT DISTINCT r.id, r.at, r.mark, l.key FROM place p JOIN state st ON st.place = p.id
		JOIN sighting s ON s.state = st.id JOIN capture c ON c.id = s.capture JOIN run r ON r.id = c.run JOIN listing l ON l.id = st.listing
		WHERE p.market = ? AND p.part = ? AND `+counts+` ORDER BY r.at, r.mark, l.key`, []any{market, part, q.Until.Unix()}, func(rows *sql.Rows) error {
		var run, at int64
		var mark []byte
		var key string
		if err := rows.Scan(&run, &at, &mark, &key); err != nil {
			return err
		}
		if run != last {
			last = run
			looks = append(looks, rules.Look{Run: moment(at)})
		}
		look := &looks[len(looks)-1]
		look.Keys = append(look.Keys, key)
		return nil
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
