package history

import (
	"database/sql"
	"strings"
	"time"

	"counterfoil/rules/sellers"
)

// prune deletes the touched states that no sighting needs any more, and what only
// they had.
func (b *Book) prune() error {
	for _, q := range []string{
		"DROP TABLE IF EXISTS temp.dead; CREATE TEMP TABLE dead AS SELECT id, listing, place, seller FROM temp.touched x JOIN state ON id = x.state WHERE NOT EXISTS (SELECT 1 FROM span sp WHERE sp.state = id)",
		"DROP TABLE IF EXISTS temp.dead_serial; CREATE TEMP TABLE dead_serial AS SELECT DISTINCT serial AS id FROM state_serial WHERE state IN (SELECT id FROM temp.dead)",
		"DROP TABLE IF EXISTS temp.dead_photo; CREATE TEMP TABLE dead_photo AS SELECT DISTINCT photo AS id FROM state_photo WHERE state IN (SELECT id FROM temp.dead)",
		"DELETE FROM state_serial WHERE state IN (SELECT id FROM temp.dead)",
		"DELETE FROM state_photo WHERE state IN (SELECT id FROM temp.dead)",
		"DELETE FROM state WHERE id IN (SELECT id FROM temp.dead)",
		"DELETE FROM serial WHERE id IN (SELECT id FROM temp.dead_serial) AND NOT EXISTS (SELECT 1 FROM state_serial x WHERE x.serial = serial.id)",
		"DELETE FROM photo WHERE id IN (SELECT id FROM temp.dead_photo) AND NOT EXISTS (SELECT 1 FROM state_photo x WHERE x.photo = photo.id)",
		"DELETE FROM place WHERE id IN (SELECT place FROM temp.dead) AND NOT EXISTS (SELECT 1 FROM state x WHERE x.place = place.id)",
		"DELETE FROM seller WHERE id IN (SELECT seller FROM temp.dead) AND NOT EXISTS (SELECT 1 FROM state x WHERE x.seller = seller.id)",
		"DELETE FROM seller_mark WHERE seller IN (SELECT seller FROM temp.dead) AND NOT EXISTS (SELECT 1 FROM seller x WHERE x.id = seller_mark.seller)",
		"DELETE FROM listing WHERE id IN (SELECT listing FROM temp.dead) AND NOT EXISTS (SELECT 1 FROM state x WHERE x.listing = listing.id)",
		"DELETE FROM decision WHERE listing IN (SELECT listing FROM temp.dead) AND NOT EXISTS (SELECT 1 FROM listing x WHERE x.id = decision.listing)",
	} {
		if err := b.exec(q); err != nil {
			return err
		}
	}
	chunks := map[int64]bool{}
	err := b.numbers("SELECT id FROM temp.dead_photo", nil, func(id int64) error { chunks[id/chunkOf] = true; return nil })
	if err != nil {
		return err
	}
	return b.pack(chunks)
}

// rewrite ends a deletion of sightings: what has no sighting any more goes as
// well, and the file is written anew. That takes as long as the whole file, since
// the database engine overwrites what it deletes but promises nothing of copies
// that it made when it moved rows from page to page.
func (b *Book) rewrite() error {
	for _, q := range []string{
		"DELETE FROM capture WHERE id IN (SELECT capture FROM temp.stirred) AND NOT EXISTS (SELECT 1 FROM run_capture x WHERE x.capture = capture.id)",
		"DELETE FROM run WHERE id IN (SELECT run FROM temp.stirred_run) AND NOT EXISTS (SELECT 1 FROM run_capture x WHERE x.run = run.id)",
		"DELETE FROM market WHERE run NOT IN (SELECT id FROM run)",
		"UPDATE capture SET run = " + earliest + " WHERE id IN (SELECT capture FROM temp.stirred)",
	} {
		if err := b.exec(q); err != nil {
			return b.wrap(err)
		}
	}
	if err := b.settle(); err != nil {
		return b.wrap(err)
	}
	for _, q := range []string{
		"DELETE FROM assessment WHERE id NOT IN (SELECT assessment FROM sighting)",
		"DELETE FROM outcome WHERE of = 'listing' AND name NOT IN (SELECT key FROM listing)",
	} {
		if err := b.exec(q); err != nil {
			return b.wrap(err)
		}
	}
	if err := b.exec("CREATE TABLE IF NOT EXISTS rewriting (asked)"); err != nil {
		return b.wrap(err)
	}
	return b.beginAnew()
}

// vacuum writes the file anew when a deletion asked for it: the table rewriting,
// which is made with the deletion, stays until that is done, so that a process
// which ends in between leaves it to the next one that writes.
func (b *Book) vacuum() error {
	var asked int
	if err := b.conn.QueryRowContext(b.ctx, "SELECT count(*) FROM sqlite_schema WHERE name = 'rewriting'").Scan(&asked); err != nil || asked == 0 {
		return b.wrap(err)
	}
	if err := b.exec("VACUUM"); err != nil {
		return b.wrap(err)
	}
	return b.wrap(b.exec("DROP TABLE rewriting"))
}

