package nest

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"
)

// remedy ends every message about a record that was one and is damaged.
const remedy = "; restore the file, or make the run again"

// damage says in plain words why data could not be decoded.
func damage(data []byte, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.Is(err, io.EOF):
		return errors.New("the file is empty: not a plyroom record" + remedy)
	case errors.Is(err, io.ErrUnexpectedEOF):
		return fmt.Errorf("the record is cut off at byte %d%s", len(data), remedy)
	case errors.As(err, &syntax):
		return fmt.Errorf("the record is damaged at byte %d: %s%s", syntax.Offset, syntax.Error(), remedy)
	case errors.As(err, &kind):
		what := "the file"
		if p := pathAt(data, int(kind.Offset)); p != "" {
			what = p
		}
		words := map[string]string{"array": "a list", "bool": "true or false", "string": "text", "object": "an object", "number": "a number"}[kind.Value]
		if words == "" {
			words = "the " + kind.Value // number 1e999
		}
		return fmt.Errorf("the record is damaged at byte %d: %s is %s and should be %s%s", kind.Offset, what, words, kindWords(kind.Type), remedy)
	}
	words := strings.TrimPrefix(err.Error(), "json: ")
	if name, ok := strings.CutPrefix(words, "unknown field "); ok {
		return fmt.Errorf("not a record of this plyroom: it has a field %s that is not known here; it may come from another version", name)
	}
	return fmt.Errorf("the record is damaged: %s%s", words, remedy)
}

// kindWords says what a value of a type looks like in JSON.
func kindWords(t reflect.Type) string {
	switch t.Kind() {
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Float32, reflect.Float64:
		return "a number"
	case reflect.Slice, reflect.Array:
		return "a list"
	case reflect.Struct, reflect.Map, reflect.Pointer:
		return "an object"
	}
	return "a whole number"
}

// A level is an object or a list that a walk is inside of.
type level struct {
	object bool
	keys   []string // of an object, in lower case
	key    string   // the last key as written
	index  int      // of a list
}

// path writes where a walk is: layouts[3].placed[0].x.
func path(levels []level) string {
	var b strings.Builder
	for _, l := range levels {
		switch {
		case !l.object:
			fmt.Fprintf(&b, "[%d]", l.index)
		case l.key != "":
			if b.Len() > 0 {
				b.WriteByte('.')
			}
			if strings.ContainsFunc(l.key, func(r rune) bool { return !strconv.IsPrint(r) }) {
				b.WriteString(strconv.Quote(l.key))
			} else {
				b.WriteString(l.key)
			}
		}
	}
	return b.String()
}

// pathAt names the value that ends at a byte of valid JSON.
func pathAt(data []byte, end int) string {
	out := ""
	walk(data[:min(max(end-1, 0), len(data))], func(levels []level, _ bool) bool {
		out = path(levels)
		return true
	})
	return out
}

// twice finds a key that stands twice in one object of valid JSON; empty where
// none does. Keys that differ only in case are one to the decoder.
func twice(data []byte) string {
	out := ""
	walk(data, func(levels []level, again bool) bool {
		if again {
			out = path(levels)
		}
		return !again
	})
	return out
}

// walk goes through valid JSON, or the beginning of it, and calls visit with
// the levels at every key and at every change of place; again says that the
// key stood in its object before. The walk ends where visit returns false.
func walk(data []byte, visit func(levels []level, again bool) bool) {
	var levels []level
	key := false // the next string is a key
	for i := 0; i < len(data); i++ {
		again := false
		switch data[i] {
		case '{', '[':
			key = data[i] == '{'
			levels = append(levels, level{object: key})
		case '}', ']':
			if len(levels) == 0 {
				return
			}
			levels, key = levels[:len(levels)-1], false
		case ',':
			if len(levels) == 0 {
				return
			}
			top := &levels[len(levels)-1]
			key = top.object
			if !key {
				top.index++
			}
		case '"':
			from := i
			for i++; i < len(data) && data[i] != '"'; i++ {
				if data[i] == '\\' {
					i++
				}
			}
			if !key || i >= len(data) || len(levels) == 0 {
				continue
			}
			top := &levels[len(levels)-1]
			name, err := unquote(data[from : i+1])
			if err != nil {
				return
			}
			low := strings.ToLower(name)
			for _, k := range top.keys {
				again = again || k == low
			}
			top.key, top.keys, key = name, append(top.keys, low), false
		default:
			continue
		}
		if !visit(levels, again) {
			return
		}
	}
}

// unquote reads a string of JSON.
func unquote(data []byte) (string, error) {
	for _, c := range data {
		if c == '\\' {
			var s string
			err := json.Unmarshal(data, &s)
			return s, err
		}
	}
	return string(data[1 : len(data)-1]), nil
}
