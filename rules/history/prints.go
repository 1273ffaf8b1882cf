package history

import (
	"database/sql"
	"encoding/binary"
	"errors"
	"maps"
	"math/bits"
	"runtime"
	"slices"
	"sync"

	"counterfoil/rules/near"
)

// Fingerprints lie beside the photos once more, packed by chunks of photos, so
// that a million of them are read in milliseconds. A question goes through all:
// for few fingerprints that is quicker than any index on disk, and for many they
// are put in order by quarters in memory.

// chunkOf is the number of photo ids that a chunk covers.
const chunkOf = 1024

// entrySize is the size of a chunk's entry: the photo's place within the chunk and
// its fingerprint, little-endian.
const entrySize = 2 + 8

// pack writes chunks anew from the photos.
func (b *Book) pack(chunks map[int64]bool) error {
	w := newWriter(b)
	defer w.close()
	for _, n := range slices.Sorted(maps.Keys(chunks)) {
		packed := map[string][]byte{} // by algorithm
		err := b.each("SELECT id, algorithm, fingerprint FROM photo WHERE id BETWEEN ? AND ? AND fingerprint IS NOT NULL ORDER BY id", []any{n * chunkOf, n*chunkOf + chunkOf - 1}, func(rows *sql.Rows) error {
			var id, f int64
			var algorithm string
			if err := rows.Scan(&id, &algorithm, &f); err != nil {
				return err
			}
			data := binary.LittleEndian.AppendUint16(packed[algorithm], uint16(id%chunkOf))
			packed[algorithm] = binary.LittleEndian.AppendUint64(data, uint64(f))
			return nil
		})
		if err != nil {
			return err
		}
		if err := w.do("DELETE FROM print WHERE chunk = ?", n); err != nil {
			return err
		}
		for _, algorithm := range slices.Sorted(maps.Keys(packed)) {
			if err := w.do("INSERT INTO print VALUES (?, ?, ?)", n, algorithm, packed[algorithm]); err != nil {
				return err
			}
		}
	}
	return nil
}

// packAll writes all chunks anew.
func (b *Book) packAll() error {
	chunks := map[int64]bool{}
	err := b.numbers("SELECT DISTINCT id / ? FROM photo", []any{chunkOf}, func(n int64) error { chunks[n] = true; return nil })
	if err != nil {
		return err
	}
	return b.pack(chunks)
}

var errPrint = errors.New("a chunk of fingerprints of the casebook cannot be read")

// eachChunk calls do with the chunks of the tool's algorithm, by the first id of
// each.
func (b *Book) eachChunk(do func(first int64, data []byte)) error {
	return b.each("SELECT chunk, data FROM print WHERE algorithm = ?", []any{b.opt.PhotoVersion}, func(rows *sql.Rows) error {
		var chunk int64
		var data sql.RawBytes
		if err := rows.Scan(&chunk, &data); err != nil {
			return err
		}
		if len(data)%entrySize != 0 {
			return errPrint
		}
		do(chunk*chunkOf, data)
		return nil
	})
}

func entryOf(first int64, data []byte) (id int64, f uint64) {
	return first + int64(binary.LittleEndian.Uint16(data)), binary.LittleEndian.Uint64(data[2:])
}

// few is the number of fingerprints up to which comparing them with all is
// quicker than putting all in order.
const few = 50

// near gives the photos whose fingerprint is within a bound of one of those
// asked, ascending. None is missed.
func (b *Book) near(asked []uint64, bound int) (ids []int64, err error) {
	if len(asked) > few {
		return b.nearMany(asked, bound)
	}
	err = b.eachChunk(func(first int64, data []byte) {
		for ; len(data) > 0; data = data[entrySize:] {
			id, f := entryOf(first, data)
			for _, a := range asked {
				if bits.OnesCount64(f^a) <= bound {
					ids = append(ids, id)
					break
				}
			}
		}
	})
	slices.Sort(ids)
	return ids, err
}

func (b *Book) nearMany(asked []uint64, bound int) (ids []int64, err error) {
	var n int
	if err := b.conn.QueryRowContext(b.ctx, "SELECT coalesce(sum(length(data)), 0) / ? FROM print", entrySize).Scan(&n); err != nil {
		return nil, err
	}
	stored, of := make([]uint64, 0, n), make([]int64, 0, n)
	err = b.eachChunk(func(first int64, data []byte) {
		for ; len(data) > 0; data = data[entrySize:] {
			id, f := entryOf(first, data)
			stored, of = append(stored, f), append(of, id)
		}
	})
	if err != nil {
		return nil, err
	}
	wanted, all := near.New(asked, bound), near.New(stored, bound)
	found := make([][]bool, runtime.GOMAXPROCS(0))
	var wait sync.WaitGroup
	for w := range found {
		found[w] = make([]bool, len(stored))
		wait.Go(func() {
			wanted.Meet(all, w, len(found), func(_, i int32) { found[w][i] = true })
		})
	}
	wait.Wait()
	for i, id := range of {
		if slices.ContainsFunc(found, func(by []bool) bool { return by[i] }) {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids, nil
}
