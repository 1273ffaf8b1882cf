package strict

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

type sample struct {
	Name  string            `yaml:"name"`
	Count int               `yaml:"count"`
	List  []string          `yaml:"list"`
	Map   map[string]string `yaml:"map"`
}

func TestYAMLNamesLineAndColumn(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"name: a\n  cuont: 2\n", "s.yaml:2:"},
		{"name: a\ncuont: 2\n", `s.yaml:2:1: unknown key "cuont"`},
		{"count: many\n", `s.yaml:1:8: "many" cannot stand here: a value of kind number is wanted`},
		{"", "s.yaml:1:1: the file is empty"},
		{"name: a\n---\nname: b\n", "s.yaml:2:1: a second document"},
		{"name: a\nname: b\n", `s.yaml:2:1: "name" stands here twice, first on line 1`},
		{"name: [\n", "s.yaml:"},
	} {
		var s sample
		err := YAML("s.yaml", []byte(c.text), &s)
		if assert.Error(t, err, c.text) {
			assert.True(t, strings.HasPrefix(err.Error(), c.want), "%q\ngot %s", c.text, err)
		}
	}
}

// The decoder prints a type without a name in full; a user must not see it.
func TestYAMLIntoATypeWithoutAName(t *testing.T) {
	for _, text := range []string{"list: 1\nnmae: a\n", "- a\n"} {
		var doc struct {
			Name string   `yaml:"name"`
			List []string `yaml:"list"`
		}
		err := YAML("s.yaml", []byte(text), &doc)
		assert.ErrorContains(t, err, "s.yaml:")
		assert.NotContains(t, err.Error(), "struct")
	}
}

func TestYAMLReportsEveryMistake(t *testing.T) {
	var s sample
	err := YAML("s.yaml", []byte("a: 1\nb: 2\n"), &s)
	assert.ErrorContains(t, err, `s.yaml:1:1: unknown key "a"`)
	assert.ErrorContains(t, err, `s.yaml:2:1: unknown key "b"`)
}

func TestYAMLKeepsTextThatLooksLikeANumber(t *testing.T) {
	var s sample
	assert.NoError(t, YAML("s.yaml", []byte("\xef\xbb\xbfname: 0123\nlist: [1.0]\n"), &s))
	assert.Equal(t, "0123", s.Name)
	assert.Equal(t, []string{"1.0"}, s.List)
}

func FuzzYAML(f *testing.F) {
	f.Add("name: a\ncount: 1\n")
	f.Fuzz(func(t *testing.T, text string) {
		var s sample
		if err := YAML("s.yaml", []byte(text), &s); err != nil {
			assert.NotEmpty(t, err.Error())
		}
	})
}