// ForgetRun deletes a run by the beginning of its mark, and with it what no
// other run saw. It returns how many runs the text means; only if it is one,
// that one is deleted.
func (b *Book) ForgetRun(mark string) (meant int, err error) {
	var id int64
	err = b.each("SELECT id FROM run WHERE lower(hex(mark)) GLOB ? || '*'", []any{onlyHex(mark)}, func(rows *sql.Rows) error {
		meant++
		return rows.Scan(&id)
	})
	if err != nil || meant != 1 {
		return meant, err
	}
	if err := b.dropRuns("id = ?", id); err != nil {
		return 0, b.wrap(err)
	}
	return 1, b.rewrite()
}

// onlyHex makes sure that a text is no pattern; a text that is no mark matches
// none.
func onlyHex(s string) string {
	s = strings.ToLower(strings.TrimSpace(s))
	if s == "" || strings.Trim(s, "0123456789abcdef") != "" {
		return "-"
	}
	return s
}

// dropRuns deletes the sightings of the runs under a condition that no other run
// has.
func (b *Book) dropRuns(where string, arg any) error {
	if err := b.makeTables(changeTables); err != nil {
		return err
	}
	captures := "SELECT capture FROM run_capture WHERE run IN (SELECT id FROM run WHERE " + where + ")"
	if err := b.stir(captures, arg); err != nil {
		return err
	}
	if err := b.exec("INSERT OR IGNORE INTO temp.stirred_run SELECT id FROM run WHERE "+where, arg); err != nil {
		return err
	}
	if err := b.exec("DELETE FROM run_capture WHERE run IN (SELECT id FROM run WHERE "+where+")", arg); err != nil {
		return err
	}
	return b.exec("DELETE FROM sighting WHERE capture IN (SELECT capture FROM temp.stirred) AND NOT EXISTS (SELECT 1 FROM run_capture x WHERE x.capture = sighting.capture)")
}

// ForgetBefore deletes all runs, decisions and outcomes before a moment, and
// returns how many runs there were.
func (b *Book) ForgetBefore(t time.Time) (runs int, err error) {
	if err := b.conn.QueryRowContext(b.ctx, "SELECT count(*) FROM run WHERE at < ?", t.Unix()).Scan(&runs); err != nil {
		return 0, b.wrap(err)
	}
	if err := b.dropRuns("at < ?", t.Unix()); err != nil {
		return 0, b.wrap(err)
	}
	for _, table := range []string{"decision", "outcome"} {
		if err := b.exec("DELETE FROM "+table+" WHERE at < ?", t.Unix()); err != nil {
			return 0, b.wrap(err)
		}
	}
	return runs, b.rewrite()
}

// ForgetSeller deletes the sellers that a text names by key, account id or
// displayed name, and with them all that was kept of their listings. It returns
// their keys.
func (b *Book) ForgetSeller(text string) (keys []string, err error) {
	var ids []int64
	name := sellers.NormalName(text)
	err = b.each(`SELECT id, key FROM seller WHERE key = ?1 OR shown = ?1 OR substr(key, -length(?1) - 1) = '/' || ?1
		OR ?2 <> '' AND id IN (SELECT seller FROM seller_mark WHERE mark = 'name ' || ?2) ORDER BY key`, []any{text, name}, func(rows *sql.Rows) error {
		var id int64
		var key string
		err := rows.Scan(&id, &key)
		ids, keys = append(ids, id), append(keys, key)
		return err
	})
	if err != nil || len(ids) == 0 {
		return nil, err
	}
	if err := b.makeTables(changeTables); err != nil {
		return nil, b.wrap(err)
	}
	for _, id := range ids {
		if err := b.forgetListings(id); err != nil {
			return nil, b.wrap(err)
		}
	}
	return keys, b.rewrite()
}

// forgetListings deletes all that was seen of the listings of a seller, at
// whatever time another seller was named on them, and the captures that are left
// without a listing, whose names may tell the seller.
func (b *Book) forgetListings(seller int64) error {
	const listings = "SELECT listing FROM state WHERE seller = ?"
	for _, q := range []string{
		"DELETE FROM decision WHERE listing IN (" + listings + ")",
		"INSERT OR IGNORE INTO temp.touched SELECT id FROM state WHERE listing IN (" + listings + ")",
	} {
		if err := b.exec(q, seller); err != nil {
			return err
		}
	}
	for _, q := range []string{
		"DROP TABLE IF EXISTS temp.gone; CREATE TEMP TABLE gone AS SELECT j.value AS capture, sp.state FROM temp.touched x JOIN main.span sp ON sp.state = x.state, json_each('[' || sp.captures || ']') j",
		"DELETE FROM sighting WHERE (capture, state) IN (SELECT capture, state FROM temp.gone)",
		"INSERT OR IGNORE INTO temp.stirred SELECT id FROM capture WHERE NOT EXISTS (SELECT 1 FROM sighting s WHERE s.capture = capture.id)",
		"INSERT OR IGNORE INTO temp.stirred_run SELECT run FROM run_capture WHERE capture IN (SELECT capture FROM temp.gone UNION SELECT capture FROM temp.stirred)",
		"DELETE FROM run_capture WHERE capture IN (SELECT capture FROM temp.stirred)",
	} {
		if err := b.exec(q); err != nil {
			return err
		}
	}
	return nil
}
