package remnant

import (
	"bytes"
	"os"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
)

func TestSchema(t *testing.T) {
	c := jsonschema.NewCompiler()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	require.NoError(t, err)
	require.NoError(t, c.AddResource("remnant.json", doc))
	sch, err := c.Compile("remnant.json")
	require.NoError(t, err)
	s := open(t)
	for _, r := range []Remnant{
		piece("F", 500, 400),
		{Fabric: "F", Roll: "R", Lot: "L", Face: FaceDown, Outline: Rectangle(100, 100), Selvedge: 15, Cut: "2027-03-01",
			From: &Origin{Job: "J", Revision: "A", Run: "0", Layout: "L1", Corner: nest.Point{1, 2}}, Note: "n"},
	} {
		got, err := s.Add(r)
		require.NoError(t, err)
		data, err := os.ReadFile(s.path(name{id: got.ID, word: itself}.file()))
		require.NoError(t, err)
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		require.NoError(t, err)
		require.NoError(t, sch.Validate(v))
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader([]byte(`{"format": 1, "id": "RM-ABCDEFGH"}`)))
	require.NoError(t, err)
	require.Error(t, sch.Validate(v))
}
