package photo

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"counterfoil/parse/listing"
)

// Kind says why a file gave no picture.
type Kind int

const (
	NotImage   Kind = iota + 1 // the bytes are of no picture format read here
	Truncated                  // the file ends before the picture does
	TooLarge                   // more pixels or memory than MaxPixels, MaxMemory allow
	Damaged                    // the picture breaks the rules of its format
	NotDecoded                 // a sound format of which only bytes are read, such as HEIC
)

// Error is the error of Read and Thumbnail.
type Error struct {
	Kind   Kind
	Format string // as in listing.Photo, "" when unknown
	Reason string // a plain statement: lower case, no full stop
	Err    error  // the decoder's own error, or nil
}

// Error prints the statement alone; the decoder's words are in Unwrap.
func (e *Error) Error() string { return e.Reason }

// Unwrap returns the decoder's error.
func (e *Error) Unwrap() error { return e.Err }

// Problem turns the error into a line of the report. File, entry and place are
// the caller's to fill in.
func (e *Error) Problem() listing.Problem {
	p := listing.Problem{Severity: listing.Partial, Reason: e.Reason}
	switch e.Kind {
	case NotImage:
		p.Severity = listing.Refused
		p.Hint = "save the page again with its pictures"
	case Truncated, Damaged:
		p.Hint = "save the picture again; the bytes are hashed as they are"
	case TooLarge:
		p.Hint = "give a smaller copy; the bytes are hashed as they are"
	case NotDecoded:
		p.Hint = "give a JPEG or PNG copy beside it to have it compared"
	}
	return p
}

func notDecoded(format string) *Error {
	return &Error{Kind: NotDecoded, Format: format,
		Reason: strings.ToUpper(format) + " pictures are not decoded: only the hash of the bytes is compared"}
}

func tooLarge(format string, w, h int, need int64) *Error {
	if int64(w)*int64(h) > MaxPixels {
		return &Error{Kind: TooLarge, Format: format,
			Reason: fmt.Sprintf("the picture has %d x %d pixels, more than the limit of %d million", w, h, MaxPixels/1_000_000)}
	}
	return &Error{Kind: TooLarge, Format: format,
		Reason: fmt.Sprintf("the picture needs %d MB to decode, more than the limit of %d MB", need>>20, MaxMemory>>20)}
}

// decoderError sorts a decoder's error into truncated, unsupported and damaged.
// An unsupported variant counts as damaged only if its format allows no such
// thing, which the decoders do not tell: it is reported as not decoded.
func decoderError(format string, err error) *Error {
	e := &Error{Kind: Damaged, Format: format, Err: err}
	text := strings.ToLower(err.Error())
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF), strings.Contains(text, "unexpected eof"),
		strings.Contains(text, "not enough pixel data"), strings.Contains(text, "too short"):
		e.Kind = Truncated
		e.Reason = "the " + strings.ToUpper(format) + " picture is cut short"
	case strings.Contains(text, "unsupported"), strings.Contains(text, "not implemented"):
		e.Kind = NotDecoded
		e.Reason = "this variant of " + strings.ToUpper(format) + " is not decoded: only the hash of the bytes is compared"
	default:
		e.Reason = "the " + strings.ToUpper(format) + " picture is damaged"
	}
	return e
}
