package nest

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func small() *Record {
	return &Record{Format: Format, Units: "mm", Job: "Cover", Layouts: []Layout{
		{ID: "L1"}, {ID: "L2", Placed: []Placed{{Ply: "U01", Outline: Ring{{0, 0}, {1, 0}, {0, 1}}, X: 12.5}}}}}
}

// A record that was written is read; one that was damaged is refused in words
// that say where and what to do.
func TestReadDamaged(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, small().Write(&b))
	good := b.String()
	r, err := Read(strings.NewReader(good + " \r\n\t"))
	require.NoError(t, err)
	require.Equal(t, 12.5, r.Layouts[1].Placed[0].X)
	swap := func(old, new string) string {
		require.Contains(t, good, old)
		return strings.Replace(good, old, new, 1)
	}
	for _, tt := range []struct{ name, text, says string }{
		{"empty", "", "the file is empty"},
		{"spaces", " \n", "the file is empty"},
		{"cut off", good[:300], "cut off at byte 300"},
		{"cut off in a string", good[:strings.Index(good, "Cover")+2], "cut off at byte"},
		{"nothing in it", "{}", "no format field: not a plyroom record"},
		{"null", "null", "no format field"},
		{"a list", "[]", "the file is a list and should be an object"},
		{"text behind", good + "x", "more follows it"},
		{"a brace behind", good + "}", "more follows it"},
		{"two records", good + good, "more follows it"},
		{"a key twice", swap(`"x": 12.5`, `"x": 3, "x": 12.5`), "layouts[1].placed[0].x stands twice"},
		{"a key twice in other case", swap(`"x": 12.5`, `"x": 3, "X": 12.5`), "layouts[1].placed[0].X stands twice"},
		{"a key twice, escaped", swap(`"x": 12.5`, `"x": 3, "\u0078": 12.5`), "stands twice"},
		{"a key twice at the top", swap(`"units"`, `"job": "A", "units"`), "job stands twice"},
		{"text for a number", swap(`"x": 12.5`, `"x": "12.5"`), "layouts[1].placed[0].x is text and should be a number"},
		{"a number for text", swap(`"ply": "U01"`, `"ply": 7`), "layouts[1].placed[0].ply is a number and should be text"},
		{"an object for a list", swap(`"demand": null`, `"demand": {}`), "demand is an object and should be a list"},
		{"a number too large", swap(`"x": 12.5`, `"x": 1e999`), "layouts[1].placed[0].x is the number 1e999 and should be a number"},
		{"half a unit", swap(`"unit": 0`, `"unit": 1.5`), "should be a whole number"},
		{"no JSON", "hello", "damaged at byte 1"},
		{"a comma too many", swap(`"x": 12.5`, `"x": ,12.5`), "damaged at byte"},
		{"an unknown field", swap(`"units"`, `"colour": 1, "units"`), `a field "colour" that is not known here`},
		{"another format", swap(`"format": 1`, `"format": 9`), "record format 9"},
		{"inches", swap(`"mm"`, `"in"`), `"in"`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Read(strings.NewReader(tt.text))
			require.ErrorContains(t, err, tt.says)
			for _, raw := range []string{"json:", "Go ", "unmarshal", "EOF"} {
				require.NotContains(t, err.Error(), raw)
			}
		})
	}
}

// Whatever is read does not bring Read down, and what it takes it writes again.
func FuzzRead(f *testing.F) {
	var b bytes.Buffer
	require.NoError(f, small().Write(&b))
	f.Add(b.Bytes())
	f.Add([]byte(`{"format":1,"a":{"b":[1,"\"",{"c":2}]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := Read(bytes.NewReader(data))
		_ = twice(data)
		_ = pathAt(data, len(data)/2)
		if err == nil {
			require.NoError(t, r.Write(&bytes.Buffer{}))
		}
	})
}
