package savedpage

import (
	"errors"
	"net/url"
	"path"
	"slices"
	"strings"
)

// open reads a reference: a data: address itself, all else through Resources,
// first as it stands, then against the page's base, then as the copy that a
// browser saves beside the page.
func (r *reader) open(ref string) (Resource, error) {
	if len(ref) > 5 && strings.EqualFold(ref[:5], "data:") {
		return r.dataURI(ref)
	}
	res, err := r.res.Open(ref)
	if err == nil || errors.Is(err, ErrOutside) || errors.Is(err, ErrTooLarge) {
		return res, err
	}
	if abs := resolveRef(firstOf(r.p.base, r.address()), ref); abs != "" && abs != ref {
		if res, again := r.res.Open(abs); again == nil {
			return res, nil
		}
	}
	for _, folder := range r.folders() {
		if name := baseName(ref); name != "" {
			if res, again := r.res.Open(folder + name); again == nil {
				return res, nil
			}
		}
	}
	return res, err
}

func resolveRef(base, ref string) string {
	b, err := url.Parse(base)
	if err != nil || base == "" {
		return ""
	}
	u, err := b.Parse(ref)
	if err != nil {
		return ""
	}
	return u.String()
}

// folders names the folders into which a browser saved the page's files: those
// that its pictures, scripts and style sheets refer to, and the one named after
// the page when a browser says that it saved it. A folder that only happens to
// have such a name holds other pictures.
func (r *reader) folders() []string {
	if r.saved != nil {
		return r.saved
	}
	r.saved = []string{}
	name := path.Base(strings.ReplaceAll(r.file, "\\", "/"))
	if name = strings.TrimSuffix(name, path.Ext(name)); name == "." {
		name = ""
	}
	if name != "" && r.facts.savedFrom != "" {
		r.saved = append(r.saved, url.PathEscape(name)+"_files/")
	}
	for _, i := range r.p.images {
		r.savedIn(attr(r.p.nodes[i].n, "src"), "")
	}
	for _, i := range r.p.scripts {
		r.savedIn(attr(r.p.nodes[i].n, "src"), name)
	}
	for _, i := range r.p.head {
		r.savedIn(attr(r.p.nodes[i].n, "href"), name)
	}
	return r.saved
}

// savedIn notes the folder of a reference. With a page's name it must be one
// that begins so or ends in "_files", for a page made by hand has folders of its own.
func (r *reader) savedIn(ref, page string) {
	folder, _, ok := strings.Cut(strings.TrimPrefix(ref, "./"), "/")
	if !ok || folder == "" || strings.ContainsAny(folder, ":.?%") && !strings.Contains(folder, "_") || len(r.saved) >= 3 {
		return
	}
	plain, err := url.PathUnescape(folder)
	if page != "" && !strings.HasSuffix(folder, "_files") && (err != nil || len(plain) <= len(page) || !strings.HasPrefix(plain, page)) {
		return
	}
	if folder += "/"; !slices.Contains(r.saved, folder) {
		r.saved = append(r.saved, folder)
	}
}

func baseName(ref string) string {
	u, err := url.Parse(ref)
	if err != nil {
		return ""
	}
	name := path.Base(u.Path)
	if name == "." || name == "/" || name == ".." {
		return ""
	}
	return url.PathEscape(name)
}
