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

// A casebook of the first form, as it was written then.
const firstForm = schema1 + `
INSERT INTO run VALUES (1, x'00112233', 1756684800, '0.9', 'r');
INSERT INTO market VALUES (1, 'moor.example');
INSERT INTO capture VALUES (1, x'aa', 1, x'00', 'table', 'old.csv', '', 10, NULL);
INSERT INTO run_capture VALUES (1, 1);
INSERT INTO seller VALUES (1, 'moor.example/~alfa', 'Alfa');
INSERT INTO seller_mark VALUES ('account moor.example/~alfa', 1), ('name alfa', 1);
INSERT INTO place VALUES (1, 'moor.example', '712345-0012');
INSERT INTO listing VALUES (1, 'moor.example/a1');
INSERT INTO state VALUES (1, 1, x'01', 1, 1, '', 'Old title', 'silent', '', 'new', '', 180000, 'EUR', NULL, 1, NULL, '', NULL, NULL);
INSERT INTO serial VALUES (1, 'AB47315', '4847315');
INSERT INTO state_serial VALUES (1, 1, 'serial_number');
INSERT INTO assessment VALUES (1, '{}');
INSERT INTO sighting VALUES (1, 1, 2, NULL, NULL, NULL, 1);
PRAGMA application_id = 1128678210;
PRAGMA user_version = 1;
`

func TestAnOlderCasebookOpens(t *testing.T) {
	assert.Equal(t, 0x43464342, 1128678210)
	file := script(t, firstForm)
	res := audit(t, file, captured("a.csv", offer("a1", "Alfa", "900.00")), rules.Options{AsOf: day("2026-09-01")})
	require.NotEmpty(t, res.Ranked[0].Findings)
	assert.Contains(t, fmt.Sprint(res.Ranked[0].Findings[0].Statement), "1800.00 EUR then, 900.00 EUR now")
	b := write(t, file)
	v, err := b.version()
	require.NoError(t, err)
	assert.Equal(t, len(migrations), v)
	require.NoError(t, b.Settle([]rules.Case{{Serial: "AB47315", Word: rules.ConfirmedCopy, Date: day("2026-09-01")}}))
	assert.Contains(t, dump(t, script(t, firstForm)), "Old title", "a reader brings it up to date as well")
}

func TestRefusals(t *testing.T) {
	notes := filepath.Join(t.TempDir(), "notes.txt")
	require.NoError(t, os.WriteFile(notes, []byte("These are notes, and no database at all, however long they may go on."), 0o600))
	for file, want := range map[string]string{
		script(t, schema1+schema2+"PRAGMA application_id = 1128678210; PRAGMA user_version = 99;"): "a newer version of this tool wrote this casebook (its form is 99",
		script(t, "CREATE TABLE other (x)"):                                                    "not a casebook",
		script(t, firstForm+"CREATE TRIGGER t AFTER INSERT ON run BEGIN DELETE FROM run; END"): "triggers or views",
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
