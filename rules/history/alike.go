package history

import (
	"database/sql"
	"encoding/hex"
	"runtime"
	"slices"
	"sync"

	"counterfoil/rules"
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
	near := rules.NewPrints(r.q.Bound)
	done := map[uint64]bool{}
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
				if p.Printed && !done[f] {
					done[f] = true
					near.Add(f, i)
				}
			}
		}
	}
	if err := r.exec("INSERT INTO temp.like_photo SELECT p.id FROM temp.asked_photo a JOIN photo p ON p.sha256 = a.sha256"); err != nil {
		return err
	}
	if len(done) == 0 {
		return nil
	}
	like, err := r.scanPrints(near)
	for i := 0; err == nil && i < len(like); i++ {
		err = w.do("INSERT OR IGNORE INTO temp.like_photo VALUES (?)", like[i])
	}
	return err
}

// prints are photos by bytes and fingerprint.
type prints struct {
	sums map[string]bool
	near *rules.Prints
}

func (c *prints) like(p *rules.Print) bool {
	return c.sums[p.SHA256] || p.Printed && (c.near.Any(p.Fingerprint) || c.near.Any(p.Mirror))
}

// casePrints are the photos of listings with a case.
func (r *reader) casePrints() (*prints, error) {
	c := &prints{map[string]bool{}, rules.NewPrints(r.q.Bound)}
	err := r.each(`SELECT DISTINCT p.sha256, p.fingerprint, p.algorithm FROM outcome o JOIN listing l ON l.key = o.name JOIN state st ON st.listing = l.id
		JOIN state_photo sp ON sp.state = st.id JOIN photo p ON p.id = sp.photo WHERE o.of = 'listing'`, nil, func(rows *sql.Rows) error {
		var sum []byte
		var f sql.NullInt64
		var algorithm string
		err := rows.Scan(&sum, &f, &algorithm)
		c.sums[hex.EncodeToString(sum)] = true
		if f.Valid && algorithm == r.opt.PhotoVersion {
			c.near.Add(uint64(f.Int64), 0)
		}
		return err
	})
	return c, err
}

// scanPrints goes through all fingerprints of the casebook and gives the photos
// that are near to one of a set. Some are compared while others are read.
func (r *reader) scanPrints(near *rules.Prints) (like []int64, err error) {
	type printed struct {
		id int64
		f  uint64
	}
	const size = 4096
	work := make(chan []printed, 4)
	var lock sync.Mutex
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for list := range work {
				var found []int64
				for _, p := range list {
					if near.Any(p.f) {
						found = append(found, p.id)
					}
				}
				lock.Lock()
				like = append(like, found...)
				lock.Unlock()
			}
		})
	}
	var list []printed
	err = r.each("SELECT id, fingerprint FROM photo INDEXED BY photo_print WHERE algorithm = ? AND fingerprint IS NOT NULL", []any{r.opt.PhotoVersion}, func(rows *sql.Rows) error {
		var p printed
		var f int64
		err := rows.Scan(&p.id, &f)
		p.f = uint64(f)
		if list = append(list, p); len(list) == size {
			work <- list
			list = nil
		}
		return err
	})
	work <- list
	close(work)
	wait.Wait()
	slices.Sort(like)
	return like, err
}
