package bundle

import (
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSharedArchive reads one archive from several goroutines.
func TestSharedArchive(t *testing.T) {
	records := shopRecords()
	for name, data := range map[string][]byte{
		"zip":  zipOf(t, file{"a.html", "<html>"}, file{"b.html", strings.Repeat("<p>", 1000)}),
		"warc": gzipOf(t, records[2:7]...),
		"gzip": gzipOf(t, "title,price\n"),
		"page": message("MIME-Version: 1.0", "Content-Type: multipart/related; boundary=b", "", "--b", "Content-Type: text/html", "", "<html>", "--b--"),
	} {
		t.Run(name, func(t *testing.T) {
			a, problems := openBytes(data, "x")
			require.NotNil(t, a)
			require.Empty(t, problems)
			var wg sync.WaitGroup
			for range 4 {
				wg.Go(func() {
					for _, e := range a.Entries() {
						_, err := a.Read(e.Name)
						assert.NoError(t, err)
						_, _ = a.Resolve(e.Name, "b.html")
					}
				})
			}
			wg.Wait()
		})
	}
}
