package history

import (
	"bytes"
	"database/sql"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/rules"
)

// deeds are what processes do to a casebook until they are killed, and what is
// repeated afterwards.
var deeds = map[string]func(*Book) error{
	"open": func(*Book) error { return nil }, // brings an older form up to date
	"forget a seller": func(b *Book) error {
		_, err := b.ForgetSeller("Seller 0006")
		return err
	},
	"forget a run": func(b *Book) error {
		_, err := b.ForgetRun("9558b4f1")
		return err
	},
	"take in a list": func(b *Book) error { return b.Settle(list(rules.ConfirmedCopy)) },
}

// list is a list of serials that all ended in one way.
func list(word string) (cases []rules.Case) {
	for i := range 1500 {
		cases = append(cases, rules.Case{Serial: fmt.Sprintf("TK%06d", i), Word: word, Date: day("2026-09-02"), Basis: "a list"})
	}
	return cases
}

// grow fills a casebook of any form with copies of its listings under other ids, so
// that what is done to it takes long enough to be stopped on the way.
const grow = `
CREATE TEMP TABLE copy AS WITH RECURSIVE c(n) AS (SELECT 100000 UNION ALL SELECT n + 100000 FROM c LIMIT 16) SELECT n FROM c;
INSERT INTO listing (id, key) SELECT id + n, key || '-' || n FROM listing, copy;
INSERT INTO state SELECT id + n, listing + n, mark, place, seller, unit, title, claim, claim_quote, condition, availability, price, currency, shipping, lot, quantity, last_one, text_hash, text_signature FROM state, copy;
INSERT INTO sighting (capture, state, row, at, sold, ratings, assessment) SELECT capture, state + n, row, at, sold, ratings, assessment FROM sighting, copy;
INSERT INTO photo SELECT id + n, randomblob(32), fingerprint, mirror, algorithm, one_unit, labels FROM photo, copy;
INSERT INTO state_photo (photo, state) SELECT photo + n, state + n FROM state_photo, copy;
INSERT INTO state_serial (serial, state, field) SELECT serial, state + n, field FROM state_serial, copy;
`

// TestKilledOnTheWay kills processes that bring a casebook up to date, forget or
// take in a list, at moments of each transaction: while it gathers, when it is about
// to reach the file, when it reaches it and when it is over. Each time the
// casebook must be whole and hold what was before or what comes after, and to do it
// again must end in the same as if nothing had happened.
func TestKilledOnTheWay(t *testing.T) {
	if deed, file, ok := strings.Cut(os.Getenv("COUNTERFOIL_TEST_DEED"), ":"); ok {
		b := write(t, file)
		require.NoError(t, deeds[deed](b))
		require.NoError(t, b.Close())
		return
	}
	grown := map[string]string{}
	for _, form := range []string{"form-1.sql", "form-2.sql", "form-3.sql"} {
		file := frozen(t, form)
		db, err := sql.Open("sqlite", file)
		require.NoError(t, err)
		_, err = db.Exec(grow)
		require.NoError(t, err)
		require.NoError(t, db.Close())
		grown[form] = file
	}
	today := copied(t, grown["form-3.sql"])
	b := write(t, today)
	require.NoError(t, b.Settle(list(rules.OutcomeUnknown)))
	require.NoError(t, b.Close())
	for _, c := range []struct {
		deed, name, file string
		transactions     int
		gone             []string // from the bytes
	}{
		{"open", "form 1", grown["form-1.sql"], 1, nil},
		{"open", "form 2", grown["form-2.sql"], 1, []string{"ce2a7d76a612db5ecd988483c0fda5ca"}}, // see TestOldContactsAreKeyed
		{"open", "form 3", grown["form-3.sql"], 1, nil},
		{"forget a seller", "", today, 2, []string{"Seller 0006", "s00006"}},
		{"forget a run", "", today, 2, nil},
		{"take in a list", "", today, 1, nil},
	} {
		t.Run(c.deed+c.name, func(t *testing.T) {
			t.Parallel()
			done := copied(t, c.file)
			repeat(t, c.deed, done)
			before, after := contents(t, c.file), contents(t, done)
			require.False(t, before.rows == after.rows)
			killed := 0
			for transaction := range c.transactions {
				for _, m := range []point{gathering, reaching, within, over} {
					file := copied(t, c.file)
					if killAt(t, c.deed, file, transaction, m) {
						killed++
					}
					found := contents(t, file)
					assert.Contains(t, []int{before.version, after.version}, found.version)
					assert.True(t, found.version == before.version && found.rows == before.rows || found.version == after.version && found.rows == after.rows,
						"as before or as after, transaction %d, moment %d", transaction, m)
					repeat(t, c.deed, file)
					found = contents(t, file)
					assert.True(t, after.rows == found.rows, "the same in the end, transaction %d, moment %d", transaction, m)
					assert.Equal(t, []int{after.version, after.free}, []int{found.version, found.free}, "and written anew, transaction %d, moment %d", transaction, m)
					left, err := filepath.Glob(file + "*")
					require.NoError(t, err)
					assert.Equal(t, []string{file}, left, "no journal is left")
					data, err := os.ReadFile(file)
					require.NoError(t, err)
					for _, text := range c.gone {
						assert.False(t, bytes.Contains(data, []byte(text)), "%s is in the file, transaction %d, moment %d", text, transaction, m)
					}
				}
			}
			assert.Positive(t, killed, "processes were stopped in time")
		})
	}
}

