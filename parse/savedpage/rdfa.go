package savedpage

import "strings"

const srcRDFa = "rdfa"

// rdfa reads the items of RDFa Lite 1.1: vocab, typeof, property, resource and
// prefix. Prefixes are dropped, names are taken as those of schema.org.
func (r *reader) rdfa() []*thing {
	m := micro{r: r, source: srcRDFa, prop: "property", adopted: map[int32]bool{}}
	keep := r.loose
	m.crawl(r.p.rdfa, nil)
	r.loose = keep // a property without an item is no statement in RDFa
	return m.all()
}

// isMetaTag tells the names of page-level meta tags, which use the property
// attribute without describing an RDFa item.
func isMetaTag(name string) bool {
	for _, p := range []string{"og:", "product:", "twitter:", "fb:", "article:", "al:", "business:", "place:", "book:", "video:"} {
		if strings.HasPrefix(name, p) {
			return true
		}
	}
	return false
}
