package history

import (
	"cmp"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/serials"
)

// Run is what is recorded of a run beside its result.
type Run struct {
	Tool     string // version of the tool
	Rules    string // hash of the rule set
	Settings string // hash of all settings files
	Captures []listing.Capture
	// Decisions are those a person noted in an earlier workbook.
	Decisions []Decision
}

// Decision is what a person decided about a listing.
type Decision struct {
	Listing  int // number in Facts.Listings
	Word     string
	Note     string
	Evidence string // mark of the evidence it was taken on
}

// Record writes a run and ends the transaction: all of it is kept, or nothing.
// Captures that were recorded before, examined in the same way, add nothing.
func (b *Book) Record(run *Run, res *rules.Result) error {
	w := newWriter(b)
	defer w.close()
	if err := w.record(run, res); err != nil {
		return b.wrap(err)
	}
	if err := b.exec("DELETE FROM holder"); err != nil {
		return b.wrap(err)
	}
	return b.commit()
}

type writer struct {
	*Book
	stmts    map[string]*sql.Stmt
	ids      map[string]int64 // rows met in this run, by table and name
	captures map[string]int64 // by SHA-256 in hex
	fresh    map[int64]bool   // captures whose listings are to be recorded
	chunks   map[int64]bool   // of fingerprints to be packed anew
	older    bool             // some fingerprints are of another algorithm
	made     bool             // the run was not recorded before
	again    []int64          // captures of earlier runs whose listings are recorded anew
}

func newWriter(b *Book) *writer {
	return &writer{Book: b, stmts: map[string]*sql.Stmt{}, ids: map[string]int64{}, captures: map[string]int64{}, fresh: map[int64]bool{}, chunks: map[int64]bool{}}
}

func (w *writer) close() {
	for _, s := range w.stmts {
		s.Close()
	}
}

// stmt prepares a statement once.
func (w *writer) stmt(query string) (*sql.Stmt, error) {
	if s, ok := w.stmts[query]; ok {
		return s, nil
	}
	s, err := w.conn.PrepareContext(w.ctx, query)
	if err == nil {
		w.stmts[query] = s
	}
	return s, err
}

func (w *writer) do(query string, args ...any) error {
	_, err := w.change(query, args...)
	return err
}

// change reports whether any row was changed.
func (w *writer) change(query string, args ...any) (bool, error) {
	s, err := w.stmt(query)
	if err != nil {
		return false, err
	}
	r, err := s.ExecContext(w.ctx, args...)
	if err != nil {
		return false, err
	}
	n, err := r.RowsAffected()
	return n > 0, err
}

// id finds or makes a row of a table; name tells it apart within the run.
func (w *writer) id(name, find string, findArgs []any, insert string, args ...any) (int64, error) {
	if id, ok := w.ids[name]; ok {
		return id, nil
	}
	id, _, err := w.look(find, findArgs, insert, args...)
	if err == nil {
		w.ids[name] = id
	}
	return id, err
}

func (w *writer) look(find string, findArgs []any, insert string, args ...any) (id int64, made bool, err error) {
	s, err := w.stmt(find)
	if err != nil {
		return 0, false, err
	}
	switch err = s.QueryRowContext(w.ctx, findArgs...).Scan(&id); err {
	case nil:
		return id, false, nil
	case sql.ErrNoRows:
	default:
		return 0, false, err
	}
	if s, err = w.stmt(insert); err != nil {
		return 0, false, err
	}
	r, err := s.ExecContext(w.ctx, args...)
	if err != nil {
		return 0, false, err
	}
	id, err = r.LastInsertId()
	return id, true, err
}

