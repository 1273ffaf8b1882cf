package history

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/fixtures/year"
	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// yearRules are the rules that should find each kind of event. Of the floors,
// the first is for recall, the second for precision.
var yearRules = []struct {
	kinds             []year.Kind
	rule              *rules.Rule
	recall, precision float64
}{
	{[]year.Kind{year.Relisted, year.CameBack, year.MovedSerial}, rules.RelistedAfterRemoval, 0.9, 0.85},
	{[]year.Kind{year.Reincarnated}, rules.NewAccountOldGoods, 0.9, 0.9},
	{[]year.Kind{year.Claim}, rules.ClaimEdited, 0.9, 0.9},
	{[]year.Kind{year.Collapse}, rules.PriceCollapse, 0.9, 0.9},
	{[]year.Kind{year.LastOne}, rules.LastOneNeverSells, 0.9, 0.9},
}

// cpu is the processor time that this process has used.
func cpu() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// TestMeasureYear looks at an invented market week after week, and says how much
// of what was planted the time rules find. COUNTERFOIL_YEAR=2000x52 sets
// listings and weeks.
func TestMeasureYear(t *testing.T) {
	rows, weeks := sizeOf(t, "COUNTERFOIL_YEAR", 200, 26)
	m := year.New(rows, weeks, 7)
	defer m.Close()
	file := filepath.Join(t.TempDir(), "casebook")
	found := map[*rules.Rule]map[string]bool{} // ids of listings
	sellers := map[string]string{}             // by id
	for week := 1; week <= weeks; week++ {
		batch := m.Next()
		noteFound(found, audit(t, file, batch, rules.Options{AsOf: year.Day(week)}))
		for _, l := range batch {
			sellers[l.Key] = l.Value(listing.Seller)
		}
	}
	reportYear(t, m, found, sellers)
}

// sizeOf reads listings and weeks from the environment.
func sizeOf(t *testing.T, name string, rows, weeks int) (int, int) {
	if size := os.Getenv(name); size != "" {
		_, err := fmt.Sscanf(size, "%dx%d", &rows, &weeks)
		require.NoError(t, err)
	}
	return rows, weeks
}

func noteFound(found map[*rules.Rule]map[string]bool, res *rules.Result) {
	for _, j := range res.Ranked {
		for i := range j.Findings {
			r := j.Findings[i].Rule
			if r.Family != rules.FamilyTime {
				continue
			}
			if found[r] == nil {
				found[r] = map[string]bool{}
			}
			found[r][j.Listing.Key] = true
		}
	}
}

func reportYear(t *testing.T, m *year.Market, found map[*rules.Rule]map[string]bool, sellers map[string]string) {
	var out strings.Builder
	w := tabwriter.NewWriter(&out, 0, 0, 2, ' ', 0)
	for _, y := range yearRules {
		all := map[string]bool{} // names of what was planted
		said := map[string]bool{}
		byAccount := y.rule == rules.NewAccountOldGoods
		for id := range found[y.rule] {
			if byAccount {
				id = sellers[id]
			}
			said[id] = true
		}
		for _, k := range y.kinds {
			n, right := 0, 0
			for _, p := range m.Planted {
				if p.Kind == k {
					all[p.Name] = true
					n++
					if said[p.Name] {
						right++
					}
				}
			}
			require.Positive(t, n, k)
			fmt.Fprintf(w, "%s\t%d planted\trecall %.3f\n", k, n, float64(right)/float64(n))
			assert.GreaterOrEqual(t, float64(right)/float64(n), y.recall, k)
		}
		right := 0
		for id := range said {
			// The rule for offers that are back finds those of a seller who is back
			// as well, and those of rings.
			if all[id] || y.rule == rules.RelistedAfterRemoval && (strings.HasPrefix(sellers[id], "Newcomer") || m.IsCopy(id)) {
				right++
			}
		}
		precision := float64(right) / float64(max(1, len(said)))
		fmt.Fprintf(w, "%s\t%d found\tprecision %.3f\n", y.rule.ID, len(said), precision)
		assert.GreaterOrEqual(t, precision, y.precision, y.rule.ID)
	}
	w.Flush()
	t.Logf("\n%s", out.String())
}
