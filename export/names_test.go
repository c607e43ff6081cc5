package export

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestSafeFileName(t *testing.T) {
	for _, tc := range []struct{ in, want string }{
		{"L1", "L1"},
		{"upper-shell_u2.pdf", "upper-shell_u2.pdf"},
		{"Upper shell", "Upper_shell-"},
		{"Überzug 45°", "Uberzug_45_-"},
		{"", "_-"},
		{".", "_-"},
		{"..", "_-"},
		{"../../etc/passwd", "_._etc_passwd-"},
		{`C:\x`, "C__x-"},
		{"-rf", "rf-"},
		{"nul", "_nul-"},
		{"COM1.txt", "_COM1.txt-"},
		{"a\x00b\nc", "a_b_c-"},
		{"a/b", "a_b-"},
		{"ply-0123abcd", "ply-0123abcd-"},
		{"\xff\xfe", "_-"},
	} {
		got := SafeFileName(tc.in)
		if !strings.HasSuffix(tc.want, "-") {
			assert.Equal(t, tc.want, got, "%q", tc.in)
			continue
		}
		assert.Regexp(t, `^\Q`+tc.want+`\E[0-9a-f]{8}$`, got, "%q", tc.in)
	}
}

func TestSafeFileNameKeepsTextsApart(t *testing.T) {
	seen := map[string]string{}
	long := strings.Repeat("x", 300)
	for _, s := range []string{"a b", "a_b", "a/b", "a\\b", "a\tb", "", " ", "  ", ".", "..", long, long + "y", "é", "e\u0301", SafeFileName("a b")} {
		got := SafeFileName(s)
		if was, ok := seen[got]; ok {
			t.Errorf("%q and %q both become %q", was, s, got)
		}
		seen[got] = s
	}
}

// The laws of the documentation, on any text.
func TestSafeFileNameLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[a-zA-Z0-9._/\\-]{0,120}`)).Draw(t, "s")
		got := SafeFileName(s)
		require.Regexp(t, `^[A-Za-z0-9_][A-Za-z0-9._-]*$`, got)
		require.LessOrEqual(t, len(got), MaxFileName)
		require.False(t, strings.HasSuffix(got, "."))
		require.NotContains(t, got, "..")
		require.False(t, deviceName(got))
		require.Equal(t, got, SafeFileName(s))
	})
}
