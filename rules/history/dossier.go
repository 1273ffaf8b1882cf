package history

import (
	"database/sql"
	"slices"

	"counterfoil/rules"
)

// Place is a part on a marketplace.
type Place struct {
	Market, Part string
	Listings     int
}

// Places lists parts by marketplace, those with most listings first, at most n.
// part is the number to list alone, "" lists all.
func (b *Book) Places(part string, n int) (list []Place, err error) {
	err = b.each(`SELECT p.market, p.part, count(DISTINCT st.listing) AS n FROM place p JOIN state st ON st.place = p.id
		WHERE p.part <> '' AND (?1 = '' OR p.part = ?1) GROUP BY p.id ORDER BY n DESC, p.market, p.part LIMIT ?2`, []any{part, n}, func(rows *sql.Rows) error {
		var p Place
		err := rows.Scan(&p.Market, &p.Part, &p.Listings)
		list = append(list, p)
		return err
	})
	return list, err
}

// At gives all states of listings of a part on a marketplace, by key and state.
func (b *Book) At(p Place) ([]rules.Earlier, error) {
	return b.statesOf("st.place = (SELECT id FROM place WHERE market = ? AND part = ?)", p.Market, p.Part)
}

// Shared is something that a seller has in common with another.
type Shared struct {
	What  string // "contact", "name", "serial", "picture"
	Which string // the serial; "" where there is nothing to show
	With  string // key of the other seller
	Shown string // his displayed name
	N     int    // pictures, or 1
}

// Trader is what is known of a seller.
type Trader struct {
	Key, Shown string
	Listings   int
	Contacts   int // that were seen and are kept as hashes
	States     []rules.Earlier
	Shared     []Shared
	Cases      []rules.Case   // of his listings and serials
	Decisions  []Noted        // of his listings
	Findings   map[string]int // rules found at the last sighting of a state, by id
}

// Noted is what a person decided of a listing.
type Noted struct {
	Listing, Word, Note string
	At                  int64 // seconds since 1970
}

// Traders lists sellers, those with most listings first, at most n. text names
// one by key, account or displayed name; "" lists all. Only Key, Shown and
// Listings are set.
func (b *Book) Traders(text string, n int) (list []Trader, err error) {
	err = b.each(`SELECT se.key, se.shown, count(DISTINCT st.listing) AS n FROM seller se JOIN state st ON st.seller = se.id
		WHERE ?1 = '' OR se.key = ?1 OR lower(se.shown) = lower(?1) OR substr(se.key, -length(?1) - 1) = '/' || ?1
		GROUP BY se.id ORDER BY n DESC, se.key LIMIT ?2`, []any{text, n}, func(rows *sql.Rows) error {
		var t Trader
		err := rows.Scan(&t.Key, &t.Shown, &t.Listings)
		list = append(list, t)
		return err
	})
	return list, err
}

// Fill sets all else that is known of a seller.
func (b *Book) Fill(t *Trader) (err error) {
	const his = "(SELECT id FROM seller WHERE key = ?1)"
	if t.States, err = b.statesOf("st.seller = (SELECT id FROM seller WHERE key = ?)", t.Key); err != nil {
		return err
	}
	for _, q := range []string{
		`SELECT iif(a.mark LIKE 'contact %', 'contact', 'name'), '', se.key, se.shown, 1 FROM seller_mark a JOIN seller_mark o ON o.mark = a.mark AND o.seller <> a.seller
			JOIN seller se ON se.id = o.seller WHERE a.seller = ` + his,
		`SELECT DISTINCT 'serial', x.text, se.key, se.shown, 1 FROM state st JOIN state_serial ss ON ss.state = st.id JOIN serial x ON x.id = ss.serial
			JOIN state_serial os ON os.serial = ss.serial JOIN state o ON o.id = os.state AND o.seller <> st.seller JOIN seller se ON se.id = o.seller WHERE st.seller = ` + his,
		`SELECT 'picture', '', se.key, se.shown, count(DISTINCT sp.photo) FROM state st JOIN state_photo sp ON sp.state = st.id
			JOIN state_photo op ON op.photo = sp.photo JOIN state o ON o.id = op.state AND o.seller <> st.seller JOIN seller se ON se.id = o.seller
			WHERE st.seller = ` + his + ` GROUP BY se.id`,
	} {
		err = b.each(q+" ORDER BY 1, 2, 3 LIMIT 1000", []any{t.Key}, func(rows *sql.Rows) error {
			var s Shared
			err := rows.Scan(&s.What, &s.Which, &s.With, &s.Shown, &s.N)
			t.Shared = append(t.Shared, s)
			return err
		})
		if err != nil {
			return err
		}
	}
	if err := b.conn.QueryRowContext(b.ctx, "SELECT count(*) FROM seller_mark WHERE mark LIKE 'contact %' AND seller = "+his, t.Key).Scan(&t.Contacts); err != nil {
		return b.wrap(err)
	}
	err = b.each("SELECT DISTINCT l.key, d.word, d.note, d.at FROM decision d JOIN listing l ON l.id = d.listing JOIN state st ON st.listing = l.id WHERE st.seller = "+his+" ORDER BY d.at, l.key, d.word, d.note",
		[]any{t.Key}, func(rows *sql.Rows) error {
			var d Noted
			err := rows.Scan(&d.Listing, &d.Word, &d.Note, &d.At)
			t.Decisions = append(t.Decisions, d)
			return err
		})
	if err != nil {
		return err
	}
	t.Findings = map[string]int{}
	err = b.each(`SELECT j.key, count(*) FROM state st JOIN span sp ON sp.state = st.id JOIN sighting s ON s.capture = sp.capture AND s.state = st.id
		JOIN assessment a ON a.id = s.assessment, json_each(a.findings) j WHERE st.seller = `+his+` AND j.value > 0 GROUP BY 1`, []any{t.Key}, func(rows *sql.Rows) error {
		var id string
		var n int
		err := rows.Scan(&id, &n)
		t.Findings[id] = n
		return err
	})
	if err != nil {
		return err
	}
	cases, err := b.Cases()
	t.Cases = slices.DeleteFunc(cases, func(c rules.Case) bool { return !t.shows(&c) })
	return err
}

// shows reports whether a case is of one of the seller's listings or serials.
func (t *Trader) shows(c *rules.Case) bool {
	return slices.ContainsFunc(t.States, func(e rules.Earlier) bool {
		return c.Listing == e.Key || c.Serial != "" && slices.ContainsFunc(e.Serials, func(s rules.SerialSeen) bool { return s.Serial == c.Serial })
	})
}

// statesOf reads the states under a condition, by key and first sighting.
func (b *Book) statesOf(where string, args ...any) ([]rules.Earlier, error) {
	return b.told("SELECT st.listing FROM state st WHERE "+where, "main.span", where+" ORDER BY l.key, sp.first, st.mark", args)
}

// told reads states with all that they hold: of the listings that a query gives,
// those under a condition, with spans from a table. The arguments are for each of
// the texts.
func (b *Book) told(listings, spans, where string, args []any) ([]rules.Earlier, error) {
	r := &reader{Book: b, at: map[int64]int{}, contacts: map[string]string{}}
	m := &rules.Memory{}
	err := r.makeTables(askTables)
	if err == nil {
		err = r.exec("INSERT OR IGNORE INTO temp.wanted "+listings, args...)
	}
	if err == nil {
		err = r.read(m, spans, where, args)
	}
	if err == nil {
		err = r.contents(m)
	}
	return m.Earlier, b.wrap(err)
}
