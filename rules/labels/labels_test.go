package labels

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/rules/settings"
)

func sha(n int) string { return fmt.Sprintf("%064x", n) }

func photo(n int, fp uint64) listing.Photo {
	return listing.Photo{SHA256: sha(n), Fingerprint: fp, Mirror: ^fp, Printed: true}
}

func words(t *testing.T) Words {
	makers, err := settings.ReadMakers("m.yaml", []byte(`makers:
  - name: Halden
    also: [HLD]
    features: [{id: nut, view: wheel-nut, what: nut, genuine: round, copy: hexagon}]
`))
	require.NoError(t, err)
	return Words{Views: listing.Views, Marks: []string{"mark-ground", "screenshot"}, OfFile: []string{"screenshot"}, Makers: makers, Version: "v-2"}
}

// A label goes to the same file, to copies within the bound and to mirrored
// ones, and no further; what belongs to one file stays with it.
func TestApply(t *testing.T) {
	const fp = 0x00ff00ff00ff00ff
	set := NewSet([]string{"screenshot"})
	set.Add(Label{SHA256: sha(1), Fingerprint: fp, Mirror: ^uint64(fp), Printed: true,
		Views: []string{"wheel-nut", "screenshot"}, Looks: []listing.Look{{Maker: "Halden", Feature: "nut", Seen: listing.SeenCopy}}})
	set.Add(Label{SHA256: sha(9), Views: []string{"box-label"}})
	mirrored := photo(4, ^uint64(fp))
	flat := listing.Photo{SHA256: sha(9)}
	tagged := photo(1, fp)
	tagged.Views = []listing.View{{Name: "wheel-nut", By: "tag"}}
	batch := []*listing.Listing{
		{Photos: []listing.Photo{photo(1, fp), photo(2, fp^0x7ff)}},   // 11 bits
		{Photos: []listing.Photo{photo(3, fp^0xfff), mirrored}},       // 12 bits
		{Photos: []listing.Photo{flat, tagged, photo(7, 0xf0f0f0f0)}}, // far
	}
	assert.Equal(t, Applied{Labels: 2, Used: 2, Photos: 5, Listings: 3}, set.Apply(batch))
	views := func(l, p int) string {
		var names []string
		for _, v := range batch[l].Photos[p].Views {
			names = append(names, v.Name+" by "+v.By)
		}
		return strings.Join(names, ", ")
	}
	assert.Equal(t, "wheel-nut by label, screenshot by label", views(0, 0))
	assert.Equal(t, "wheel-nut by label", views(0, 1))
	assert.Empty(t, views(1, 0))
	assert.Equal(t, "wheel-nut by label", views(1, 1))
	assert.Equal(t, "box-label by label", views(2, 0))
	assert.Equal(t, "wheel-nut by tag, screenshot by label", views(2, 1))
	assert.Empty(t, views(2, 2))
	assert.Equal(t, []listing.Look{{Maker: "Halden", Feature: "nut", Seen: "as-copy"}}, batch[1].Photos[1].Looks)
}

// A label is carried to a crop, in a later run too: a photo one of whose crops has
// the fingerprint of the labelled picture, and that correlates with it.
func TestLabelOfACrop(t *testing.T) {
	labelled, crop := photo(1, 0xff), photo(2, 0xff<<40)
	labelled.Detail, crop.Detail = &listing.Detail{}, &listing.Detail{}
	for i := range labelled.Detail.Luma {
		labelled.Detail.Luma[i] = uint8(i * i * 7919 >> 5)
	}
	crop.Detail.Luma = labelled.Detail.Luma
	crop.Detail.Crops[3] = labelled.Fingerprint
	text, err := labelled.Detail.MarshalText()
	require.NoError(t, err)
	set := NewSet(nil)
	r := NewReader("l.xlsx", words(t), set)
	feed(r, SheetPhotos, []string{"SHA-256", "View", "Fingerprint v-2", "Mirror v-2", "Detail v-2"},
		[]string{sha(1), "wheel-nut", fmt.Sprintf("%016x", labelled.Fingerprint), fmt.Sprintf("%016x", labelled.Mirror), string(text)})
	require.NoError(t, r.Err())
	l, same := set.Find(&crop)
	require.NotNil(t, l)
	assert.False(t, same)
	assert.Equal(t, []string{"wheel-nut"}, l.Views)
	for i := range crop.Detail.Luma {
		crop.Detail.Luma[i] = uint8(i * 31)
	}
	l, _ = set.Find(&crop)
	assert.Nil(t, l, "the fingerprint alone does not do")
}

func feed(r *Reader, sheet string, rows ...[]string) {
	for i, cells := range rows {
		if !r.Row(sheet, i+1, cells) {
			return
		}
	}
}

