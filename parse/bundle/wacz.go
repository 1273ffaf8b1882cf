package bundle

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"strings"

	"counterfoil/parse/listing"
)

// isWARCMember tells the web archives in a WACZ 1.1, 5.1.
func isWARCMember(name string) bool {
	return strings.HasPrefix(name, "archive/") && (strings.HasSuffix(name, ".warc") || strings.HasSuffix(name, ".warc.gz"))
}

func isPageList(name string) bool {
	return strings.HasPrefix(name, "pages/") && strings.HasSuffix(name, ".jsonl")
}

// openWACZ lists the records of all web archives in the zip as one, and marks
// those that its page lists name. The packed indexes are not used: they may not
// fit the records.
func openWACZ(r io.ReaderAt, size int64, b *builder) (store, error) {
	outer := &Archive{kind: KindZip, name: b.a.name, prefix: b.a.prefix, depth: b.a.depth, budget: b.a.budget}
	zb := &builder{a: outer, seen: map[string]int{}}
	z, err := openZip(r, size, zb)
	if err != nil {
		return nil, err
	}
	outer.store = z
	b.problems = append(b.problems, zb.problems...)
	s := newWARCStore(b.a)
	pages := map[string]bool{}
	memory := b.a.budget.lim.Memory
	for i, e := range outer.entries {
		name := strings.TrimPrefix(e.Name, outer.prefix)
		switch {
		case isWARCMember(name):
			var in io.ReaderAt
			var n int64
			if stored, ok := z.section(i); ok {
				in, n = stored, stored.Size()
			} else if packed, err := z.stream(i); err != nil {
				b.refuse(name, err)
				continue
			} else if in, n, err = inMemory(packed, memory); err != nil {
				b.refuse(name, err)
				continue
			} else {
				memory -= n
			}
			if err := s.scan(in, n, name, b); err != nil {
				b.partial(name, err)
			}
		case isPageList(name):
			data, _, err := z.read(i)
			if err != nil {
				b.partial(name, err)
				continue
			}
			listPages(data, name, pages, b)
		}
	}
	s.finish()
	for key := range pages {
		for _, i := range s.byURL[key] {
			if st := b.a.entries[i].Status; st == 0 || st < 300 {
				b.a.entries[i].Role = RolePage
			}
		}
	}
	return s, nil
}

// listPages reads a list of pages: one JSON object a line, the first of which
// describes the list.
func listPages(data []byte, name string, pages map[string]bool, b *builder) {
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, 1<<20)
	bad := 0
	for lines.Scan() {
		var page struct {
			URL string `json:"url"`
		}
		if len(bytes.TrimSpace(lines.Bytes())) == 0 {
			continue
		}
		if json.Unmarshal(lines.Bytes(), &page) != nil {
			bad++
			continue
		}
		if u := absolute(page.URL, nil); u != nil && len(pages) < b.a.budget.lim.Entries {
			pages[sameAddress(u)] = true
		}
	}
	if bad > 0 || lines.Err() != nil {
		b.problem(listing.Notice, name, "", "the list of pages is damaged; which entries are pages is not known for all", "")
	}
}
