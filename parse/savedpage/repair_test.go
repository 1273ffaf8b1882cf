package savedpage

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseJSON(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"sound":                      {`{"a":1.50}`, `[{"a":1.50}]`},
		"trailing commas":            {`{"a":[1,2,],}`, `[{"a":["1","2"]}]`},
		"comments":                   {"{// one\n\"a\":\"x\" /* two */}", `[{"a":"x"}]`},
		"address in text":            {`{"a":"http://parts.example/*x*/",}`, `[{"a":"http://parts.example/*x*/"}]`},
		"raw newline":                {"{\"a\":\"x\ny\"}", `[{"a":"x\ny"}]`},
		"raw tab and control":        {"{\"a\":\"x\ty\x01\"}", `[{"a":"x\ty\u0001"}]`},
		"entities":                   {`{&quot;a&quot;:&quot;x &amp; y&quot;}`, `[{"a":"x & y"}]`},
		"cdata":                      {"//<![CDATA[\n{\"a\":\"x\"}\n//]]>", `[{"a":"x"}]`},
		"cdata in comments":          {"/*<![CDATA[*/{\"a\":\"x\"}/*]]>*/", `[{"a":"x"}]`},
		"html comment":               {"<!-- {\"a\":\"x\"} -->", `[{"a":"x"}]`},
		"two objects":                {`{"a":"x"}{"b":"y"}`, `[{"a":"x"},{"b":"y"}]`},
		"two objects and a comma":    {`{"a":"x"},{"b":"y"};`, `[{"a":"x"},{"b":"y"}]`},
		"inch mark":                  {`{"a":"2" pipe","b":"y"}`, `[{"a":"2\" pipe","b":"y"}]`},
		"bad escape":                 {`{"a":"it\'s","b":"\u00e9\q"}`, `[{"a":"it's","b":"éq"}]`},
		"single marks and bare keys": {`{a:'x',b_c:'y "z"'}`, `[{"a":"x","b_c":"y \"z\""}]`},
		"comma lacking":              {"{\"a\":\"x\"\n\"b\":\"y\"}", `[{"a":"x","b":"y"}]`},
		"no value":                   {`{"a":,"b":"y"}`, `[{"a":null,"b":"y"}]`},
		"undefined":                  {`{"a":undefined,"b":NaN}`, `[{"a":null,"b":null}]`},
		"cut off":                    {`{"a":"x","b":[{"c":"y`, `[{"a":"x","b":[{"c":"y"}]}]`},
	} {
		got, mended, err := parseJSON(c.text)
		require.NoError(t, err, name)
		assert.Equal(t, name != "sound", mended != "", name)
		b, err := json.Marshal(got)
		require.NoError(t, err)
		assert.JSONEq(t, c.want, string(b), name)
	}
}

func TestParseJSONRefuses(t *testing.T) {
	for name, text := range map[string]string{
		"words": "hello", "code": "var a = 1;", "empty": "", "wrong bracket": `{"a":[1}`, "expression": `{"a": b + c}`,
		"deep": strings.Repeat("[", 100) + strings.Repeat("]", 100), "deep and broken": strings.Repeat(`{"a":`, 1000),
		"large": `"` + strings.Repeat("x", maxJSON) + `"`,
	} {
		_, _, err := parseJSON(text)
		assert.Error(t, err, name)
	}
}

func FuzzParseJSON(f *testing.F) {
	for _, s := range []string{`{"a":1}`, `{a:'x',}`, "<!-- {\"a\":\"x\ny\"} -->", `{"a":"\u12"`, `[{"a":[`, `{&quot;a&quot;:1}`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		values, _, err := parseJSON(s)
		if err != nil {
			assert.Empty(t, values)
			return
		}
		_, err = json.Marshal(values)
		assert.NoError(t, err)
	})
}
