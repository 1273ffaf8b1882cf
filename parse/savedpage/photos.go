package savedpage

import (
	"encoding/base64"
	"errors"
	"fmt"
	"math/bits"
	"net/url"
	"path"
	"sort"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/listing"
)

// Bounds of the pictures of a page.
const (
	maxDataURI = 8 << 20 // bytes, decoded
	maxRefs    = 8       // copies tried of one picture
	minSide    = 100     // pixels; smaller pictures are signs and previews
	maxAspect  = 4       // a longer picture is a banner
	samePhoto  = 3       // bits in which the fingerprints of two copies may differ
)

// picture is one picture of the page with the references to its copies, the
// most promising first.
type picture struct {
	refs    []string
	node    int32
	source  string
	path    string
	alt     string
	caption string
	sure    bool // shown in the item's gallery, not only near its heading
}

// photos reads the pictures of the item into l.
func (r *reader) photos(l *listing.Listing, images []value) {
	if r.opt.Photo == nil || r.res == nil {
		return
	}
	pics := r.pictures(images)
	if len(pics) == 0 {
		return
	}
	unsaved := 0
	for i := range pics {
		if len(l.Photos) >= r.opt.MaxPhotos {
			r.problem(listing.Notice, pics[i].node, pics[i].source, "", fmt.Sprintf("more than %d photos; the rest was not read", r.opt.MaxPhotos), "")
			unsaved++
			break
		}
		switch photo, err := r.photo(&pics[i]); {
		case err == nil:
			keepPhoto(l, photo)
		case errors.Is(err, errNoPhoto):
		case pics[i].sure:
			unsaved++
		}
	}
	l.PhotosKnown = len(l.Photos) > 0 && unsaved == 0
	if unsaved > 0 {
		r.problem(listing.Notice, pics[0].node, pics[0].source, "",
			fmt.Sprintf("%d of %d pictures of the item could not be read, so which views it shows is not known", unsaved, len(pics)),
			"save the page complete, with its pictures")
	}
}

// errNoPhoto marks a picture that is a sign or a banner.
var errNoPhoto = errors.New("too small or too long for a photo")

// photo opens the copies of a picture and keeps the largest.
func (r *reader) photo(pic *picture) (listing.Photo, error) {
	var best listing.Photo
	var failed error
	found, small := false, false
	for _, ref := range pic.refs {
		res, err := r.open(ref)
		if err != nil {
			r.refused(pic, ref, err)
			failed = err
			continue
		}
		photo, err := r.opt.Photo(res)
		if err != nil {
			r.out.Problems = append(r.out.Problems, listing.Problem{Severity: listing.Partial, File: r.file, Entry: clip(ref, 300),
				Place: r.place(candidate{source: pic.source, path: pic.path, node: pic.node}), Field: listing.PhotoFiles,
				Reason: "the photo was not read: " + err.Error()})
			failed = err
			continue
		}
		if min(photo.Width, photo.Height) < minSide || photo.Width > maxAspect*photo.Height || photo.Height > maxAspect*photo.Width {
			small = true
			continue
		}
		if !found || photo.Width*photo.Height > best.Width*best.Height {
			best, found = photo, true
		}
	}
	switch {
	case found:
	case small:
		return best, errNoPhoto
	default:
		return best, firstErr(failed, ErrNotSaved)
	}
	best.From = r.place(candidate{source: pic.source, path: pic.path, node: pic.node})
	best.Caption = firstOf(pic.caption, pic.alt)
	best.Views = views(pic.caption, pic.alt, pic.refs)
	return best, nil
}

