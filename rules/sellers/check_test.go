package sellers

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/rules/checkdigit"
)

// ISO 7064 and Luhn figures as the Debian package python3-stdnum documents them.
func TestCheckDigits(t *testing.T) {
	for d := range 10 {
		assert.Equal(t, d == 3, checkdigit.Mod11and10(fmt.Sprint("79462", d)), d)
		assert.Equal(t, d == 5, checkdigit.Mod11and10(fmt.Sprint("00200667308", d)), d)
		assert.Equal(t, d == 3, checkdigit.Luhn(fmt.Sprint("7992739871", d)), d)
	}
	for d := range 100 {
		assert.Equal(t, d == 90, checkdigit.Mod97(fmt.Sprintf("99991234567890121414%02d", d)), d)
	}
	assert.False(t, checkdigit.Mod97("12-3"))

	// The Russian tax service's rule for OGRN, from memory: the last digit is the
	// last of the remainder of the others by 11, in the 15-digit form by 13.
	assert.True(t, checkOGRN("1000000000000"[:12]+fmt.Sprint(100000000000%11%10)))
	assert.True(t, checkOGRN("300000000000000"[:14]+fmt.Sprint(30000000000000%13%10)))
	assert.False(t, checkOGRN("100000000000"+fmt.Sprint((100000000000%11+1)%10)))
}

// Numbers that the documentation of the Debian package python3-stdnum gives as
// valid, and each with its last digit or letter changed.
func TestPublishedNumbers(t *testing.T) {
	for _, n := range []string{"BG175074752", "CY10259033P", "CZ25123891", "CZ640903926", "ES54362315K", "ESB64717838", "IE6433435F", "IE6433435OA",
		"LT119511515", "LT100001919017", "LV40003521600", "MT11679112", "RO18547290"} {
		check, body := vatForms[n[:2]].check, n[2:]
		assert.True(t, check(body), n)
		at := len(body) - 1
		if n == "IE6433435OA" {
			at-- // the check letter comes before the last
		}
		other := []byte(body)
		other[at]++
		assert.False(t, check(string(other)), n)
	}
}

// oracle prints for each line "module number" whether python3-stdnum calls the
// number valid.
const oracle = `
import sys, importlib
for line in sys.stdin:
    name, number = line.split()
    print(1 if importlib.import_module('stdnum.' + name).is_valid(number) else 0)
`

// The check digits of the nine countries whose numbers have several forms: numbers
// with every ending, and of the valid ones those with one digit changed or two
// neighbours exchanged. Dates of birth are kept valid, as they are no matter of
// the check digit.
func TestSeveralFormsAgainstStdnum(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	const date = "!"
	var in bytes.Buffer
	var list []string
	var ours []bool
	holds := map[string]int{}
	for _, c := range []struct {
		country, module string
		bodies          []string
		keep            int // leading characters that are not changed
	}{
		{"BG", "bg.vat", []string{"dddddddd"}, 0}, {"BG", "bg.vat", []string{date + "ddd"}, 6}, {"CY", "cy.vat", []string{"10dddddd", "30dddddd", "90dddddd"}, 2},
		{"CZ", "cz.dic", []string{"1dddddd", "4dddddd", "7dddddd"}, 1}, {"CZ", "cz.dic", []string{"6ddddddd"}, 1}, {"CZ", "cz.dic", []string{date + "ddd"}, 6},
		{"ES", "es.nif", []string{"dddddddd", "Xddddddd", "Yddddddd", "Zddddddd"}, 1}, {"ES", "es.nif", []string{"Addddddd", "Bddddddd", "Jddddddd", "Pddddddd", "Kddddddd", "Mddddddd"}, 1},
		{"IE", "ie.vat", []string{"ddddddd"}, 0}, {"IE", "ie.vat", []string{"dEddddd", "dKddddd"}, 2}, {"LT", "lt.pvm", []string{"ddddddd1", "dddddddddd1"}, 0},
		{"LV", "lv.pvn", []string{"4ddddddddd", "9ddddddddd"}, 1}, {"MT", "mt.vat", []string{"1dddddd", "2dddddd"}, 1}, {"RO", "ro.cf", []string{"1ddddddd", "2ddddd", "3dddd", "1dddddddd"}, 1},
	} {
		check := vatForms[c.country].check
		add := func(body string) bool {
			list, ours = append(list, c.module+" "+c.country+body), append(ours, check(body))
			fmt.Fprintln(&in, c.module, c.country+body)
			return check(body)
		}
		endings := "0123456789"
		switch c.country {
		case "CY", "IE":
			endings = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
		case "ES":
			endings += "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
		}
		for range 120 {
			body := c.bodies[rng.IntN(len(c.bodies))]
			if rest, ok := strings.CutPrefix(body, date); ok { // born from 1960 to 1999
				body = fmt.Sprintf("%02d%02d%02d", 60+rng.IntN(40), 1+rng.IntN(12), 1+rng.IntN(28)) + rest
			}
			body = fill(rng, body)
			for _, e := range endings {
				full := body + string(e)
				if c.country == "IE" && rng.IntN(2) == 0 && isDigit(full[1]) {
					full += string("ABCDEFGHI"[rng.IntN(9)])
				}
				if !add(full) {
					continue
				}
				holds[c.module+" "+c.bodies[0]]++
				for i := c.keep; i < len(body); i++ {
					if !isDigit(full[i]) {
						continue
					}
					b := []byte(full)
					b[i] = '0' + (b[i]-'0'+byte(1+rng.IntN(9)))%10
					add(string(b))
					if b = []byte(full); i+1 < len(body) && isDigit(b[i+1]) {
						b[i], b[i+1] = b[i+1], b[i]
						add(string(b))
					}
				}
			}
		}
		require.Greater(t, holds[c.module+" "+c.bodies[0]], 20, "few valid numbers of "+c.country)
	}
	cmd := exec.Command(stdnum(t), "-c", oracle)
	cmd.Stdin = &in
	out, err := cmd.Output()
	require.NoError(t, err)
	answers := strings.Fields(string(out))
	require.Len(t, answers, len(list))
	differ := map[string]int{}
	for i, c := range list {
		if (answers[i] == "1") != ours[i] {
			module := strings.Fields(c)[0]
			if differ[module]++; differ[module] < 4 {
				t.Errorf("%s: stdnum %s, here %v", c, answers[i], ours[i])
			}
		}
	}
	t.Logf("%d numbers", len(list))
}

