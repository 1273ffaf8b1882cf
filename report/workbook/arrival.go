package workbook

import (
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules/settings"
)

var arrivalColumns = []column{
	{"Step", 6, whole},
	{"What to look at", 44, wrapped},
	{"What to hold it against", 50, wrapped},
	{"Tick", 6, entry},
	{"Result", 13, entry},
	{"Note", 32, entry},
}

// results are the words of the drop-down.
var results = []string{"as it should be", "differs", "not looked at"}

// inkHeight is the height in points of a row that can be written in by hand.
const inkHeight = 22

// check is one step of the inspection.
type check struct{ look, against string }

// The steps are common practice of the trade, without a published source.
var (
	unpacking = []check{
		{"Before opening: photograph the parcel, its label and its seals.", "Order, seller's name, address of origin"},
		{"Box, serial plate and order agree.", "Part number on all three; serial on plate and box label"},
	}
	inHand = []check{
		{"Serial checked with the maker or a distributor.", "Their answer, with date and name. Only they can confirm a part."},
		{"Caps are on all ports.", "Compressor inlet and outlet, turbine inlet and outlet, oil in and out"},
		{"Weight against a known unit.", "A unit of the same number, on the same scale"},
		{"Marks in the castings are there and not ground, welded or polished.", "A known unit or the maker's guide"},
		{"The plate's fixings are the maker's.", "A known unit: rivets or pins, print, place"},
		{"Blade count and finish of both wheels.", "A known unit; no nicks, no tool marks that it does not have"},
		{"The shaft turns freely.", "By hand, without a rub or a catch"},
		{"Axial play is negligible.", "The maker's limit for this number"},
		{"The actuator's setting is untouched.", "Seal or paint mark, lock nut"},
		{"Oil ports are clean.", "No chips, no sealant, no old oil"},
		{"Photograph everything before fitting: plate, box label, castings, both wheels, actuator, ports.", "Keep the pictures with the invoice"},
	}
	fitting = []check{
		{"Fitting by a qualified technician, by the maker's instructions and local rules.", "Until every step is as it should be: do not fit, do not pass on"},
	}
)

func (b *book) arrival() task {
	s := b.open(sheetArrival, layout{portrait: true, printed: len(arrivalColumns)}, arrivalColumns,
		"For "+b.wantedText()+", one sheet for each unit that arrives. Print it or fill it in here.",
		"A step that differs is a reason to ask the seller and the maker, not a verdict. The steps are common practice, without a published source; those of the maker's profile are marked.")
	return task{s, func() {
		for i, c := range slices.Concat(unpacking, b.profileChecks(), inHand, fitting) {
			s.put(max(s.heightOf([]any{nil, c.look, c.against}), inkHeight), []any{i + 1, c.look, c.against, "☐"})
		}
		s.put(2*inkHeight, []any{nil, as{strong, "Unit, serial, date, name"}})
	}, func() {
		s.do(func() error {
			v := excelize.NewDataValidation(true)
			v.SetSqref(s.column(5))
			if err := v.SetDropList(results); err != nil {
				return err
			}
			return b.f.AddDataValidation(s.name, v)
		})
	}}
}

// profileChecks are the steps that the table of equivalents and the maker's
// profile add.
func (b *book) profileChecks() []check {
	w := b.opt.Wanted
	number := check{"Number on the plate.", w.Part.Number}
	for _, e := range w.Numbers {
		number.against += "\n" + e.Same + " (" + e.Kind + " of " + e.Part + "; " + e.Source + ")"
	}
	list := []check{number}
	m := w.Part.Maker
	if m == nil {
		return append(list, check{"Form of the serial, views of the maker's guide.", "No maker profile was given for this part (--makers)."})
	}
	of := func(look string, lines ...string) {
		if text := strings.Join(slices.DeleteFunc(lines, func(s string) bool { return s == "" }), "\n"); text != "" {
			list = append(list, check{look + " (profile of " + m.Name + ")", text})
		}
	}
	of("Form of the serial", serialForms(m)...)
	of("Serial is none of those confirmed as cloned", strings.Join(m.BadSerials, ", "))
	of("Country on box and plate is one of the maker's plants", strings.Join(m.Countries, ", "))
	of("Model designation on the plate", strings.Join(m.ModelsOf(w.Part.Number), ", "))
	for _, v := range m.Views {
		if v != listing.ViewSerialPlate && v != listing.ViewBoxLabel {
			of("Compare with the maker's guide: "+report.ViewsText([]string{v}), "The maker's guide or a known unit")
		}
	}
	return list
}

func serialForms(m *settings.Maker) []string {
	var list []string
	for _, s := range m.Serials {
		text := s.Name
		if len(s.Examples) > 0 {
			text += ", such as " + strings.Join(s.Examples, ", ")
		}
		list = append(list, text)
	}
	if plants := plantsText(m); plants != "" {
		list = append(list, "plants: "+plants)
	}
	return list
}

func plantsText(m *settings.Maker) string {
	var list []string
	for letter, plant := range m.Plants {
		list = append(list, letter+" "+plant)
	}
	slices.Sort(list)
	return strings.Join(list, ", ")
}
