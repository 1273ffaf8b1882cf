package history

import (
	"database/sql"
	"strings"
	"time"

	"counterfoil/rules/sellers"
)

// prune deletes what no sighting needs any more, and makes anew what is made
// from sightings.
func (b *Book) prune() error {
	for _, q := range []string{
		"DELETE FROM capture WHERE id NOT IN (SELECT capture FROM run_capture)",
		"DELETE FROM run WHERE id NOT IN (SELECT run FROM run_capture)",
		"DELETE FROM market WHERE run NOT IN (SELECT id FROM run)",
	} {
		if err := b.exec(q); err != nil {
			return err
		}
	}
	if err := b.derive(); err != nil {
		return err
	}
	for _, q := range []string{
		"DELETE FROM state WHERE id NOT IN (SELECT state FROM span)",
		"DELETE FROM state_serial WHERE state NOT IN (SELECT id FROM state)",
		"DELETE FROM state_photo WHERE state NOT IN (SELECT id FROM state)",
		"DELETE FROM serial WHERE id NOT IN (SELECT serial FROM state_serial)",
		"DELETE FROM photo WHERE id NOT IN (SELECT photo FROM state_photo)",
		"DELETE FROM place WHERE id NOT IN (SELECT place FROM state)",
		"DELETE FROM seller WHERE id NOT IN (SELECT seller FROM state WHERE seller IS NOT NULL)",
		"DELETE FROM seller_mark WHERE seller NOT IN (SELECT id FROM seller)",
		"DELETE FROM decision WHERE listing NOT IN (SELECT listing FROM state)",
		"DELETE FROM listing WHERE id NOT IN (SELECT listing FROM state)",
		"DELETE FROM assessment WHERE id NOT IN (SELECT assessment FROM sighting)",
	} {
		if err := b.exec(q); err != nil {
			return err
		}
	}
	return nil
}

// rewrite ends a deletion: the file is written anew, so that nothing of what was
// deleted stays in it.
func (b *Book) rewrite() error {
	if err := b.prune(); err != nil {
		return b.wrap(err)
	}
	if err := b.exec("DELETE FROM outcome WHERE of = 'listing' AND name NOT IN (SELECT key FROM listing)"); err != nil {
		return b.wrap(err)
	}
	if err := b.commit(); err != nil {
		return err
	}
	if err := b.exec("VACUUM"); err != nil {
		return b.wrap(err)
	}
	return b.begin()
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

// dropRuns deletes the runs under a condition.
func (b *Book) dropRuns(where string, arg any) error {
	for _, q := range []string{
		"DELETE FROM run_capture WHERE run IN (SELECT id FROM run WHERE " + where + ")",
		"DELETE FROM sighting WHERE capture NOT IN (SELECT capture FROM run_capture)",
	} {
		var args []any
		if strings.Contains(q, "?") {
			args = append(args, arg)
		}
		if err := b.exec(q, args...); err != nil {
			return err
		}
	}
	return b.exec("UPDATE capture SET run = " + earliest + " WHERE id IN (SELECT capture FROM run_capture)")
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
	for _, id := range ids {
		if err := b.forgetListings(id); err != nil {
			return nil, b.wrap(err)
		}
	}
	// The names of files that are left without a listing may tell the seller.
	for _, q := range []string{
		"DELETE FROM capture WHERE id NOT IN (SELECT capture FROM sighting)",
		"DELETE FROM run_capture WHERE capture NOT IN (SELECT id FROM capture)",
	} {
		if err := b.exec(q); err != nil {
			return nil, b.wrap(err)
		}
	}
	return keys, b.rewrite()
}

// forgetListings deletes all that was seen of the listings of a seller, at
// whatever time another seller was named on them.
func (b *Book) forgetListings(seller int64) error {
	const listings = "SELECT listing FROM state WHERE seller = ?"
	for _, q := range []string{
		"DELETE FROM decision WHERE listing IN (" + listings + ")",
		"DELETE FROM sighting WHERE state IN (SELECT id FROM state WHERE listing IN (" + listings + "))",
	} {
		if err := b.exec(q, seller); err != nil {
			return err
		}
	}
	return nil
}
