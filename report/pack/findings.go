package pack

import (
	"bytes"
	"encoding/json"
	"slices"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// findingsFile is findings.json. Listing has the form of `counterfoil extract`,
// assessment that of suspects.ndjson.
type findingsFile struct {
	Tool        string           `json:"tool"`
	Version     string           `json:"version"`
	RuleSetHash string           `json:"rule_set_sha256"`
	RunTime     string           `json:"as_of"`
	Listing     listing.Line     `json:"listing"`
	Assessment  json.RawMessage  `json:"assessment"`
	Exhibits    []exhibitLine    `json:"exhibits"`
	Rules       []ruleLine       `json:"rules"`
	Cautions    []report.Caution `json:"cautions"`
}

type exhibitLine struct {
	No     string `json:"no"`
	File   string `json:"file"`
	Entry  string `json:"entry,omitempty"`
	SHA256 string `json:"sha256"`
	Path   string `json:"path,omitempty"` // in the package
}

type ruleLine struct {
	ID       string  `json:"rule"`
	Family   string  `json:"family"`
	Weight   float64 `json:"default_weight_db"`
	Decisive bool    `json:"decisive,omitempty"`
	Title    string  `json:"title"`
	Meaning  string  `json:"meaning"`
	Formula  string  `json:"formula,omitempty"`
	Innocent string  `json:"innocent"`
	Ask      string  `json:"ask"`
}

func (d *draft) findings() ([]byte, error) {
	var assessment bytes.Buffer
	one := &rules.Result{Facts: d.res.Facts, Rules: d.res.Rules, Ranked: []*rules.Judged{d.j}}
	if err := report.WriteSuspects(&assessment, d.opt.Run, one); err != nil {
		return nil, err
	}
	run, l := d.opt.Run, d.j.Listing
	if d.masked {
		l = l.Clone()
		l.DropPositions()
	}
	f := findingsFile{Tool: "counterfoil", Version: run.Version, RuleSetHash: run.RuleSetHash, RunTime: stamp(run.AsOf),
		Listing: listing.ToLine(l), Assessment: assessment.Bytes(), Exhibits: []exhibitLine{}, Rules: []ruleLine{}, Cautions: report.Cautions}
	for _, e := range d.exhibits {
		f.Exhibits = append(f.Exhibits, exhibitLine{e.no, e.file, e.entry, e.sha256, e.path})
	}
	for _, r := range rulesOf(d.j) {
		f.Rules = append(f.Rules, ruleLine{r.ID, string(r.Family), r.Weight, r.Decisive, r.Doc.Title, r.Doc.Meaning, r.Doc.Formula, r.Doc.Innocent, r.Doc.Ask})
	}
	data, err := json.Marshal(&f)
	if err != nil {
		return nil, err
	}
	if d.masked {
		if data, err = eachText(data, d.text); err != nil {
			return nil, err
		}
	}
	return Canonical(data)
}

// rulesOf lists the rules of a listing's findings, each once.
func rulesOf(j *rules.Judged) []*rules.Rule {
	var list []*rules.Rule
	for i := range j.Findings {
		if r := j.Findings[i].Rule; !slices.Contains(list, r) {
			list = append(list, r)
		}
	}
	return list
}

// run gives the account of the run as the audit writes it.
func (d *draft) run() ([]byte, error) {
	var b bytes.Buffer
	if err := report.WriteRun(&b, d.opt.Run, d.res); err != nil {
		return nil, err
	}
	return []byte(d.text(b.String())), nil
}

// eachText applies change to every string of a JSON text but the names of
// members. Numbers keep their digits.
func eachText(data []byte, change func(string) string) ([]byte, error) {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	var v any
	if err := dec.Decode(&v); err != nil {
		return nil, err
	}
	return json.Marshal(changed(v, change))
}

func changed(v any, change func(string) string) any {
	switch v := v.(type) {
	case string:
		return change(v)
	case []any:
		for i := range v {
			v[i] = changed(v[i], change)
		}
	case map[string]any:
		for k := range v {
			v[k] = changed(v[k], change)
		}
	}
	return v
}
