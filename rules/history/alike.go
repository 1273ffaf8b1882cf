package history

import (
	"database/sql"
	"encoding/hex"
	"maps"
	"slices"

	"counterfoil/rules"
	"counterfoil/rules/near"
)

// findLikePhotos finds the photos that are alike to those of the batch which the
// answer is about: of listings that are new or have a new seller, and those that
// are alike to a photo of a listing with a case. Alike are the same bytes, and
// fingerprints within the bound. None is missed.
func (r *reader) findLikePhotos() error {
	cases, err := r.casePrints()
	if err != nil {
		return err
	}
	w := newWriter(r.Book)
	defer w.close()
	asked := map[uint64]bool{}
	for i := range r.q.Traces {
		for _, p := range r.q.Traces[i].Photos {
			if !r.fresh[i] && !cases.like(&p) {
				continue
			}
			if sum, err := hex.DecodeString(p.SHA256); err == nil && len(sum) > 0 {
				if err := w.do("INSERT OR IGNORE INTO temp.asked_photo VALUES (?)", sum); err != nil {
					return err
				}
			}
			for _, f := range []uint64{p.Fingerprint, p.Mirror} {
				if p.Printed {
					asked[f] = true
				}
			}
		}
	}
	if err := r.exec("INSERT INTO temp.like_photo SELECT p.id FROM temp.asked_photo a CROSS JOIN photo p ON p.sha256 = a.sha256"); err != nil {
		return err
	}
	if len(asked) == 0 {
		return nil
	}
	like, err := r.near(slices.Sorted(maps.Keys(asked)), r.q.Bound)
	if err != nil {
		return err
	}
	for _, id := range like {
		if err := w.do("INSERT OR IGNORE INTO temp.like_photo VALUES (?)", id); err != nil {
			return err
		}
	}
	return nil
}

// prints are photos by bytes and fingerprint.
type prints struct {
	sums map[string]bool
	near *near.Set
}

func (c *prints) like(p *rules.Print) bool {
	return c.sums[p.SHA256] || p.Printed && (c.near.Any(p.Fingerprint) || c.near.Any(p.Mirror))
}

// casePrints are the photos of listings with a case.
func (r *reader) casePrints() (*prints, error) {
	c := &prints{sums: map[string]bool{}}
	var printed []uint64
	err := r.each(`SELECT DISTINCT p.sha256, p.fingerprint, p.algorithm FROM outcome o CROSS JOIN listing l ON l.key = o.name CROSS JOIN state st ON st.listing = l.id
		CROSS JOIN state_photo sp ON sp.state = st.id CROSS JOIN photo p ON p.id = sp.photo WHERE o.of = 'listing'`, nil, func(rows *sql.Rows) error {
		var sum []byte
		var f sql.NullInt64
		var algorithm string
		err := rows.Scan(&sum, &f, &algorithm)
		c.sums[hex.EncodeToString(sum)] = true
		if f.Valid && algorithm == r.opt.PhotoVersion {
			printed = append(printed, uint64(f.Int64))
		}
		return err
	})
	c.near = near.New(printed, r.q.Bound)
	return c, err
}
