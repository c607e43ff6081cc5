package toolpath

import (
	"strconv"
	"strings"
)

// Decimal writes a number with a fixed count of decimals, never as -0.
func Decimal(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if s[0] == '-' && strings.Trim(s, "-0.") == "" {
		return s[1:]
	}
	return s
}
