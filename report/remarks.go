package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/claims"
)

// Remark is one thing that a careful buyer cannot see in a seller's own
// listing, or would stumble over.
type Remark struct {
	Kind   string // one of the Remark words
	What   string
	Quotes []rules.Evidence // as it stands; empty for what is not there
	Settle string           // the wording or the view that would settle it
}

// Kinds of remarks, in the order in which they are printed.
const (
	RemarkView    = "view not shown"
	RemarkFact    = "not stated"
	RemarkWording = "wording"
	RemarkOthers  = "seen elsewhere"
	RemarkNothing = "weighs nothing"
)

// OwnRemarks goes through a seller's own listing as a careful buyer would. It
// reckons no suspicion: weights and outcomes are left out, and so are prices.
func OwnRemarks(res *rules.Result, j *rules.Judged) []Remark {
	list := viewRemarks(res, j)
	list = append(list, factRemarks(res, j)...)
	list = append(list, claimRemarks(res, j)...)
	list = append(list, findingRemarks(j)...)
	return append(list, openedRemarks(j.Listing)...)
}

// viewSettles says how each view is best shown.
var viewSettles = map[string]string{
	listing.ViewSerialPlate:    "Add a photo of the serial plate, in focus, square on, with part number and serial readable. Caption it 'serial plate'.",
	listing.ViewCompressorMark: "Add a photo of the maker's mark cast into the compressor housing. Caption it 'compressor casting mark'.",
	listing.ViewTurbineMark:    "Add a photo of the maker's mark cast into the turbine housing. Caption it 'turbine casting mark'.",
	listing.ViewBoxLabel:       "Add a photo of the box label, with its serial readable. Caption it 'box label'.",
	listing.ViewWheelNut:       "Add a photo of the compressor wheel's nut, from the front. Caption it 'wheel nut'.",
	listing.ViewActuator:       "Add a photo of the actuator, its bracket and its seal mark. Caption it 'actuator bracket'.",
}

func viewRemarks(res *rules.Result, j *rules.Judged) []Remark {
	l := j.Listing
	if unit := l.Value(listing.UnitType); unit == listing.Kit || unit == listing.Component {
		return nil
	}
	if !l.PhotosKnown {
		return []Remark{{RemarkView, "What was supplied does not show which photos the listing has.", nil,
			"Save the listing's own page with its photos, or name them in the column photo_files."}}
	}
	wanted := listing.Views
	if m := res.Facts.Parts[j.N].Maker; m != nil && len(m.Views) > 0 {
		wanted = m.Views
	}
	opened := l.Value(listing.Condition)
	boxed := opened != listing.Used && opened != listing.Core
	shown := l.ShownViews()
	var list []Remark
	for _, v := range wanted {
		if slices.Contains(shown, v) || v == listing.ViewBoxLabel && !boxed {
			continue
		}
		name := ViewsText([]string{v})
		list = append(list, Remark{RemarkView, "No photo is known to show: " + name + ".", nil,
			cmp.Or(viewSettles[v], "Add a photo of it, and caption it '"+name+"'.")})
	}
	if boxed && slices.Contains(shown, listing.ViewSerialPlate) && slices.Contains(shown, listing.ViewBoxLabel) && !plateBesideLabel(l) {
		list = append(list, Remark{RemarkView, "Plate and box label are not in one picture.", nil,
			"Photograph the box label beside the serial plate, both serials readable."})
	}
	return list
}

func plateBesideLabel(l *listing.Listing) bool {
	return slices.ContainsFunc(l.Photos, func(p listing.Photo) bool {
		return p.Shows(listing.ViewSerialPlate) && p.Shows(listing.ViewBoxLabel)
	})
}

// stated are the fields that a careful buyer looks for, with what to write.
var stated = []struct {
	fields []listing.Name // one of them is enough
	what   string
	settle string
}{
	{[]listing.Name{listing.PartNumber}, "The part number stands in no field of its own.", "State the full part number as stamped on the plate, with its suffix, and the OE numbers it replaces."},
	{[]listing.Name{listing.SerialNumber, listing.PlateSerial}, "No serial is stated. Many sellers hide it from cloners.", "State it, or write 'serial number on request'."},
	{[]listing.Name{listing.Condition}, "The condition is not stated.", "Write new, new old stock, remanufactured (by whom), rebuilt (by whom), used or core."},
	{[]listing.Name{listing.CountryOfOrigin}, "The origin is unclear. The country itself weighs nothing; that it agrees with box and plate does.", "State the country of origin as printed on the box or plate."},
	{[]listing.Name{listing.Returns}, "Return terms are not stated.", "Write how many days, and who pays the way back."},
	{[]listing.Name{listing.Warranty}, "Warranty terms are not stated.", "Write who gives the warranty, for how long and for what."},
	{[]listing.Name{listing.Shipping}, "The price of shipping is not stated.", "State it for at least one destination, so that the landed price is known."},
	{[]listing.Name{listing.Description}, "There is no description.", "Describe the unit, what is in the box and what is not."},
}

func factRemarks(res *rules.Result, j *rules.Judged) []Remark {
	l := j.Listing
	var list []Remark
	for _, s := range stated {
		if !slices.ContainsFunc(s.fields, func(n listing.Name) bool { return l.Has(n) && l.Value(n) != listing.Unknown }) {
			list = append(list, Remark{RemarkFact, s.what, nil, s.settle})
		}
	}
	if c := l.Value(listing.Condition); (c == listing.Remanufactured || c == listing.Rebuilt) && !l.Has(listing.CoreDeposit) {
		list = append(list, Remark{RemarkFact, "A " + c + " unit without core terms.", nil,
			"State the core deposit and the days for the return of the old unit, or write 'no core deposit'."})
	}
	if other := res.Facts.Parts[j.N].Other; len(other) > 0 {
		list = append(list, Remark{RemarkFact, "The numbers name several parts: " + strings.Join(append([]string{res.Facts.Parts[j.N].ID}, other...), ", ") + ".", nil,
			"Keep the number of the unit that will be sent, and put fitment in a sentence of its own."})
	}
	return list
}