func firstErr(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

// refused reports references that are not just absent: a page that points out
// of its folder is worth a line.
func (r *reader) refused(pic *picture, ref string, err error) {
	if errors.Is(err, ErrRemote) || errors.Is(err, ErrNotSaved) || r.seenRef[ref] {
		return
	}
	r.seenRef[ref] = true
	r.out.Problems = append(r.out.Problems, listing.Problem{Severity: listing.Refused, File: r.file, Entry: clip(ref, 300),
		Place: r.place(candidate{source: pic.source, path: pic.path, node: pic.node}), Field: listing.PhotoFiles,
		Raw: listing.Shorten(clip(ref, 1000), listing.RawLimit), Reason: err.Error()})
}

// keepPhoto adds a photo unless a copy of it is there; of two copies the
// larger stays.
func keepPhoto(l *listing.Listing, p listing.Photo) {
	for i := range l.Photos {
		q := &l.Photos[i]
		same := q.SHA256 == p.SHA256 && p.SHA256 != "" ||
			p.Printed && q.Printed && bits.OnesCount64(p.Fingerprint^q.Fingerprint) <= samePhoto && sameAspect(&p, q)
		if !same {
			continue
		}
		seen := append(q.Views, p.Views...)
		if p.Width*p.Height > q.Width*q.Height {
			p.Caption = firstOf(q.Caption, p.Caption)
			*q = p
		}
		q.Views = uniqueViews(seen)
		return
	}
	l.Photos = append(l.Photos, p)
}

func sameAspect(a, b *listing.Photo) bool {
	x, y := float64(a.Width*b.Height), float64(b.Width*a.Height)
	return x < 1.1*y && y < 1.1*x
}

func uniqueViews(list []listing.View) []listing.View {
	var out []listing.View
	seen := map[string]bool{}
	for _, v := range list {
		if !seen[v.Name] {
			seen[v.Name] = true
			out = append(out, v)
		}
	}
	return out
}

var errDataURI = errors.New("the data: address cannot be decoded")

func (r *reader) dataURI(ref string) (Resource, error) {
	head, body, ok := strings.Cut(ref[5:], ",")
	if !ok {
		return Resource{}, errDataURI
	}
	if len(body) > maxDataURI*3/2 {
		return Resource{}, ErrTooLarge
	}
	body, err := url.PathUnescape(body)
	if err != nil {
		return Resource{}, errDataURI
	}
	data := []byte(body)
	if strings.HasSuffix(strings.ToLower(strings.TrimSpace(head)), ";base64") {
		clean := strings.NewReplacer("\n", "", "\r", "", " ", "", "\t", "", "=", "").Replace(body)
		if data, err = base64.RawStdEncoding.DecodeString(clean); err != nil {
			return Resource{}, errDataURI
		}
	}
	if len(data) > maxDataURI {
		return Resource{}, ErrTooLarge
	}
	r.dataCount++
	return Resource{File: r.file, Entry: "data:" + strconv.Itoa(r.dataCount), Data: data}, nil
}

// pictures lists the pictures of the item: those of its gallery or, without
// one, those of its main part, and those that the structured data names.
func (r *reader) pictures(images []value) []picture {
	gallery, rest := r.pageImages()
	if len(gallery) == 0 {
		gallery = rest
	}
	out := gallery
	names := map[string]bool{}
	for _, p := range out {
		for _, ref := range p.refs {
			names[baseName(ref)] = true
		}
	}
	for _, v := range append(append([]value(nil), images...), r.facts.images...) {
		ref := v.text
		if v.item != nil {
			ref = v.item.text("contentUrl", "url", "@id", "thumbnailUrl")
		}
		if ref == "" || names[baseName(ref)] || isSign(ref) {
			continue
		}
		names[baseName(ref)] = true
		source := srcOG
		if v.path != "" && !strings.HasPrefix(v.path, "og:") {
			source = r.imageSource
		}
		alt := ""
		if n := r.p.nodes[v.node].n; n.DataAtom == atom.Img {
			alt = squeeze(attr(n, "alt"))
		}
		// A named picture whose file was not saved is the gallery's own under
		// another name more often than not: it is no gap.
		if len(gallery) > 0 && !r.canOpen(ref) {
			continue
		}
		out = append(out, picture{refs: []string{ref}, node: v.node, source: source, path: v.path, alt: alt})
	}
	if len(out) > 4*r.opt.MaxPhotos {
		out = out[:4*r.opt.MaxPhotos]
	}
	return out
}

func (r *reader) canOpen(ref string) bool {
	if r.res == nil {
		return false
	}
	_, err := r.open(ref)
	return err == nil
}

// pageImages lists the img elements of the main part, those of a gallery
// apart.
func (r *reader) pageImages() (shown, rest []picture) {
	p := r.p
	const outside = side | tile | chrome | basket | review | crumbs | noText | decor
	for _, i := range p.images {
		x := &p.nodes[i]
		if x.ctx&(outside|grid) != 0 {
			continue
		}
		inGallery := x.ctx&(gallery|thumb) != 0 || strings.Contains(attr(x.n, "itemprop"), "image")
		if !inGallery && (p.title < 0 || !r.nearTitle(i) || !bigEnough(x.n)) {
			continue
		}
		pic := r.picture(i)
		switch pic.sure = inGallery; {
		case len(pic.refs) == 0:
		case inGallery:
			shown = append(shown, pic)
		default:
			rest = append(rest, pic)
		}
	}
	return shown, rest
}

// nearTitle reports whether a picture shares a part of the page with the
// heading that is not the whole page.
func (r *reader) nearTitle(i int32) bool {
	p := r.p
	c := p.common(i, p.title)
	return !isBody(p.nodes[c].n) && (p.nodes[c].end-c) < int32(len(p.nodes))*3/4
}

// bigEnough believes stated sizes; an img without a size may be large.
func bigEnough(n *html.Node) bool {
	for _, k := range [...]string{"width", "height"} {
		if v, err := strconv.Atoi(strings.TrimSuffix(strings.TrimSpace(attr(n, k)), "px")); err == nil && v < minSide {
			return false
		}
	}
	return true
}

var zoomAttrs = []string{"data-zoom-image", "data-zoom-src", "data-zoom", "data-large-image", "data-large", "data-old-hires", "data-full",
	"data-full-src", "data-image-large", "data-original", "data-src", "data-lazy-src", "data-lazy", "data-image"}

// picture collects the references of one img element, larger copies first.
func (r *reader) picture(i int32) picture {
	p := r.p
	n := p.nodes[i].n
	pic := picture{node: i, source: srcPage, path: p.path(i), alt: squeeze(clip(firstOf(attr(n, "alt"), attr(n, "title")), 300))}
	var refs []string
	if a := n.Parent; a != nil && a.DataAtom == atom.A && isImageName(p.href(a)) {
		refs = append(refs, p.href(a))
	}
	if pa := n.Parent; pa != nil && pa.DataAtom == atom.Picture {
		for c := pa.FirstChild; c != nil; c = c.NextSibling {
			if c.DataAtom == atom.Source {
				refs = append(refs, srcset(firstOf(attr(c, "srcset"), attr(c, "data-srcset")))...)
			}
		}
	}
	for _, k := range zoomAttrs {
		refs = append(refs, attr(n, k))
	}
	refs = append(refs, srcset(firstOf(attr(n, "srcset"), attr(n, "data-srcset")))...)
	refs = append(refs, longAttr(n, "src"))
	seen := map[string]bool{}
	for _, ref := range refs {
		ref = strings.TrimSpace(ref)
		if ref == "" || ref == "about:blank" || seen[ref] || isSign(ref+" "+pic.alt) || len(pic.refs) >= maxRefs || strings.HasPrefix(ref, "{") || strings.HasPrefix(ref, "[") {
			continue
		}
		seen[ref] = true
		pic.refs = append(pic.refs, ref)
	}
	pic.caption = r.caption(i)
	return pic
}

// longAttr is attr without the bound, for data: addresses.
func longAttr(n *html.Node, key string) string {
	for i := range n.Attr {
		if n.Attr[i].Key == key {
			return n.Attr[i].Val
		}
	}
	return ""
}

// caption gives the figcaption of the figure around an image.
func (r *reader) caption(i int32) string {
	p := r.p
	for j, up := p.nodes[i].parent, 0; j > 0 && up < 4; j, up = p.nodes[j].parent, up+1 {
		if p.nodes[j].n.DataAtom != atom.Figure {
			continue
		}
		text := ""
		p.elements(j, func(k int32, n *html.Node) {
			if n.DataAtom == atom.Figcaption && text == "" {
				text = p.text(k, 300)
			}
		})
		return text
	}
	return ""
}

// srcset gives the addresses of a srcset attribute, the largest first.
func srcset(s string) []string {
	type entry struct {
		ref  string
		size float64
	}
	var list []entry
	for rest := s; rest != "" && len(list) < 50; {
		rest = strings.TrimLeft(rest, " \t\r\n,")
		ref := rest
		if i := strings.IndexAny(rest, " \t\r\n"); i >= 0 {
			ref, rest = rest[:i], rest[i:]
		} else {
			rest = ""
		}
		e := entry{ref: strings.TrimRight(ref, ","), size: 1}
		if !strings.HasSuffix(ref, ",") {
			var d string
			d, rest, _ = strings.Cut(rest, ",")
			d = strings.TrimSpace(d)
			if v, err := strconv.ParseFloat(strings.TrimRight(d, "wxh"), 64); err == nil {
				e.size = v
			}
		}
		if e.ref != "" {
			list = append(list, e)
		}
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].size > list[b].size })
	out := make([]string, 0, len(list))
	for _, e := range list {
		out = append(out, e.ref)
	}
	return out
}

