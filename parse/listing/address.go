package listing

import (
	"net/url"
	"strings"
)

// Address splits the text of a URL field into the host, in lower case and
// without "www.", and the address by which two captures of one listing are
// known: host, path and query without what only tracks the visitor. The
// address is "" when the text names no more than a site; both are "" when it
// names no host.
func Address(raw string) (host, address string) {
	if raw == "" {
		return "", ""
	}
	u, err := url.Parse(raw)
	if err != nil || u.Host == "" {
		return "", ""
	}
	host = strings.TrimPrefix(strings.ToLower(u.Hostname()), "www.")
	path := strings.TrimSuffix(u.EscapedPath(), "/")
	q := url.Values{}
	if u.RawQuery != "" {
		q = u.Query()
	}
	for k := range q {
		if strings.HasPrefix(k, "utm_") || k == "ref" || k == "gclid" || k == "fbclid" {
			q.Del(k)
		}
	}
	switch {
	case len(q) > 0:
		return host, host + path + "?" + q.Encode()
	case path == "":
		return host, ""
	}
	return host, host + path
}