func repeat(t *testing.T, deed, file string) {
	t.Helper()
	b := write(t, file)
	require.NoError(t, deeds[deed](b))
	require.NoError(t, b.Close())
}

// copied copies a casebook, which nobody has open.
func copied(t *testing.T, file string) string {
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	name := filepath.Join(t.TempDir(), "casebook")
	require.NoError(t, os.WriteFile(name, data, 0o600))
	return name
}

// content is what a casebook holds.
type content struct {
	version int
	free    int    // pages that hold nothing
	rows    string // one a line, by table, and the schema
}

// contents reads a casebook with plain SQL and checks that it is whole. Who holds
// it, its key and what is hashed with that are left out; so is the note that the
// file is to be written anew.
func contents(t *testing.T, file string) (c content) {
	t.Helper()
	db, err := sql.Open("sqlite", file)
	require.NoError(t, err)
	defer db.Close()
	var answer string
	require.NoError(t, db.QueryRow("PRAGMA integrity_check").Scan(&answer))
	require.Equal(t, "ok", answer)
	require.NoError(t, db.QueryRow("PRAGMA user_version").Scan(&c.version))
	require.NoError(t, db.QueryRow("PRAGMA freelist_count").Scan(&c.free))
	var out strings.Builder
	print := func(query string) {
		rows, err := db.Query(query)
		require.NoError(t, err)
		defer rows.Close()
		columns, err := rows.Columns()
		require.NoError(t, err)
		values := make([]any, len(columns))
		for i := range values {
			values[i] = new(any)
		}
		for rows.Next() {
			require.NoError(t, rows.Scan(values...))
			for _, v := range values {
				if data, ok := (*v.(*any)).([]byte); ok {
					fmt.Fprintf(&out, "%s ", hex.EncodeToString(data))
				} else {
					fmt.Fprintf(&out, "%v ", *v.(*any))
				}
			}
			out.WriteString("\n")
		}
		require.NoError(t, rows.Err())
	}
	const some = " FROM sqlite_schema WHERE type = 'table' AND name NOT IN ('holder', 'secret', 'seller_mark', 'rewriting') ORDER BY name"
	print("SELECT type, name, sql FROM sqlite_schema WHERE name <> 'rewriting' ORDER BY type, name")
	print("SELECT seller, iif(mark LIKE 'contact %', 'contact', mark) FROM seller_mark ORDER BY 1, 2")
	var names []string
	tables, err := db.Query("SELECT name" + some)
	require.NoError(t, err)
	for tables.Next() {
		var name string
		require.NoError(t, tables.Scan(&name))
		names = append(names, name)
	}
	require.NoError(t, tables.Close())
	for _, name := range names {
		out.WriteString(name + "\n")
		print("SELECT * FROM " + name + " ORDER BY 1, 2")
	}
	c.rows = out.String()
	return c
}

// point is a part of a transaction.
type point int

const (
	gathering point = iota // what is changed is being saved in the journal
	reaching               // the journal is whole
	within                 // some of the file is new
	over                   // the journal is gone
)

// largeJournal is the size from which a transaction is not one that only notes who
// holds the casebook.
const largeJournal = 24 << 10

// killAt starts a process and kills it at a moment of one of its large
// transactions, by what can be seen of its files. It reports whether the process
// was still there.
func killAt(t *testing.T, deed, file string, transaction int, at point) (killed bool) {
	t.Helper()
	exe, err := os.Executable()
	require.NoError(t, err)
	child := exec.Command(exe, "-test.run", "^TestKilledOnTheWay$")
	child.Env = append(os.Environ(), "COUNTERFOIL_TEST_DEED="+deed+":"+file)
	require.NoError(t, child.Start())
	ended := make(chan error, 1)
	go func() { ended <- child.Wait() }()
	number, inside := 0, false
	was, err := os.Stat(file)
	require.NoError(t, err)
	for {
		size, whole := journalOf(file)
		now, err := os.Stat(file)
		require.NoError(t, err)
		switch {
		case size > largeJournal:
			inside = true
		case size == 0 && inside:
			inside = false
			number++
		}
		if !inside {
			was = now
		}
		reached := number == transaction && inside
		switch at {
		case reaching:
			reached = reached && whole
		case within:
			reached = reached && (now.ModTime() != was.ModTime() || now.Size() != was.Size())
		case over:
			reached = number > transaction
		}
		if reached {
			break
		}
		select {
		case err := <-ended:
			require.NoError(t, err)
			return false
		case <-time.After(50 * time.Microsecond):
		}
	}
	if err := child.Process.Kill(); !errors.Is(err, os.ErrProcessDone) { // it may have ended just now
		require.NoError(t, err)
	}
	return <-ended != nil
}

// journalOf gives the size of the journal, and whether it says how many pages it
// holds, as it does once they have reached the disk (SQLite's file format, section
// "The Rollback Journal").
func journalOf(file string) (size int64, whole bool) {
	f, err := os.Open(file + "-journal")
	if err != nil {
		return 0, false
	}
	defer f.Close()
	var head [12]byte
	f.ReadAt(head[:], 0)
	if info, err := f.Stat(); err == nil {
		size = info.Size()
	}
	return size, binary.BigEndian.Uint32(head[8:]) > 0
}
