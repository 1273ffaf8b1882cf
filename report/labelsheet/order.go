package labelsheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
	"counterfoil/rules/claims"
	"counterfoil/rules/labels"
	"counterfoil/rules/settings"
)

// row is one distinct picture.
type row struct {
	photo    *listing.Photo
	listings []int // numbers, by rank; none for a label of another batch
	worth    float64
	where    string
	known    []string // views that are known without a label
	views    []string // labelled
	marks    []string
	note     string
}

// catalogueShare is what a label on a catalogue picture is worth: it shows no
// particular unit.
const catalogueShare = 0.2

// rowsOf lists the pictures in the order in which labels are worth most, then by
// the best rank, and at the end the labels that fit no picture of the batch. all
// is how many pictures there are.
//
// A picture's worth is the sum over the listings that show it of the decibans
// that labels could still decide there, divided by the number of the listing's
// pictures that nobody has looked at, and a fifth of it for a catalogue picture.
// A picture that was looked at is worth nothing.
func rowsOf(res *rules.Result, set *labels.Set) (rows []row, all int) {
	f := res.Facts
	ranks := make([]int, len(f.Listings))
	open := make([]float64, len(f.Listings))
	for _, j := range res.Ranked {
		ranks[j.N] = j.Rank
		open[j.N] = undecided(res, j)
	}
	done := make([]bool, len(f.PhotoOf))
	add := func(photo int, members []int, catalogue bool) {
		ref := f.PhotoOf[photo]
		r := row{photo: f.Photo(ref)}
		for _, m := range members {
			done[m] = true
			if n := f.PhotoOf[m].Listing; !slices.Contains(r.listings, n) {
				r.listings = append(r.listings, n)
			}
		}
		slices.SortFunc(r.listings, func(a, b int) int { return ranks[a] - ranks[b] })
		if !lookedAt(r.photo) {
			for _, n := range r.listings {
				r.worth += open[n]
			}
			if catalogue {
				r.worth *= catalogueShare
			}
		}
		r.worth = math.Round(r.worth*10) / 10
		r.describe(f, ranks, len(members))
		rows = append(rows, r)
	}
	for _, g := range f.Photos.Groups() {
		members := make([]int, len(g.Members))
		for i, m := range g.Members {
			members[i] = m.Photo
		}
		add(g.Members[0].Photo, members, g.Catalogue)
	}
	for n := range f.PhotoOf {
		if !done[n] && f.Photo(f.PhotoOf[n]).SHA256 != "" {
			add(n, []int{n}, false)
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int {
		return cmp.Or(cmp.Compare(b.worth, a.worth), ranks[a.listings[0]]-ranks[b.listings[0]], cmp.Compare(a.photo.SHA256, b.photo.SHA256))
	})
	all = len(rows)
	rows = rows[:min(len(rows), maxRows)]
	if set != nil {
		rows = append(rows, keep(rows, set)...)
	}
	return rows, all
}

// keep completes the rows with what earlier sheets noted, and gives the labels
// of pictures that are not among them, so that nothing said is lost.
func keep(rows []row, set *labels.Set) (others []row) {
	used := map[string]bool{}
	for i := range rows {
		if l, _ := set.Find(rows[i].photo); l != nil {
			rows[i].note = l.Note
			used[l.SHA256] = true
		}
	}
	for _, l := range set.All() {
		if used[l.SHA256] {
			continue
		}
		r := row{photo: &listing.Photo{SHA256: l.SHA256, Fingerprint: l.Fingerprint, Mirror: l.Mirror, Printed: l.Printed, Detail: l.Detail, Looks: l.Looks},
			where: "a picture of an earlier batch", note: l.Note}
		for _, name := range l.Views {
			r.photo.Views = append(r.photo.Views, listing.View{Name: name, By: "label", Text: name})
		}
		r.split()
		others = append(others, r)
	}
	return others
}

func (r *row) describe(f *rules.Facts, ranks []int, photos int) {
	best := f.Listings[r.listings[0]]
	r.where = fmt.Sprintf("%s, %s; best rank %d\n%s\n%s", report.Plural(photos, "photo"), report.Plural(len(r.listings), "listing"),
		ranks[r.listings[0]], cmp.Or(best.Value(listing.Title), best.Key), report.FileText(r.photo.File, r.photo.Entry))
	r.split()
}

// split parts the words of the photo into known views and labels.
func (r *row) split() {
	for _, v := range r.photo.Views {
		switch isMark := slices.ContainsFunc(rules.Marks, func(m struct{ Word, Meaning string }) bool { return m.Word == v.Name }); {
		case v.By != "label":
			r.known = append(r.known, v.Name)
		case isMark:
			r.marks = append(r.marks, v.Name)
		default:
			r.views = append(r.views, v.Name)
		}
	}
}

func (r *row) seen(maker, feature string) string {
	for _, k := range r.photo.Looks {
		if k.Maker == maker && k.Feature == feature {
			return k.Seen
		}
	}
	return ""
}

// makers lists the profiles with features of the makers whose parts the picture
// is used for, and of those that it has labels for.
func (r *row) makers(res *rules.Result) []*settings.Maker {
	var list []*settings.Maker
	add := func(m *settings.Maker) {
		if m != nil && len(m.Features) > 0 && !slices.Contains(list, m) {
			list = append(list, m)
		}
	}
	for _, n := range r.listings {
		add(res.Facts.Parts[n].Maker)
	}
	for _, k := range r.photo.Looks {
		add(res.Facts.Makers.Named(k.Maker))
	}
	return list
}

func lookedAt(p *listing.Photo) bool {
	return len(p.Looks) > 0 || slices.ContainsFunc(p.Views, listing.View.BySight)
}

// labelNeeds are what labels give.
var labelNeeds = []rules.Need{rules.NeedMarks, rules.NeedViews, rules.NeedLooks}

// undecided is the sum of the weights of the rules that labels could make speak
// against a listing and that have not spoken yet, for each of its pictures that
// nobody has looked at. A copy that says so deceives nobody and needs no label.
func undecided(res *rules.Result, j *rules.Judged) float64 {
	if res.Facts.Claims.Summary(j.N).Claim == claims.ClaimCopy {
		return 0
	}
	unseen := 0
	for i := range j.Listing.Photos {
		if !lookedAt(&j.Listing.Photos[i]) {
			unseen++
		}
	}
	if unseen == 0 {
		return 0
	}
	sum := 0.0
	for _, r := range res.Rules {
		spoken := slices.ContainsFunc(j.Findings, func(f rules.Finding) bool { return f.Rule == r })
		if r.Weight > 0 && !spoken && slices.ContainsFunc(r.Needs, func(n rules.Need) bool { return slices.Contains(labelNeeds, n) }) {
			sum += r.Weight
		}
	}
	return sum / float64(unseen)
}
