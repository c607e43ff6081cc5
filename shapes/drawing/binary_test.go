package drawing

import (
	"encoding/binary"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// toBinary turns the text form into the binary one, with two-byte codes or,
// as in the oldest version, with one-byte codes.
func toBinary(text string, wide bool) []byte {
	out := append([]byte("Plyroom"), binaryTail...)
	rows := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	for i := 0; i+1 < len(rows); i += 2 {
		code, _ := strconv.Atoi(rows[i])
		switch {
		case wide:
			out = binary.LittleEndian.AppendUint16(out, uint16(code))
		case code >= 255:
			out = binary.LittleEndian.AppendUint16(append(out, 255), uint16(code))
		default:
			out = append(out, byte(code))
		}
		v, _ := strconv.ParseFloat(rows[i+1], 64)
		switch binaryKind(code) {
		case 'd':
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(v))
		case 'h':
			out = binary.LittleEndian.AppendUint16(out, uint16(int16(v)))
		case 'i':
			out = binary.LittleEndian.AppendUint32(out, uint32(int32(v)))
		case 'l':
			out = binary.LittleEndian.AppendUint64(out, uint64(int64(v)))
		case 'b':
			out = append(out, byte(v))
		default:
			out = append(append(out, rows[i+1]...), 0)
		}
	}
	return out
}

// The binary form reads as the text form does.
func TestDXFBinary(t *testing.T) {
	for _, s := range dxfSeeds() {
		want, werr := ReadFrom(strings.NewReader(s), "a.dxf", Options{Unit: "mm"})
		for _, wide := range []bool{true, false} {
			got, err := ReadFrom(strings.NewReader(string(toBinary(s, wide))), "a.dxf", Options{Unit: "mm"})
			require.Equal(t, werr == nil, err == nil, "%v, %v", werr, err)
			require.Equal(t, names(want), names(got))
			for i, o := range got.Outlines {
				assert.Equal(t, want.Outlines[i].Exterior, o.Exterior)
				assert.Equal(t, want.Outlines[i].Marks, o.Marks)
			}
			assert.Len(t, got.PassedOver, len(want.PassedOver))
		}
	}
	good := toBinary(dxfPage("", square), true)
	for i := range good {
		d, _ := ReadFrom(strings.NewReader(string(good[:i])), "a.dxf", Options{})
		require.NotNil(t, d, "cut at %d", i)
	}
}