func (w *writer) record(run *Run, res *rules.Result) error {
	captures := slices.Clone(run.Captures)
	captures = slices.DeleteFunc(captures, func(c listing.Capture) bool { return c.Listings == 0 || c.SHA256 == "" })
	slices.SortFunc(captures, func(a, b listing.Capture) int {
		return cmp.Or(cmp.Compare(a.SHA256, b.SHA256), cmp.Compare(a.File, b.File), cmp.Compare(a.Entry, b.Entry))
	})
	captures = slices.CompactFunc(captures, func(a, b listing.Capture) bool { return a.SHA256 == b.SHA256 })
	if len(captures) == 0 {
		return nil
	}
	if err := w.makeTables(changeTables); err != nil {
		return err
	}
	if err := w.conn.QueryRowContext(w.ctx, "SELECT EXISTS (SELECT 1 FROM print WHERE algorithm <> ?)", w.opt.PhotoVersion).Scan(&w.older); err != nil {
		return err
	}
	id, err := w.run(run, res, captures)
	if err != nil {
		return err
	}
	how := sha256.Sum256([]byte(strings.Join([]string{run.Tool, run.Rules, run.Settings, w.opt.PhotoVersion}, "\x00")))
	for i := range captures {
		if err := w.capture(id, how[:16], &captures[i]); err != nil {
			return err
		}
	}
	if err := w.clearAgain(); err != nil {
		return err
	}
	if err := w.settleRuns(id); err != nil {
		return err
	}
	traces := rules.Remember(res.Facts)
	judged := make([]*rules.Judged, len(traces))
	for _, j := range res.Ranked {
		judged[j.N] = j
	}
	for n := range traces {
		if w.ctx.Err() != nil {
			return w.ctx.Err()
		}
		if err := w.listing(id, res.Facts.Listings[n], &traces[n], judged[n]); err != nil {
			return err
		}
	}
	for _, d := range run.Decisions {
		if err := w.decision(&d, &traces[d.Listing], res.Facts.AsOf); err != nil {
			return err
		}
	}
	if err := w.pack(w.chunks); err != nil {
		return err
	}
	if w.made {
		if err := w.deriveRun(id); err != nil {
			return err
		}
	}
	var any bool
	if err := w.conn.QueryRowContext(w.ctx, "SELECT EXISTS (SELECT 1 FROM temp.stirred)").Scan(&any); err != nil || !any {
		return err
	}
	return w.settle()
}

// earliest is the run of a capture: the earliest that read it.
const earliest = `(SELECT r.id FROM run_capture rc JOIN run r ON r.id = rc.run WHERE rc.capture = capture.id ORDER BY r.at, r.mark LIMIT 1)`

// clearAgain takes back what was recorded of the captures that are recorded anew.
func (w *writer) clearAgain() error {
	for _, id := range w.again {
		if err := w.do("INSERT OR IGNORE INTO temp.stirred VALUES (?)", id); err != nil {
			return err
		}
	}
	if err := w.touchStirred(); err != nil {
		return err
	}
	for _, id := range w.again {
		if err := w.do("DELETE FROM sighting WHERE capture = ?", id); err != nil {
			return err
		}
	}
	return nil
}

// settleRuns sets the runs of a run's captures, which may have been those of
// later runs.
func (w *writer) settleRuns(run int64) error {
	const moved = " FROM capture WHERE id IN (SELECT capture FROM run_capture WHERE run = ?) AND run <> " + earliest
	if err := w.stir("SELECT id"+moved, run); err != nil {
		return err
	}
	return w.do("UPDATE capture SET run = "+earliest+" WHERE id IN (SELECT id"+moved+")", run)
}

func (w *writer) run(run *Run, res *rules.Result, captures []listing.Capture) (int64, error) {
	h := sha256.New()
	for _, c := range captures {
		h.Write([]byte(c.SHA256 + "\n"))
	}
	mark, at := h.Sum(nil), res.Facts.AsOf.Unix()
	id, made, err := w.look("SELECT id FROM run WHERE mark = ?", []any{mark},
		"INSERT INTO run (mark, at, tool, rules) VALUES (?, ?, ?, ?)", mark, at, run.Tool, run.Rules)
	if err != nil {
		return 0, err
	}
	if w.made = made; made {
		return id, nil
	}
	if err := w.stir("SELECT c.id FROM run r JOIN capture c ON c.run = r.id WHERE r.id = ? AND r.at > ?", id, at); err != nil {
		return 0, err
	}
	return id, w.do("UPDATE run SET at = ?1 WHERE id = ?2 AND at > ?1", at, id)
}