func isImageName(s string) bool {
	u, err := url.Parse(s)
	if err != nil {
		return false
	}
	switch strings.ToLower(path.Ext(u.Path)) {
	case ".jpg", ".jpeg", ".png", ".webp", ".avif":
		return true
	}
	return false
}

// isSign tells logos, icons, badges and placeholders by their names.
func isSign(s string) bool {
	if len(s) > 5 && strings.EqualFold(s[:5], "data:") {
		return strings.HasPrefix(strings.ToLower(s[5:]), "image/svg") || len(s) < 400
	}
	s = strings.ToLower(clip(s, 600))
	if i := strings.IndexByte(s, '?'); i >= 0 && strings.IndexByte(s, ' ') < 0 {
		s = s[:i]
	}
	if strings.HasSuffix(s, ".svg") || strings.HasSuffix(s, ".ico") {
		return true
	}
	notLetter := func(c rune) bool { return !unicode.IsLetter(c) }
	for w := range strings.FieldsFuncSeq(s[strings.LastIndexByte(s, '/')+1:], notLetter) {
		switch w {
		case "logo", "logos", "icon", "icons", "ico", "badge", "banner", "sprite", "spacer", "pixel", "blank", "placeholder",
			"payment", "payments", "avatar", "flag", "loader", "loading", "spinner", "captcha", "tracking", "social", "noimage":
			return true
		}
	}
	return false
}
