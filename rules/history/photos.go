package history

import (
	"database/sql"
	"encoding/hex"
	"errors"
	"strings"

	"counterfoil/rules"
)

// photo finds or makes a photo of a state that is new.
func (w *writer) photo(state int64, seller any, p *rules.Print) error {
	sum, err := hex.DecodeString(p.SHA256)
	if err != nil || len(sum) == 0 {
		return nil // a photo that is named and not there
	}
	id, known := w.ids["photo "+p.SHA256]
	if !known {
		made := false
		id, made, err = w.look("SELECT id FROM photo WHERE sha256 = ?", []any{sum},
			"INSERT INTO photo (sha256, fingerprint, mirror, algorithm, one_unit, labels) VALUES (?, ?, ?, ?, ?, ?)",
			sum, bitsOf(p, p.Fingerprint), bitsOf(p, p.Mirror), w.opt.PhotoVersion, p.OneUnit, strings.Join(p.Labels, "\n"))
		if err == nil && !made {
			err = w.learn(sum, p)
		}
		if err != nil {
			return err
		}
		if w.ids["photo "+p.SHA256] = id; made {
			w.chunks[id/chunkOf] = true
		}
	}
	return w.do("INSERT OR IGNORE INTO state_photo VALUES (?, coalesce(?, 0), ?)", id, seller, state)
}

// learnAll brings what is kept of photos up to date, where there may be something
// to learn.
func (w *writer) learnAll(photos []rules.Print) error {
	for i := range photos {
		p := &photos[i]
		sum, err := hex.DecodeString(p.SHA256)
		if err != nil || len(sum) == 0 || len(p.Labels) == 0 && !p.OneUnit && !w.older {
			continue
		}
		if err := w.learn(sum, p); err != nil {
			return err
		}
	}
	return nil
}

// learn brings what is kept of a photo up to date: what was read with a newer
// algorithm or labelled since counts.
func (w *writer) learn(sum []byte, p *rules.Print) error {
	s, err := w.stmt(`UPDATE photo SET fingerprint = ?2, mirror = ?3, algorithm = ?4, one_unit = max(one_unit, ?5), labels = iif(?6 = '', labels, ?6)
		WHERE sha256 = ?1 AND (algorithm <> ?4 OR one_unit < ?5 OR labels <> ?6 AND ?6 <> '') RETURNING id`)
	if err != nil {
		return err
	}
	var id int64
	err = s.QueryRowContext(w.ctx, sum, bitsOf(p, p.Fingerprint), bitsOf(p, p.Mirror), w.opt.PhotoVersion, p.OneUnit, strings.Join(p.Labels, "\n")).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	w.chunks[id/chunkOf] = true
	return err
}

func bitsOf(p *rules.Print, f uint64) any {
	if !p.Printed {
		return nil
	}
	return int64(f)
}