func (w *writer) capture(run int64, how []byte, c *listing.Capture) error {
	sum, err := hex.DecodeString(c.SHA256)
	if err != nil {
		return fmt.Errorf("the hash of %s: %w", c.File, err)
	}
	var modified any
	if !c.Modified.IsZero() {
		modified = c.Modified.Unix()
	}
	id, made, err := w.look("SELECT id FROM capture WHERE sha256 = ?", []any{sum},
		"INSERT INTO capture (sha256, run, how, kind, file, entry, size, modified) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
		sum, run, how, c.Kind, c.File, c.Entry, c.Size, modified)
	if err != nil {
		return err
	}
	w.captures[c.SHA256] = id
	if !made {
		if err := w.do("UPDATE capture SET file = ?2, entry = ?3 WHERE id = ?1 AND (file, entry) > (?2, ?3)", id, c.File, c.Entry); err != nil {
			return err
		}
		if made, err = w.change("UPDATE capture SET how = ?1 WHERE id = ?2 AND how <> ?1", how, id); err != nil {
			return err
		}
		if made {
			w.again = append(w.again, id)
		}
	} else if !w.made { // forgotten since the run was recorded
		w.again = append(w.again, id)
	}
	w.fresh[id] = made
	return w.do("INSERT OR IGNORE INTO run_capture VALUES (?, ?)", run, id)
}

// freshOf is the first capture of a listing whose listings are to be recorded.
func (w *writer) freshOf(l *listing.Listing) (id int64, row int, ok bool) {
	for _, c := range append([]listing.CaptureRef{l.Ref()}, l.Also...) {
		if id, ok := w.captures[c.SHA256]; ok && w.fresh[id] {
			return id, c.Row, true
		}
	}
	return 0, 0, false
}

func (w *writer) listing(run int64, l *listing.Listing, t *rules.Trace, j *rules.Judged) error {
	capture, row, ok := w.freshOf(l)
	if !ok {
		return nil
	}
	if _, ok := w.ids["market "+t.Market]; !ok {
		w.ids["market "+t.Market] = 1
		if err := w.do("INSERT OR IGNORE INTO market VALUES (?, ?)", run, t.Market); err != nil {
			return err
		}
	}
	state, err := w.state(t)
	if err != nil {
		return err
	}
	findings := findingsOf(j)
	assessment, err := w.id("assessment "+findings, "SELECT id FROM assessment WHERE findings = ?", []any{findings},
		"INSERT INTO assessment (findings) VALUES (?)", findings)
	if err != nil {
		return err
	}
	return w.do("INSERT OR IGNORE INTO sighting VALUES (?, ?, ?, ?, ?, ?, ?)",
		capture, state, row, statedTime(l), stated(t.Sold), stated(t.Ratings), assessment)
}

// state finds or makes the state of a listing.
func (w *writer) state(t *rules.Trace) (int64, error) {
	owner, err := w.id("listing "+t.Key, "SELECT id FROM listing WHERE key = ?", []any{t.Key}, "INSERT INTO listing (key) VALUES (?)", t.Key)
	if err != nil {
		return 0, err
	}
	seller, err := w.seller(t)
	if err != nil {
		return 0, err
	}
	place, err := w.id("place "+t.Market+"\x00"+t.Part, "SELECT id FROM place WHERE market = ? AND part = ?", []any{t.Market, t.Part},
		"INSERT INTO place (market, part) VALUES (?, ?)", t.Market, t.Part)
	if err != nil {
		return 0, err
	}
	mark := markOf(t)
	var price, currency, hash, signature any
	if t.Price.Minor > 0 {
		price, currency = t.Price.Minor, t.Price.Currency
	}
	if !t.Text.IsZero() {
		hash, signature = t.Text.Hash[:], t.Text.Signature[:]
	}
	id, made, err := w.look("SELECT id FROM state WHERE listing = ? AND mark = ?", []any{owner, mark},
		`INSERT INTO state (listing, mark, place, seller, unit, title, claim, claim_quote, condition, availability,
		price, currency, shipping, lot, quantity, last_one, text_hash, text_signature) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)`,
		owner, mark, place, seller, t.Unit, t.Title, t.Claim, t.ClaimQuote, t.Condition, t.State,
		price, currency, stated(int(t.Shipping)), t.Lot, stated(t.Quantity), t.LastOne, hash, signature)
	switch {
	case err != nil:
		return 0, err
	case !made:
		return id, w.learnAll(t.Photos)
	}
	for _, s := range t.Serials {
		serial, err := w.id("serial "+s.Serial, "SELECT id FROM serial WHERE text = ?", []any{s.Serial},
			"INSERT INTO serial (text, fold) VALUES (?, ?)", s.Serial, serials.Fold(s.Serial))
		if err != nil {
			return 0, err
		}
		if err := w.do("INSERT OR IGNORE INTO state_serial VALUES (?, ?, ?)", serial, id, s.Field.String()); err != nil {
			return 0, err
		}
	}
	for i := range t.Photos {
		if err := w.photo(id, seller, &t.Photos[i]); err != nil {
			return 0, err
		}
	}
	return id, nil
}