func TestReader(t *testing.T) {
	set := NewSet(nil)
	r := NewReader("l.xlsx", words(t), set)
	feed(r, "Words", []string{"SHA-256"}, []string{"no label"})
	feed(r, SheetPhotos, []string{"Photos to label"},
		[]string{"Note", "SHA-256", "View", "View 2", "Mark", "Fingerprint v-2", "Mirror v-2"},
		[]string{"", sha(1), "Wheel-Nut", "", "mark-ground", "00000000000000ff", "ff00000000000000"},
		[]string{"", sha(2)},
		[]string{"worn", sha(3)},
		[]string{"", sha(1), "box-label"}) // the later row counts
	feed(r, SheetFeatures, []string{"Maker", "Feature", "Seen", "SHA-256"},
		[]string{"HLD", "nut", "as-copy", sha(1)}, []string{"Halden", "nut", "", sha(2)}, []string{"Halden", "nut", "as-genuine", sha(1)})
	require.NoError(t, r.Err())
	assert.Equal(t, []Label{
		{SHA256: sha(1), Fingerprint: 0xff, Mirror: 0xff << 56, Printed: true, Views: []string{"box-label"},
			Looks: []listing.Look{{Maker: "Halden", Feature: "nut", Seen: "as-genuine"}}},
		{SHA256: sha(3), Note: "worn"},
	}, set.All())
}

// A sheet with fingerprints of another version, or that does not name theirs,
// serves the very files that were looked at, and the run says so once.
func TestSheetOfAnotherVersion(t *testing.T) {
	for head, its := range map[string]string{
		"Fingerprint v-1": `the fingerprints in l.xlsx are of version "v-1", those of this program of version "v-2"`,
		"Fingerprint":     `the fingerprints in l.xlsx do not say of what version they are`,
	} {
		set := NewSet(nil)
		r := NewReader("l.xlsx", words(t), set)
		row := []string{sha(1), "wheel-nut", "00000000000000ff", "ff00000000000000", "not read"}
		heads := []string{"SHA-256", "View", head, strings.Replace(head, "Fingerprint", "Mirror", 1), strings.Replace(head, "Fingerprint", "Detail", 1)}
		feed(r, SheetPhotos, heads, row)
		feed(r, SheetFeatures, append(heads[:1:1], "Maker", "Feature", "Seen", head), []string{sha(2), "Halden", "nut", "as-copy", "ff"})
		require.NoError(t, r.Err())
		require.Len(t, set.Notes(), 1)
		assert.Contains(t, set.Notes()[0], its)
		assert.Contains(t, set.Notes()[0], "by SHA-256")
		copied, file := photo(3, 0xff), photo(1, 0xff)
		copied.Mirror = 0xff << 56
		l, _ := set.Find(&copied)
		assert.Nil(t, l)
		l, same := set.Find(&file)
		require.NotNil(t, l)
		assert.True(t, same)
		assert.Equal(t, []string{"wheel-nut"}, l.Views)
	}
}

func TestReaderNamesTheCell(t *testing.T) {
	for want, rows := range map[string][][]string{
		`l.xlsx: sheet Photos, row 2, column View: "plat" is no view`: {{"SHA-256", "View"}, {sha(1), "plat"}},
		`row 2, column SHA-256: "12" is no SHA-256`:                   {{"SHA-256", "View"}, {"12", "wheel-nut"}},
		`column Fingerprint: fingerprint and mirror are not 16`:       {{"SHA-256", "View", "Fingerprint v-2"}, {sha(1), "wheel-nut", "zz"}},
		`column Detail: "zz" is not the detail of a picture`:          {{"SHA-256", "View", "Fingerprint v-2", "Mirror v-2", "Detail v-2"}, {sha(1), "wheel-nut", "ff", "ff00", "zz"}},
		`l.xlsx: no sheet Photos or Features with a column SHA-256`:   {{"a"}},
	} {
		r := NewReader("l.xlsx", words(t), NewSet(nil))
		feed(r, SheetPhotos, rows...)
		assert.ErrorContains(t, r.Err(), want)
	}
	for want, row := range map[string][]string{
		`column Seen: "fine" is none of as-genuine`:                {"Halden", "nut", "fine", sha(1)},
		`column Maker: no profile of "Orlo"`:                       {"Orlo", "nut", "as-copy", sha(1)},
		`column Feature: the profile of Halden has no feature "x"`: {"Halden", "x", "as-copy", sha(1)},
	} {
		r := NewReader("l.xlsx", words(t), NewSet(nil))
		feed(r, SheetFeatures, []string{"Maker", "Feature", "Seen", "SHA-256"}, row)
		assert.ErrorContains(t, r.Err(), want)
	}
}

func FuzzReader(f *testing.F) {
	f.Add("SHA-256\tView\tMark\n" + sha(1) + "\twheel-nut\tscreenshot")
	f.Fuzz(func(t *testing.T, text string) {
		r := NewReader("l.xlsx", Words{Views: listing.Views}, NewSet(nil))
		for i, line := range strings.Split(text, "\n") {
			r.Row(SheetPhotos, i+1, strings.Split(line, "\t"))
			r.Row(SheetFeatures, i+1, strings.Split(line, "\t"))
		}
		_ = r.Err()
		r.set.Apply([]*listing.Listing{{Photos: []listing.Photo{photo(1, 3)}}})
	})
}
