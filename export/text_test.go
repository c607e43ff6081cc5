package export

import (
	"encoding/xml"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTextEscapes(t *testing.T) {
	for _, tc := range []struct{ in, dxf, hpgl, comment string }{
		{"U02", "U02", "U02", "U02"},
		{`"><script>`, `"><script>`, `'><script>`, `"><script>`},
		{"%%u", "% %u", "%%u", "__u"},
		{"5%°", "5% %%d", "5% deg", "5_ deg"},
		{"50%", "50%", "50%", "50_"},
		{"(M3)", "(M3)", "(M3)", "[M3]"},
		{"a;M3", "a;M3", "a;M3", "a.M3"},
		{"a\r\nb", "a  b", "a  b", "a  b"},
		{"a\x03PD0,0;", "a PD0,0;", "a PD0,0;", "a PD0,0."},
		{"a\x1b%0A", "a %0A", "a %0A", "a _0A"},
		{`a\U+0041`, `a\U+005CU+0041`, `a\U+0041`, `a\U+0041`},
		{"^J", "^ J", "^J", "^J"},
		{"45°", "45%%d", "45 deg", "45 deg"},
		{"Tür", `T\U+00FCr`, "Tur", "Tur"},
		{"😀", `\U+D83D\U+DE00`, "?", "?"},
		{"a\u202eb", "ab", "ab", "ab"},
	} {
		assert.Equal(t, tc.dxf, DXFText(tc.in), "%q", tc.in)
		assert.Equal(t, tc.hpgl, HPGLText(tc.in), "%q", tc.in)
		assert.Equal(t, tc.comment, CommentText(tc.in), "%q", tc.in)
	}
	assert.Equal(t, "T\u00fcr 45%%d \\U+005CP", DXFTextUTF8("Tür 45° \\P"))
	assert.Equal(t, "&#34;&gt;&lt;script&gt; &amp;&#39;", SVGText("\"><script>\n&'"))
}

func TestTextLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[%^\\();"\x00-\x20a-c]{0,300}`)).Draw(t, "s")
		for _, got := range []string{DXFText(s), HPGLText(s), CommentText(s)} {
			require.LessOrEqual(t, len(got), MaxText)
			for _, r := range got {
				require.True(t, r >= ' ' && r <= '~', "%q", got)
			}
		}
		require.False(t, strings.ContainsAny(CommentText(s), "();%"))
		require.NotContains(t, HPGLText(s), `"`)
		var back struct {
			A string `xml:"a,attr"`
			T string `xml:",chardata"`
		}
		e := SVGText(s)
		require.NoError(t, xml.Unmarshal([]byte(`<x a="`+e+`">`+e+`</x>`), &back))
		require.Equal(t, back.A, back.T)
	})
}
