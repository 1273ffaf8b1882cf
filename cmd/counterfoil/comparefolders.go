package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"counterfoil/parse/listing"
)

// audited is what compare needs of the run.json that an audit left in its folder.
type audited struct {
	name      string
	Tool      string   `json:"tool"`
	Arguments []string `json:"arguments"`
	Inputs    []struct {
		File, Entry, SHA256 string
	} `json:"inputs"`
}

// runRecordLimit bounds a run.json, in bytes.
const runRecordLimit = 512 << 20

// auditedIn reads the record of the audit whose report a folder is; nil when it
// is none.
func auditedIn(dir string) (*audited, error) {
	name := filepath.Join(dir, "run.json")
	if info, err := os.Lstat(filepath.Join(dir, "suspects.ndjson")); err != nil || !info.Mode().IsRegular() {
		return nil, nil
	}
	if info, err := os.Lstat(name); err != nil || !info.Mode().IsRegular() {
		return nil, nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	a := &audited{name: name}
	if err := json.NewDecoder(io.LimitReader(f, runRecordLimit)).Decode(a); err != nil || a.Tool != "counterfoil" {
		return nil, nil // some other folder with files of these names
	}
	return a, nil
}

// unfold puts what an audit read in place of the folder with its report.
func unfold(inputs []string) (unfolded []string, runs []*audited, err error) {
	for _, in := range inputs {
		a, err := auditedIn(in)
		if err != nil {
			return nil, nil, err
		}
		if a == nil {
			unfolded = append(unfolded, in)
			continue
		}
		for _, arg := range a.Arguments {
			if _, err := os.Stat(arg); err != nil {
				return nil, nil, hinted{fmt.Errorf("%s: the audit read %s, which is not there from here", a.name, arg), "a report does not hold all that is compared: go to the folder where the audit ran, name what it read, or compare runs of a casebook"}
			}
		}
		unfolded, runs = append(unfolded, a.Arguments...), append(runs, a)
	}
	return unfolded, runs, nil
}

// unchanged makes sure that what was read is what the audit had read.
func (a *audited) unchanged(captures []listing.Capture) error {
	now := map[[2]string]string{}
	for _, c := range captures {
		now[[2]string{c.File, c.Entry}] = c.SHA256
	}
	for _, in := range a.Inputs {
		if sum, ok := now[[2]string{in.File, in.Entry}]; in.SHA256 != "" && (!ok || sum != in.SHA256) {
			name := in.File
			if in.Entry != "" {
				name += "!" + in.Entry
			}
			return hinted{fmt.Errorf("%s: %s is not what the audit read: it has changed since, or is gone", a.name, name), "name a copy of what the audit read, or compare runs of a casebook"}
		}
	}
	return nil
}
