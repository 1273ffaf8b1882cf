package bundle

import (
	"net/url"
	"strings"
)

// absolute resolves a reference, nil if there is none or it is malformed.
func absolute(ref string, base *url.URL) *url.URL {
	if ref == "" {
		return nil
	}
	u, err := url.Parse(ref)
	if err != nil {
		// Pages hold addresses with stray percent signs; browsers take them.
		if u, err = url.Parse(strings.ReplaceAll(ref, "%", "%25")); err != nil {
			return nil
		}
	}
	if u.IsAbs() || base == nil {
		return u
	}
	return base.ResolveReference(u)
}

func withoutFragment(u *url.URL) string {
	plain := *u
	plain.Fragment, plain.RawFragment = "", ""
	return plain.String()
}

// sameAddress is a form in which two spellings of one address are equal: host
// in lower case, without the default port, http like https, escapes in one way,
// no fragment.
func sameAddress(u *url.URL) string {
	plain := url.URL{Host: strings.ToLower(u.Host), Path: u.Path, Opaque: u.Opaque, RawQuery: unescaped(u.RawQuery)}
	switch scheme := strings.ToLower(u.Scheme); scheme {
	case "http", "https":
		plain.Host = strings.TrimSuffix(strings.TrimSuffix(plain.Host, ":80"), ":443")
		if plain.Path == "" {
			plain.Path = "/"
		}
	default:
		plain.Scheme = scheme
	}
	return plain.String()
}
