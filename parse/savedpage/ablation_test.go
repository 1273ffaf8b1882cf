package savedpage

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/listing"
)

// without is a page of which kinds of statements were removed.
type without struct {
	json, micro, meta, state bool
}

// ablations are the pages that are measured: as saved, without one kind of
// statement for machines, without three, and what a buyer sees alone.
var ablations = []struct {
	name string
	without
}{
	{"as saved", without{}},
	{"no json-ld", without{json: true}},
	{"no microdata", without{micro: true}},
	{"no meta", without{meta: true}},
	{"no state", without{state: true}},
	{"none of the first three", without{json: true, micro: true, meta: true}},
	{"visible page alone", without{true, true, true, true}},
}

// TestAblation reads the reference pages again and again, each time without one
// kind of statement for machines, as a shop that does not make it would have
// saved them, and prints the F1 of each field. It measures how much hangs on a
// single source; TestReferencePages holds the comparison. It is long, so it
// runs only with ABLATION=1; ABLATION=errors prints every difference of the last row.
func TestAblation(t *testing.T) {
	mode := os.Getenv("ABLATION")
	if mode == "" {
		t.Skip("a measurement: set ABLATION=1 to run it")
	}
	dir := reference(t, "pages")
	truth := readTruth(t, filepath.Join(dir, "truth.json"))
	var ids []string
	for id := range truth {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	docs := map[string][]byte{}
	for _, id := range ids {
		docs[id], _, _ = Decode(readGzip(t, filepath.Join(dir, "html", id+".html.gz")), "")
	}
	head := fmt.Sprintf("%-25s", "")
	for _, f := range scoredFields {
		head += fmt.Sprintf("%20s", f.name)
	}
	t.Log(head)
	for _, a := range ablations {
		scores := make([]score, len(scoredFields))
		for _, id := range ids {
			res := Read(a.remove(t, docs[id]), id, "", nil, Options{})
			l := &listing.Listing{}
			if len(res.Listings) == 1 {
				l = res.Listings[0]
			} else if mode == a.name {
				t.Logf("%.8s %s, %d listings", id, res.Kind, len(res.Listings))
			}
			for k, f := range scoredFields {
				line := scores[k].count(f, predicted(l, f.field), accepted(truth[id][f.name]), l)
				if line != "" && mode == a.name {
					t.Logf("%.8s %-12s %s", id, f.name, line)
				}
			}
		}
		row := fmt.Sprintf("%-25s", a.name)
		for k := range scores {
			s := &scores[k]
			row += fmt.Sprintf("  %.3f (p%.2f r%.2f)", s.f1(), s.precision(), s.recall())
		}
		t.Log(row)
	}
}

// remove gives the page without what w names.
func (w without) remove(t *testing.T, doc []byte) []byte {
	root, err := html.Parse(bytes.NewReader(doc))
	require.NoError(t, err)
	var drop []*html.Node
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		ld := n.DataAtom == atom.Script && isLD(attr(n, "type"))
		name := attr(n, "property") + attr(n, "name")
		switch {
		case ld && w.json, n.DataAtom == atom.Script && !ld && w.state:
			drop = append(drop, n)
		case n.DataAtom == atom.Meta && isMetaTag(name):
			if w.meta {
				drop = append(drop, n)
			}
			continue
		}
		kept := n.Attr[:0]
		for _, a := range n.Attr {
			switch a.Key {
			case "itemscope", "itemprop", "itemtype", "itemref", "itemid", "typeof", "property", "vocab":
				if w.micro {
					continue
				}
			}
			if w.state && strings.HasPrefix(a.Key, "data-") {
				continue
			}
			kept = append(kept, a)
		}
		n.Attr = kept
	}
	for _, n := range drop {
		n.Parent.RemoveChild(n)
	}
	var out bytes.Buffer
	require.NoError(t, html.Render(&out, root))
	return out.Bytes()
}