func claimRemarks(res *rules.Result, j *rules.Judged) []Remark {
	says := res.Facts.Claims.Result(j.N, j.Listing)
	quotes := func(stances ...claims.Stance) []rules.Evidence {
		var list []rules.Evidence
		for _, p := range says.Phrases {
			if slices.Contains(stances, p.Stance) && len(list) < 3 {
				list = append(list, rules.Quote(j.Listing, p.Field, p.Quote))
			}
		}
		return list
	}
	maker := cmp.Or(says.Brand, says.Leading, "MAKER")
	plainly := fmt.Sprintf("Write either 'genuine %s part' or 'made by (name) to fit %s (number)'.", maker, maker)
	switch says.Claim {
	case claims.ClaimContradictory:
		return []Remark{{RemarkWording, "The text calls the item the maker's own and also made to fit.", quotes(claims.Genuine, claims.Compatible), plainly}}
	case claims.ClaimHedged:
		return []Remark{{RemarkWording, "The wording leans on the original without saying who made the part.", quotes(claims.Hedge), plainly}}
	case claims.ClaimSilent:
		return []Remark{{RemarkWording, "The text does not say whether it is the maker's own part or made to fit.", nil, plainly}}
	}
	return nil
}

// ruleSettles is the wording that settles what a rule stumbles over.
var ruleSettles = map[string]string{
	"vague-origin":         "Name the maker and the country printed on the box in place of 'imported' and the like.",
	"new-yet-worked-on":    "If a new unit was only tested, write 'new, bench-tested before dispatch'; else state remanufactured or rebuilt, and by whom.",
	"surplus-same-factory": "Name the papers that come with the lot (release note, invoice of the maker).",
	"quality-hedge":        "Name who made the part in place of 'OEM quality' and the like.",
	"no-returns-new":       "State return terms for a new unit, or why there are none.",
	"off-platform":         "Keep payment and first contact on the marketplace; give the trade phone line as an addition.",
	"serial-quantity":      "Write 'photo of one sample; each unit has its own serial'.",
	"brand-yet-fits":       "If the part is made to fit, put its own maker into the brand field.",
	"brand-denied":         "Put the maker's name into the brand field if the part is the maker's own.",
	"warranty-unbacked":    "Write who gives the warranty, for how long and for what.",
	"plate-and-box":        "Show a picture in which plate and box label carry the same serial.",
	"serials-differ":       "Check which serial belongs to the unit on sale, and correct the other.",
	"gift-bundled":         "List what is in the box as 'included', with part numbers.",
}

// seenElsewhere says what to do about what other listings show as well.
const seenElsewhere = "If it was taken from this listing, keep the original with its date and tell the marketplace; if it is a picture or text of the maker, write so."

// toldAlready are rules whose matter the other remarks hold.
var toldAlready = []string{"no-plate-view", "views-not-shown", "no-part-number", "claim-contradiction", "reman-no-core"}

// findingRemarks turn what the rules quote into remarks; prices and what is
// known of the seller are the seller's own affair.
func findingRemarks(j *rules.Judged) []Remark {
	var list []Remark
	for _, f := range Against(j) {
		kind, settle := RemarkWording, ruleSettles[f.Rule.ID]
		switch f.Rule.Family {
		case rules.FamilyPrice, rules.FamilySeller, rules.FamilyTime:
			continue
		case rules.FamilyCross, rules.FamilyPhoto:
			kind, settle = RemarkOthers, cmp.Or(settle, seenElsewhere)
		}
		if f.Rule.ID == "serial-reuse" {
			kind, settle = RemarkOthers, seenElsewhere
		}
		if !slices.Contains(toldAlready, f.Rule.ID) {
			list = append(list, Remark{kind, Sentence(f.Statement), f.Evidence,
				cmp.Or(settle, "Say in the listing what explains it, if it is so: "+strings.ToLower(f.Rule.Doc.Innocent[:1])+f.Rule.Doc.Innocent[1:])})
		}
	}
	return list
}

// openedWords tell that a box was opened: word stems that stand in one
// sentence, in the languages of messages.
var openedWords = [][2]string{{"box", "opened"}, {"box", "open "}, {"karton", "geöffnet"}, {"verpackung", "geöffnet"},
	{"boîte", "ouvert"}, {"emballage", "ouvert"}, {"caja", "abiert"}, {"pudełk", "otwart"}, {"opakowani", "otwart"}}

// openedRemarks quote that a box was opened, which an honest seller does to add
// fittings or a gasket.
func openedRemarks(l *listing.Listing) []Remark {
	f, _ := l.Get(listing.Description)
	for sentence := range strings.FieldsFuncSeq(f.Raw, func(r rune) bool { return r == '.' || r == '!' || r == '\n' || r == ';' }) {
		low := strings.ToLower(sentence) + " "
		for _, w := range openedWords {
			if strings.Contains(low, w[0]) && strings.Contains(low, w[1]) {
				return []Remark{{RemarkNothing, "The text says that the box was opened. Said openly, that weighs nothing.",
					[]rules.Evidence{rules.Quote(l, listing.Description, strings.TrimSpace(sentence))},
					"Leave it in, and name what was added: fittings, a gasket."}}
			}
		}
	}
	return nil
}