// The check digits of VAT, register and bank account numbers against Debian's
// python3-stdnum, on random numbers of the right form.
func TestAgainstStdnum(t *testing.T) {
	python := stdnum(t)
	rng := rand.New(rand.NewPCG(11, 12))
	type tried struct {
		module, number string
		ours           bool
	}
	var list []tried
	add := func(module, shown string, ours bool) { list = append(list, tried{module, shown, ours}) }
	modules := map[string]string{"AT": "at.uid", "BE": "be.vat", "DE": "de.vat", "DK": "dk.cvr", "EE": "ee.kmkr", "EL": "gr.vat", "FI": "fi.alv",
		"GB": "gb.vat", "HR": "hr.oib", "HU": "hu.anum", "LU": "lu.tva", "PL": "pl.nip", "PT": "pt.nif", "SI": "si.ddv"}
	for _, country := range []string{"AT", "BE", "DE", "DK", "EE", "EL", "FI", "GB", "HR", "HU", "LU", "PL", "PT", "SI"} {
		form := vatForms[country]
		pattern := form.forms[len(form.forms)-1]
		for range 3000 {
			body := fill(rng, pattern)
			if country == "BE" { // these begin with 0 or 1
				body = fmt.Sprint(rng.IntN(2)) + body[1:]
			}
			if body[0] == '0' && (country == "DE" || country == "SI" || country == "PT" || country == "LU") {
				continue // not in use: outside what the check digits tell
			}
			add(modules[country], country+body, form.check(body))
		}
	}
	for range 3000 { // forms that need a fixed part
		fr, nl, se, sk := fill(rng, "ddddddddddd"), fill(rng, "dddddddddBd1"), fill(rng, "dddddddddd01"), "2"+fill(rng, "d")+"4"+fill(rng, "ddddddd")
		add("fr.tva", "FR"+fr, checkFR(fr))
		add("nl.btw", "NL"+nl, checkNL(nl))
		add("se.vat", "SE"+se, checkSE(se))
		add("sk.dph", "SK"+sk, checkSK(sk))
		uscc := "91110000" + fill(rng, "dddddddddx")
		add("cn.uscc", uscc, checkUSCC(uscc))
	}
	for range 3000 {
		add("iso7064.mod_97_10", fill(rng, "xxxxddddddxx"), false)
		list[len(list)-1].ours = checkdigit.Mod97(list[len(list)-1].number)
		for _, r := range []struct {
			module, pattern string
			check           func(string) bool
		}{{"luhn", "ddddddddd", checkdigit.Luhn}, {"pl.regon", "ddddddddd", checkREGON}, {"ru.inn", "dddddddddd", checkINN}, {"ru.inn", "dddddddddddd", checkINN}} {
			n := fill(rng, r.pattern)
			add(r.module, n, r.check(n))
		}
	}
	var in, out bytes.Buffer
	for _, c := range list {
		fmt.Fprintln(&in, c.module, c.number)
	}
	cmd := exec.Command(python, "-c", oracle)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, os.Stderr
	require.NoError(t, cmd.Run())
	answers := strings.Fields(out.String())
	require.Len(t, answers, len(list))
	holds := map[string]int{}
	for i, c := range list {
		if !assert.Equal(t, answers[i] == "1", c.ours, c.module+" "+c.number) {
			return
		}
		if c.ours {
			holds[c.module]++
		}
	}
	for _, c := range list {
		assert.Positive(t, holds[c.module], "no valid number was tried with "+c.module)
	}
}

func fill(rng *rand.Rand, pattern string) string {
	out := []byte(pattern)
	for i, c := range out {
		switch c {
		case 'd':
			out[i] = byte('0' + rng.IntN(10))
		case 'x':
			out[i] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"[rng.IntN(36)]
		}
	}
	return string(out)
}

// The lengths of the ISO 13616 register against python3-stdnum's copy.
func TestIBANLengths(t *testing.T) {
	python := stdnum(t)
	const script = `
import sys, re
from stdnum import iban
for country in sys.stdin.read().split():
    info = iban._ibandb.info(country + '0000')[0][1]
    print(country, 4 + sum(int(n) for n in re.findall(r'(\d+)', info.get('bban', ''))))
`
	var in bytes.Buffer
	for country := range ibanLengths {
		fmt.Fprintln(&in, country)
	}
	cmd := exec.Command(python, "-c", script)
	cmd.Stdin = &in
	out, err := cmd.Output()
	require.NoError(t, err)
	for line := range strings.Lines(string(out)) {
		var country string
		var n int
		_, err := fmt.Sscan(line, &country, &n)
		require.NoError(t, err)
		assert.Equal(t, n, ibanLengths[country], country)
	}
}

// stdnum finds a Python that has the stdnum package.
func stdnum(t *testing.T) string {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(name, "-c", "import stdnum").Run() == nil {
			return name
		}
	}
	const missing = "python3-stdnum is not installed (Debian: apt-get install python3-stdnum)"
	if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatal(missing)
	}
	t.Skip(missing)
	return ""
}
