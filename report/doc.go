// Package report turns a ranked batch into files and into the few lines that a
// terminal shows.
//
// The files: run.go what the command supplies, rulehash.go the hash of the
// rule set, suspects.go the ranked list as NDJSON, runjson.go the account of
// the run, words.go the sentences that all reports share, cautions.go what
// every report says of itself, visible.go hostile text made harmless to read,
// terminal.go the summary, write.go the writing of a whole set of files.
//
// Nothing here reads a clock: the same batch and the same run give the same
// bytes.
package report
