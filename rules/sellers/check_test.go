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

// oracle prints for each line "module number" whether python3-stdnum calls the
// number valid.
const oracle = `
import sys, importlib
for line in sys.stdin:
    name, number = line.split()
    print(1 if importlib.import_module('stdnum.' + name).is_valid(number) else 0)
`

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
