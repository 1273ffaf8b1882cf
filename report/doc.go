// Package report turns a ranked batch into files and into the few lines that a
// terminal shows.
//
// The files: run.go what the command supplies, rulehash.go the hash of the
// rule set, suspects.go the ranked list as NDJSON, runjson.go the account of
// the run, words.go the sentences that all reports share, cautions.go what
// every report says of itself, visible.go hostile text made harmless to read,
// terminal.go the summary, write.go the writing of a whole set of files, link.go
// the way to a capture. decision.go carries a person's decisions from run to
// run, wanted.go finds the offers of a part, messages.go and messagetexts.go
// write to sellers, own.go and remarks.go read the user's own listings, csv.go is
// the ranking as a table.
//
// Nothing here reads a clock: the same batch and the same run give the same
// bytes.
package report
