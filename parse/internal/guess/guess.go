// Package guess guesses the encoding of text from its letters, the same way
// every time.
package guess

import (
	"cmp"
	"slices"
	"strings"

	"github.com/saintfish/chardet"
)

// Text lists the encodings that a plain text may have, the likeliest first.
func Text(data []byte) []chardet.Result { return ordered(chardet.NewTextDetector(), data) }

// HTML is Text for markup, whose tags do not count.
func HTML(data []byte) []chardet.Result { return ordered(chardet.NewHtmlDetector(), data) }

// ordered sorts equal guesses by name: the detector tries all encodings at
// once, and gives equal ones in the order in which they were done.
func ordered(d *chardet.Detector, data []byte) []chardet.Result {
	list, err := d.DetectAll(data)
	if err != nil {
		return nil
	}
	slices.SortFunc(list, func(a, b chardet.Result) int {
		return cmp.Or(cmp.Compare(b.Confidence, a.Confidence), strings.Compare(a.Charset, b.Charset), strings.Compare(a.Language, b.Language))
	})
	return list
}