func (w *writer) seller(t *rules.Trace) (any, error) {
	if t.Seller == "" {
		return nil, nil
	}
	id, err := w.id("seller "+t.Seller, "SELECT id FROM seller WHERE key = ?", []any{t.Seller},
		"INSERT INTO seller (key, shown) VALUES (?, ?)", t.Seller, t.Shown)
	if err != nil {
		return nil, err
	}
	// Of several displayed names the last one in the alphabet stays, so that the
	// order of runs does not matter.
	if name := "shown " + t.Seller + "\x00" + t.Shown; w.ids[name] == 0 {
		w.ids[name] = id
		if err := w.do("UPDATE seller SET shown = ?2 WHERE id = ?1 AND shown < ?2", id, t.Shown); err != nil {
			return nil, err
		}
	}
	for _, m := range t.Marks {
		name := "mark " + t.Seller + "\x00" + m
		if w.ids[name] == 0 {
			w.ids[name] = id
			if m, err = w.keyed(m); err != nil {
				return nil, err
			}
			if err := w.do("INSERT OR IGNORE INTO seller_mark VALUES (?, ?)", m, id); err != nil {
				return nil, err
			}
		}
	}
	return id, nil
}

func (w *writer) decision(d *Decision, t *rules.Trace, at time.Time) error {
	id, err := w.id("listing "+t.Key, "SELECT id FROM listing WHERE key = ?", []any{t.Key}, "INSERT INTO listing (key) VALUES (?)", t.Key)
	if err != nil {
		return err
	}
	return w.do("INSERT OR IGNORE INTO decision VALUES (?, ?, ?, ?, ?)", id, d.Word, d.Note, d.Evidence, at.Unix())
}

// markOf is the hash of what makes a state: the trace without what changes all
// the time.
func markOf(t *rules.Trace) []byte {
	h := sha256.New()
	fmt.Fprintf(h, "%q %q %q %q %q %q %q %q %q %d %q %d %d %d %q %v %x", t.Market, t.Part, t.Seller, t.Unit, t.Title, t.Claim,
		t.ClaimQuote, t.Condition, t.State, t.Price.Minor, t.Price.Currency, t.Shipping, t.Lot, t.Quantity, t.LastOne, t.Serials, t.Text.Hash)
	for i := range t.Photos {
		fmt.Fprintf(h, " %s", t.Photos[i].SHA256)
	}
	return h.Sum(nil)[:16]
}

// findingsOf writes findings as JSON, from rule to decibans.
func findingsOf(j *rules.Judged) string {
	weights := map[string]float64{}
	if j != nil {
		for i := range j.Findings {
			weights[j.Findings[i].Rule.ID] = j.Findings[i].WeightDB
		}
	}
	var b strings.Builder
	b.WriteByte('{')
	for i, id := range slices.Sorted(maps.Keys(weights)) {
		if i > 0 {
			b.WriteByte(',')
		}
		name, _ := json.Marshal(id)
		fmt.Fprintf(&b, "%s:%.4g", name, weights[id])
	}
	b.WriteByte('}')
	return b.String()
}

func stated(n int) any {
	if n == rules.NotStated {
		return nil
	}
	return n
}

// statedTime is the capture time that the page or the user states, nil if none.
func statedTime(l *listing.Listing) any {
	text := l.Value(listing.CapturedAt)
	for _, layout := range []string{time.RFC3339, time.DateOnly} {
		if t, err := time.Parse(layout, text); err == nil {
			return t.Unix()
		}
	}
	return nil
}
