package history

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// script makes a database by SQL text alone.
func script(t *testing.T, text string) string {
	file := filepath.Join(t.TempDir(), "casebook")
	db, err := sql.Open("sqlite", file)
	require.NoError(t, err)
	_, err = db.Exec(text)
	require.NoError(t, err)
	require.NoError(t, db.Close())
	return file
}

// frozen makes a casebook as an earlier version of the tool wrote it. The scripts
// are dumps of what those versions wrote, of a few invented listings, with a
// contact, a decision and outcomes put in by hand. They are never made anew.
func frozen(t *testing.T, name string) string {
	data, err := os.ReadFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	return script(t, string(data))
}

func count(t *testing.T, file, table string) (n int) {
	db, err := sql.Open("sqlite", file)
	require.NoError(t, err)
	defer db.Close()
	require.NoError(t, db.QueryRow("SELECT count(*) FROM "+table).Scan(&n))
	return n
}

type frozenForm struct{ title, price, serial, now, then string }

func TestAnOlderCasebookOpens(t *testing.T) {
	assert.Equal(t, 0x43464342, 1128678210)
	// Values as read in the scripts.
	old := frozenForm{"Kestwick turbocharger 756870-5008 T32R", `"price_minor":41885,"currency":"EUR","shipping_minor":1090`, "K161505200", "200.00", "418.85 EUR"}
	for name, want := range map[string]frozenForm{"form-1.sql": old, "form-2.sql": old,
		"form-3.sql": {"Halvorn turbocharger 700001-5001 T15A", `"price_minor":13665,"currency":"EUR","shipping_minor":1090`, "R240966252", "60.00", "136.65 EUR"}} {
		t.Run(name, func(t *testing.T) {
			file := frozen(t, name)
			db, err := sql.Open("sqlite", file)
			require.NoError(t, err)
			wantSpans, wantLooks := derivedFrom(sightings(t, db))
			require.NoError(t, db.Close())
			tables := []string{"run", "capture", "listing", "state", "sighting", "serial", "photo", "seller", "seller_mark", "state_photo", "state_serial", "market", "assessment"}
			if name != "form-1.sql" {
				tables = append(tables, "decision", "outcome")
			}
			before := map[string]int{}
			for _, table := range tables {
				before[table] = count(t, file, table)
				require.Positive(t, before[table], table)
			}
			text := dump(t, file) // a reader brings it up to date as well
			for _, table := range tables {
				assert.Equal(t, before[table], count(t, file, table), table)
			}
			b := write(t, file)
			v, err := b.version()
			require.NoError(t, err)
			assert.Equal(t, len(migrations), v)
			spans, looks := derived(t, b)
			assert.Equal(t, wantSpans, spans)
			assert.Equal(t, wantLooks, looks)

			assert.Contains(t, text, `"listing":"moor.example/L00000001"`)
			assert.Contains(t, text, `"title":"`+want.title+`"`)
			assert.Contains(t, text, want.price)
			if name != "form-1.sql" {
				assert.Contains(t, text, `"word":"ask the seller","note":"no answer so far"`)
				assert.Contains(t, text, `"name":"K161505200","word":"confirmed genuine","outcome_at":"2025-09-16T00:00:00Z","basis":"report of the maker"`)
			}
			serial, err := b.Serial(want.serial)
			require.NoError(t, err)
			assert.NotEmpty(t, serial)
			require.NoError(t, b.Settle([]rules.Case{{Serial: "AB47315", Word: rules.ConfirmedCopy, Date: day("2026-09-01")}}))
			require.NoError(t, b.Close())

			// A run of today meets what was kept.
			res := audit(t, file, captured("today.csv", offer("L00000001", "Seller 0001", want.now, "unit_type", "complete")), rules.Options{AsOf: day("2026-09-20")})
			assert.Contains(t, fmt.Sprint(res.Ranked[0].Findings), want.then)
		})
	}
}

// Contacts that the second form kept are found again under the casebook's key,
// and none of their old hashes stays.
func TestOldContactsAreKeyed(t *testing.T) {
	old := "contact ce2a7d76a612db5ecd988483c0fda5ca" // SHA-256, first half, of kind, zero byte and address
	file := frozen(t, "form-2.sql")
	assert.NotContains(t, dump(t, file), old)
	b := write(t, file)
	kept, err := b.keyed(old)
	require.NoError(t, err)
	assert.Contains(t, dump(t, file), kept)
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.NotContains(t, string(data), old)
	other := write(t, filepath.Join(t.TempDir(), "casebook"))
	elsewhere, err := other.keyed(old)
	require.NoError(t, err)
	assert.NotEqual(t, kept, elsewhere)
}

