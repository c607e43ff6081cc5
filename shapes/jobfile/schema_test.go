package jobfile

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

var regen = flag.Bool("regen", false, "write job.schema.json anew")

// forms lists every mapping of a job file.
var forms = []*form{jobForm, fabricForm, layerForm, rollForm, flawForm, priceForm, partForm, outlinesForm, plyForm, splitForm, cuttingForm, ratesForm, tableForm, laminatingForm, stopForm, shiftForm, buyingForm, priceBreakForm, deliveryWidthForm, openOrderForm}

type object = map[string]any

// figurePattern is a decimal figure, as Quantity.Parse reads it.
const figurePattern = `[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?`

func definition(f *form) string { return strings.ReplaceAll(f.name, " ", "_") }

// makeSchema writes the schema that the table in keys.go stands for.
func makeSchema() []byte {
	defs := object{}
	for _, f := range forms {
		defs[definition(f)] = formSchema(f)
	}
	root := object{
		"$schema":     "https://json-schema.org/draft/2020-12/schema",
		"title":       "plyroom job file",
		"description": jobForm.doc,
		"$ref":        "#/$defs/job",
		"$defs":       defs,
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(root); err != nil {
		panic(err)
	}
	return b.Bytes()
}

func formSchema(f *form) object {
	properties := object{}
	var required []string
	for _, k := range f.keys {
		s := valueSchema(&k.value)
		s["description"] = k.doc
		if k.fallback != "" {
			s["default"] = defaultValue(&k)
		}
		properties[k.name] = s
		if k.required {
			required = append(required, k.name)
		}
	}
	out := object{"type": "object", "description": f.doc, "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		out["required"] = required
	}
	if len(f.eitherOf) > 0 {
		var either []object
		for _, name := range f.eitherOf {
			either = append(either, object{"required": []string{name}})
		}
		out["oneOf"] = either
	}
	return out
}

func defaultValue(k *key) any {
	switch k.kind {
	case flagKind:
		return k.fallback == "true"
	case wholeKind, shareKind:
		return json.Number(k.fallback)
	case quantityKind:
		if !strings.Contains(k.fallback, " ") {
			return json.Number(k.fallback)
		}
	}
	return k.fallback
}

func bounded(s object, v *value) object {
	low, high := "minimum", "maximum"
	if v.above {
		low = "exclusiveMinimum"
	}
	if v.below {
		high = "exclusiveMaximum"
	}
	s[low], s[high] = v.min, v.max
	return s
}

// unitPattern is any unit of a quantity as the reader takes it.
func unitPattern(q shapes.Quantity) string {
	var units []string
	for _, name := range q.Units() {
		p := regexp.QuoteMeta(name)
		p = strings.ReplaceAll(p, "m2", "m[2²]")
		p = strings.ReplaceAll(p, "m3", "m[3³]")
		units = append(units, p)
	}
	return "( *(" + strings.Join(units, "|") + "))?"
}

func valueSchema(v *value) object {
	scalar := []string{"string", "number"}
	switch v.kind {
	case textKind:
		return object{"type": scalar, "minLength": 1}
	case flagKind:
		return object{"enum": []any{true, false, "yes", "no"}}
	case wholeKind:
		return bounded(object{"type": "integer"}, v)
	case shareKind:
		return bounded(object{"type": "number"}, v)
	case quantityKind:
		s := object{"type": scalar, "pattern": "^" + figurePattern + unitPattern(v.quantity) + "$"}
		// A bare length is in the unit of the file, so only its sign is known.
		if v.quantity != shapes.Length {
			return bounded(s, v)
		}
		if v.min >= 0 {
			s["minimum"] = 0
		}
		if v.above && v.min == 0 {
			delete(s, "minimum")
			s["exclusiveMinimum"] = 0
		}
		return s
	case wordKind:
		return object{"enum": v.words}
	case dateKind:
		return object{"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}
	case clockKind:
		return object{"type": "string", "pattern": "^([01]?[0-9]|2[0-3]):[0-5][0-9]$"}
	case listKind:
		s := object{"type": "array", "items": valueSchema(v.of)}
		if v.least > 0 {
			s["minItems"] = v.least
		}
		if v.single {
			return object{"anyOf": []any{valueSchema(v.of), s}}
		}
		return s
	case priceKind:
		return object{"anyOf": []any{
			bounded(object{"type": "number"}, &priceForm.find("amount").value),
			object{"type": "string", "pattern": "^" + figurePattern + "( *per *(" + strings.Join(priceForm.find("per").words, "|") + "))?$"},
			object{"$ref": "#/$defs/" + definition(v.keys)},
		}}
	case splitKind:
		return object{"anyOf": []any{
			object{"type": "string", "pattern": "^(butt|allowed|lap( +" + figurePattern + unitPattern(shapes.Length) + ")?)$"},
			object{"$ref": "#/$defs/" + definition(v.keys)},
		}}
	case mapKind:
		ref := object{"$ref": "#/$defs/" + definition(v.keys)}
		if v.short != nil {
			return object{"anyOf": []any{valueSchema(v.short), ref}}
		}
		return ref
	}
	panic(fmt.Sprint("no schema for kind ", v.kind))
}

func TestSchema(t *testing.T) {
	want := makeSchema()
	if *regen {
		require.NoError(t, os.WriteFile("job.schema.json", want, 0o644))
		return
	}
	assert.Equal(t, string(want), string(Schema()), "job.schema.json is not what keys.go says: run go test ./shapes/jobfile -run 'TestSchema$' -regen")
}

// validate checks a job against the schema, as an editor would.
func validate(t testing.TB, job string) error {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("job.schema.json", doc))
	s, err := c.Compile("job.schema.json")
	require.NoError(t, err)
	asJSON, err := yaml.YAMLToJSON([]byte(job))
	require.NoError(t, err)
	inst, err := jsonschema.UnmarshalJSON(bytes.NewReader(asJSON))
	require.NoError(t, err)
	return s.Validate(inst)
}

func TestSchemaAcceptsGoodJobs(t *testing.T) {
	assert.NoError(t, validate(t, everything))
	assert.NoError(t, validate(t, least))
	assert.NoError(t, validate(t, base))
	for _, path := range []string{"../../testdata/nacelle/job.yaml", "../../testdata/too-wide/job.yaml"} {
		data, err := os.ReadFile(filepath.FromSlash(path))
		require.NoError(t, err)
		assert.NoError(t, validate(t, string(data)), path)
	}
}

// Mistakes that a schema can see, it sees.
func TestSchemaRefusesMistakes(t *testing.T) {
	for _, c := range [][2]string{
		{"selvedge: 15", "selvage: 15"},
		{"construction: mat", "construction: matt"},
		{"    width: 600\n", ""},
		{"width: 600", "width: -600"},
		{"width: 600", "width: 600 mmm"},
		{"width: 600", "width: [600]"},
		{"count: 2", "count: 2.5"},
		{"count: 2", "count: 0"},
		{"direction: 0", "direction: 720"},
		{"    plies:", "    ply_table: x.csv\n    plies:"},
		{"units: mm", "units: parsec"},
		{"cutting: {gap: 3}", "cutting: {table: {length: 6 m}}"},
		{"resin: epoxy", "plan_at: 75"},
		{"direction: 0", "direction: 0, split: glue"},
		{"selvedge: 15", "price: 3 per mile"},
	} {
		require.Equal(t, 1, strings.Count(base, c[0]), c[0])
		assert.Error(t, validate(t, strings.Replace(base, c[0], c[1], 1)), c[1])
	}
}

// Every key of the schema is a key the reader knows, and the reverse: the job
// that states everything names every key of the table, and reading it is
// tested figure by figure.
func TestEveryKeyIsUsed(t *testing.T) {
	var known []string
	for _, f := range forms {
		known = append(known, f.names()...)
	}
	used := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)([a-z_]+):( |$)`).FindAllStringSubmatch(everything, -1) {
		used[m[1]] = true
	}
	for _, k := range known {
		assert.True(t, used[k], "no good example states %s", k)
	}
	var doc struct {
		Defs map[string]struct {
			Properties map[string]json.RawMessage `json:"properties"`
		} `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(Schema(), &doc))
	require.Len(t, doc.Defs, len(forms))
	for _, f := range forms {
		var names []string
		for name := range doc.Defs[definition(f)].Properties {
			names = append(names, name)
		}
		sort.Strings(names)
		want := f.names()
		sort.Strings(want)
		assert.Equal(t, want, names, f.name)
	}
}

// The defaults of the table can be read, and lie within their own bounds.
func TestDefaultsAreInRange(t *testing.T) {
	for _, f := range forms {
		for _, k := range f.keys {
			assert.NotEmpty(t, k.doc, "%s.%s", f.name, k.name)
			if k.fallback == "" {
				continue
			}
			r := &reader{bare: "mm", job: &shapes.Job{}}
			n := &node{text: k.fallback}
			switch k.kind {
			case wordKind:
				r.word(n, &k.value, k.name, "")
			case flagKind:
				assert.Contains(t, []string{"true", "false"}, k.fallback)
			default:
				r.number(n, &k.value, k.name, "")
			}
			assert.Empty(t, r.problems, "%s.%s", f.name, k.name)
		}
	}
}
