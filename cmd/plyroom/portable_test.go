package main

import (
	"bufio"
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// deciding are the folders of what decides layouts and cut files, whose bytes are
// the same on every processor; judging is the verifier, which decides nothing but
// shares no code with them.
var (
	deciding = []string{"shapes", "nest", "export/toolpath", "export/dxf", "export/gcode", "export/hpgl", "export/svg"}
	judging  = "nest/verify"
)

// TestDecidingIsSteady: of package math, nothing that decides a layout or a cut file
// uses functions whose last bits differ from processor to processor. Package steady
// has those that are needed.
func TestDecidingIsSteady(t *testing.T) {
	differ := strings.Fields("Acos Acosh Asin Asinh Atan Atan2 Atanh Cbrt Cos Cosh Erf Erfc Exp Exp2 Expm1 Gamma Hypot J0 J1 Lgamma " +
		"Log Log10 Log1p Log2 Pow Sin Sincos Sinh Tan Tanh Y0 Y1")
	files := 0
	for _, root := range deciding {
		require.NoError(t, filepath.WalkDir("../../"+root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			if filepath.Base(path) == "student.go" || strings.Contains(filepath.ToSlash(path), judging+"/") {
				return nil // student.go tells how sure a study is of differences between nests
			}
			files++
			set := token.NewFileSet()
			f, err := parser.ParseFile(set, path, nil, 0)
			require.NoError(t, err)
			ast.Inspect(f, func(n ast.Node) bool {
				if s, ok := n.(*ast.SelectorExpr); ok && slices.Contains(differ, s.Sel.Name) {
					if p, ok := s.X.(*ast.Ident); ok && p.Name == "math" {
						t.Errorf("%s: math.%s: package steady has one that gives the same bits everywhere", set.Position(s.Pos()), s.Sel.Name)
					}
				}
				return true
			})
			return nil
		}))
	}
	require.Greater(t, files, 150)
}

var (
	// fusedAt is an instruction that multiplies and adds with one rounding, as the
	// compiler lists it.
	fusedAt = regexp.MustCompile(`\(([^()]+\.go):(\d+)\)\s+FN?M(?:ADD|SUB)[DS]\s`)
	// exactly is a product that no rounding changes: by a power of two.
	exactly = regexp.MustCompile(`/ ?[248]\b|(^|[^\w.])(2|4|8|0\.5|0\.25) ?\*|\* ?(2|4|8|0\.5|0\.25)($|[^\w.])`)
)

// TestOtherProcessors builds the program for arm64. The compiler lists where it
// fused a product with a sum: nowhere that decides a layout. And run under an
// emulator, the program writes the same files as here, but for the page, in whose
// pictures a library leaves out points by products that it does not round.
func TestOtherProcessors(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: compiles for another processor and emulates it")
	}
	program := filepath.Join(t.TempDir(), "plyroom")
	cmd := exec.Command("go", "build", "-gcflags=plyroom/...=-S", "-o", program, ".")
	cmd.Env = append(os.Environ(), "GOARCH=arm64", "GOOS=linux", "CGO_ENABLED=0")
	listing, err := cmd.CombinedOutput()
	require.NoError(t, err)
	t.Run("nothing is fused", func(t *testing.T) { nothingIsFused(t, listing) })
	t.Run("the same files", func(t *testing.T) {
		emulator, err := exec.LookPath("qemu-aarch64")
		if err != nil {
			t.Skip("SKIPPED: no emulator of another processor here (Debian package qemu-user)")
		}
		job, out := portableJob(t), filepath.Join(t.TempDir(), "OUT")
		args := []string{"nest", job, "-o", out, "--effort", "1", "--seed", "4"}
		said, err := exec.Command(emulator, append([]string{program}, args...)...).CombinedOutput()
		require.NoError(t, err, string(said))
		there := contents(t, out)
		require.NoError(t, os.RemoveAll(out))
		status, _, complaint := command(t, args...)
		require.Equal(t, 0, status, complaint)
		here := contents(t, out)
		require.Contains(t, here, "layouts.json")
		require.Len(t, there, len(here))
		for name, text := range here {
			if name != "report.html" {
				require.True(t, there[name] == text, "%s differs", name)
			}
		}
	})
}

// nothingIsFused reads the compiler's listing. A product written float64(x*y) is
// rounded before it is added; one by a power of two is exact either way.
func nothingIsFused(t *testing.T, listing []byte) {
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	require.Greater(t, bytes.Count(listing, []byte("FADDD")), 1000, "the compiler lists its instructions")
	lines := map[string][]string{}
	found := map[string]bool{}
	sum := bufio.NewScanner(bytes.NewReader(listing))
	sum.Buffer(nil, 1<<20)
	for sum.Scan() {
		m := fusedAt.FindStringSubmatch(sum.Text())
		if m == nil {
			continue
		}
		file, own := strings.CutPrefix(filepath.ToSlash(m[1]), filepath.ToSlash(root)+"/")
		if !own || !slices.ContainsFunc(deciding, func(d string) bool { return strings.HasPrefix(file, d+"/") }) {
			continue
		}
		if lines[file] == nil {
			text, err := os.ReadFile(filepath.Join(root, file))
			require.NoError(t, err)
			lines[file] = strings.Split(string(text), "\n")
		}
		n, err := strconv.Atoi(m[2])
		require.NoError(t, err)
		line := lines[file][n-1]
		if !found[m[1]+m[2]] && !exactly.MatchString(unrounded(line)) && !strings.Contains(line, "math.FMA(") {
			t.Errorf("%s:%d: a product is fused with a sum; write float64(x*y) where it is made:\n%s", file, n, line)
		}
		found[m[1]+m[2]] = true
	}
	require.NoError(t, sum.Err())
	require.NotEmpty(t, found, "products by powers of two are fused, and do no harm")
}

// unrounded is a line of code without what is in float64(...).
func unrounded(line string) string {
	for {
		at := strings.Index(line, "float64(")
		if at < 0 {
			return line
		}
		depth, end := 0, len(line)
		for i := at + len("float64"); i < len(line); i++ {
			switch line[i] {
			case '(':
				depth++
			case ')':
				depth--
			}
			if depth == 0 {
				end = i + 1
				break
			}
		}
		line = line[:at] + "x" + line[end:]
	}
}

// portableJob is what a run on another processor lays: parts of the demo, from two
// formats, with fabrics that turn and fabrics that do not, arcs, holes and hands.
func portableJob(t *testing.T) string {
	demo, err := filepath.Abs("../../testdata/nacelle")
	require.NoError(t, err)
	text := readText(t, demo, "job.yaml")
	before, after, ok := strings.Cut(text, "  - part: Upper shell")
	require.True(t, ok)
	_, after, ok = strings.Cut(after, "  - part: Bulkhead")
	require.True(t, ok)
	text = before + "  - part: Bulkhead" + after
	text = strings.ReplaceAll(text, "units: 2", "units: 1")
	text = regexp.MustCompile(`outlines: (\S+)`).ReplaceAllString(text, "outlines: "+demo+"/$1")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(text), 0o644))
	return filepath.Join(dir, "job.yaml")
}