func TestRefusals(t *testing.T) {
	notes := filepath.Join(t.TempDir(), "notes.txt")
	require.NoError(t, os.WriteFile(notes, []byte("These are notes, and no database at all, however long they may go on."), 0o600))
	for file, want := range map[string]string{
		script(t, "CREATE TABLE anything (x); PRAGMA application_id = 1128678210; PRAGMA user_version = 99;"): "a newer version of this tool wrote this casebook (its form is 99",
		script(t, "CREATE TABLE other (x)"): "not a casebook",
		script(t, "CREATE TABLE run (x); PRAGMA application_id = 1128678210; PRAGMA user_version = 1; CREATE TRIGGER t AFTER INSERT ON run BEGIN DELETE FROM run; END"): "triggers or views",
		notes:       "this is not a casebook",
		t.TempDir(): "is a directory",
	} {
		before, _ := os.ReadFile(file)
		_, err := Write(context.Background(), file, testOptions)
		assert.ErrorContains(t, err, want)
		after, _ := os.ReadFile(file)
		assert.Equal(t, before, after, "a refused file is left as it is")
	}
	_, err := Read(context.Background(), filepath.Join(t.TempDir(), "none"), testOptions)
	assert.ErrorContains(t, err, "no such casebook")
}

func TestOneWriterAtATime(t *testing.T) {
	file := filepath.Join(t.TempDir(), "casebook")
	b := write(t, file)
	_, err := Write(context.Background(), file, testOptions)
	require.ErrorContains(t, err, fmt.Sprintf("in use by process %d, which started at 2026-11-25T08:00:00Z", os.Getpid()))
	r, err := Read(context.Background(), file, testOptions)
	require.NoError(t, err, "looking things up is possible meanwhile")
	runs, err := r.Runs()
	require.NoError(t, err)
	assert.Empty(t, runs)
	require.NoError(t, r.Close())
	require.NoError(t, b.Close())
	require.NoError(t, write(t, file).Close())
}

// TestKilled kills a process that writes without end, at five moments of a
// transaction that has reached the file in part. The casebook must be whole each
// time, and hold whole runs only.
func TestKilled(t *testing.T) {
	if file := os.Getenv("COUNTERFOIL_TEST_WRITE"); file != "" {
		writeWithoutEnd(t, file)
	}
	file := filepath.Join(t.TempDir(), "casebook")
	require.NoError(t, write(t, file).Close())
	exe, err := os.Executable()
	require.NoError(t, err)
	for n := 1; n <= 5; n++ {
		killWithin(t, exe, file, int64(n*20_000))
		b := write(t, file)
		var answer string
		require.NoError(t, b.conn.QueryRowContext(b.ctx, "PRAGMA integrity_check").Scan(&answer))
		assert.Equal(t, "ok", answer)
		runs, err := b.Runs()
		require.NoError(t, err)
		for _, r := range runs {
			assert.Equal(t, killedBatch, r.Listings, "a run is whole or not there")
		}
		require.NoError(t, b.Close())
	}
}

// killWithin starts a writing process and kills it when its journal, which holds
// what the transaction has overwritten so far, has grown to a size.
func killWithin(t *testing.T, exe, file string, size int64) {
	child := exec.Command(exe, "-test.run", "^TestKilled$")
	child.Env = append(os.Environ(), "COUNTERFOIL_TEST_WRITE="+file)
	require.NoError(t, child.Start())
	ended := make(chan error, 1)
	go func() { ended <- child.Wait() }()
	for {
		if info, err := os.Stat(file + "-journal"); err == nil && info.Size() > size {
			break
		}
		select {
		case err := <-ended:
			t.Fatalf("the writing process ended: %v", err)
		case <-time.After(time.Millisecond):
		}
	}
	require.NoError(t, child.Process.Kill())
	require.Error(t, <-ended)
}

const killedBatch = 300

// writeWithoutEnd records runs with a cache so small that changed pages reach
// the file long before the end.
func writeWithoutEnd(t *testing.T, file string) {
	for n := 0; ; n++ {
		b := write(t, file)
		require.NoError(t, b.exec("PRAGMA cache_size = 10; PRAGMA cache_spill = 10"))
		batch := batchOf(killedBatch, fmt.Sprintf("%d-%d", os.Getpid(), n))
		res, err := rules.Audit(context.Background(), batch, rules.Options{AsOf: day("2026-09-01")})
		require.NoError(t, err)
		require.NoError(t, b.Record(&Run{Captures: capturesOf(batch)}, res))
		require.NoError(t, b.Close())
	}
}

// batchOf invents n offers in a capture of its own.
func batchOf(n int, name string) []*listing.Listing {
	var batch []*listing.Listing
	for i := range n {
		batch = append(batch, offer(fmt.Sprintf("%s-%d", name, i), fmt.Sprintf("Seller %d", i%40), fmt.Sprintf("%d.00", 500+i),
			"serial_number", fmt.Sprintf("KX%07d", i*7919%9999991)))
	}
	return captured(name+".csv", batch...)
}
