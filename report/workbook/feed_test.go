package workbook_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/workbook"
	"counterfoil/rules"
)

// Rows that take many batches to the library stand in order, and a writing that is
// ended at any of them gives the error and leaves no file of the library behind.
func TestRowsInOrderAndEndedAnywhere(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	var list []*listing.Listing
	for i := range 1000 {
		key := fmt.Sprint(i, strings.Repeat("a", 20_000)) // so that a sheet is more than the library holds in memory
		l := &listing.Listing{Key: key, File: "a.csv", Row: i + 2}
		for n, v := range map[listing.Name]string{listing.Title: fmt.Sprintf("Genuine turbocharger %d", i), listing.Price: "100.00",
			listing.Currency: "EUR", listing.Seller: fmt.Sprintf("seller %d", i%50), listing.PartNumber: "AB-1234", listing.Condition: listing.New} {
			l.Set(listing.Field{Name: n, Value: v, Raw: v})
		}
		list = append(list, l)
	}
	at := time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)
	res, err := rules.Audit(context.Background(), list, rules.Options{AsOf: at})
	require.NoError(t, err)
	run := &report.Run{Version: "test", AsOf: at}

	var asked atomic.Int64
	f := open(t, write(t, res, run, workbook.Options{Stop: func() error { asked.Add(1); return nil }}))
	next := map[string]int{}
	for _, name := range []string{"Suspects", "Incomplete"} {
		rows, err := f.GetRows(name, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		last := 0
		for _, row := range rows {
			if rank, err := strconv.Atoi(row[0]); err == nil {
				assert.Greater(t, rank, last, name)
				last, next[name] = rank, next[name]+1
			}
		}
	}
	assert.Equal(t, 1000, next["Suspects"]+next["Incomplete"])

	require.NoError(t, f.Close())

	enough := errors.New("enough")
	for from := int64(0); from < asked.Load(); from += asked.Load()/12 + 1 {
		var n atomic.Int64
		err := workbook.Write(io.Discard, res, run, workbook.Options{Stop: func() error {
			if n.Add(1) > from {
				return enough
			}
			return nil
		}})
		require.ErrorIs(t, err, enough, "ended at %d", from)
	}
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}
