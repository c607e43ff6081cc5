package nest

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
)

// Decimals is how many decimal places of a millimetre a record keeps: a nanometre is far below what a knife or a check can tell.
const Decimals = 6

// Round rounds a length to what a record keeps. It never returns -0.
func Round(v float64) float64 {
	const scale = 1e6
	r := math.Round(v*scale) / scale
	if r == 0 {
		return 0
	}
	return r
}

// RoundAngle rounds a rotation, degrees, to nine decimals: at a metre from the
// origin that is less than the grain of Round. It never returns -0.
func RoundAngle(deg float64) float64 {
	const scale = 1e9
	r := math.Round(deg*scale) / scale
	if r == 0 {
		return 0
	}
	return r
}

// Write writes the record as indented JSON. Empty lists are written as [].
func (r *Record) Write(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(r)
}

// maxRecord bounds what Read takes in, so that a wrong file cannot fill the
// memory.
const maxRecord = 2 << 30

// Read reads a record and checks that it is of this format, and that the file
// holds nothing else. It does not check the plan itself; package verify does.
// Errors say in plain words what is wrong with the file.
func Read(rd io.Reader) (*Record, error) {
	data, err := io.ReadAll(io.LimitReader(rd, maxRecord))
	if err != nil {
		return nil, fmt.Errorf("cannot read the record: %w", err)
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	var r Record
	if err := dec.Decode(&r); err != nil {
		return nil, damage(data, err)
	}
	end := dec.InputOffset()
	if rest := bytes.TrimLeft(data[end:], " \t\r\n"); len(rest) > 0 {
		return nil, fmt.Errorf("the record ends at byte %d and more follows it; a file holds one record%s", end, remedy)
	}
	if key := twice(data); key != "" {
		return nil, fmt.Errorf("the record is damaged: %s stands twice%s", key, remedy)
	}
	switch {
	case r.Format == 0:
		return nil, errors.New("no format field: not a plyroom record")
	case r.Format != Format:
		return nil, fmt.Errorf("record format %d; this plyroom reads format %d", r.Format, Format)
	case r.Units != "mm":
		return nil, fmt.Errorf("record units %q; records are in mm", r.Units)
	}
	return &r, nil
}
