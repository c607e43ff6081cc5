package study

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"plyroom/export/markup"
	"plyroom/nest/study"
)

// HasAnswer reports whether a study can be answered in one picture: it relaxes
// rules, or varies something that has figures.
func HasAnswer(t *study.Table) bool {
	return len(t.Rules) > 0 && barsHigh(t) > 30 || answerAxis(t) >= 0
}

// answerAxis is the first axis with a curve; -1 where there is none.
func answerAxis(t *study.Table) int {
	for i := range t.Spec.Axes {
		if ls, _ := lines(t, i, yield); len(ls) > 0 {
			return i
		}
	}
	return -1
}

func yield(s study.Stat) (study.Sample, bool) { return scaled(s.Yield, 100), true }

// The size of an answer, and how many letters fit on one of its lines.
const (
	answerWide    = 1060.0
	answerMargin  = 30.0
	answerLetters = 118
)

// WriteAnswer writes a study as one SVG picture that stands on its own: what
// was asked, what came out in words, and the bars of the rules or the curves of
// an axis. It is drawn on white, for documents and any program that shows SVG.
func WriteAnswer(out io.Writer, t *study.Table) error {
	w := markup.New(out)
	var words []string
	for _, s := range InWords(t) {
		words = append(words, wrapped(s, answerLetters)...)
	}
	if left := barsLeft(t); left > 0 {
		words = append(words, "Of "+count(len(t.Rules), "rule", "rules")+" the "+strconv.Itoa(mostBars)+" that save most are drawn; the table has all.")
	}
	axis := answerAxis(t)
	asked, high := "What each rule costs", barsHigh(t)
	if len(t.Rules) == 0 && axis >= 0 {
		ls, _ := lines(t, axis, yield)
		asked, high = t.Spec.Axes[axis].Name(), chartHigh(ls)*(answerWide-3*answerMargin)/2/chartWide
	}
	from := 78 + float64(20*float64(len(words)))
	total := from + high + 24
	w.Start("svg", "xmlns", "http://www.w3.org/2000/svg", "class", "chart", "viewBox", "0 0 "+fixed(answerWide, 0)+" "+fixed(total, 0),
		"width", fixed(answerWide, 0), "height", fixed(total, 0), "font-family", `system-ui, "Segoe UI", Roboto, "Noto Sans", "Liberation Sans", sans-serif`, "role", "img")
	w.Leaf("title", title(t)+": "+asked)
	w.Raw("style", settled(chartStyle+answerStyle))
	w.Empty("rect", "class", "paper", "x", "0", "y", "0", "width", fixed(answerWide, 0), "height", fixed(total, 0))
	text := func(class string, y float64, s string) {
		w.Leaf("text", s, "class", class, "x", fixed(answerMargin, 0), "y", fixed(y, 0))
	}
	text("asked", 34, short(title(t)+": "+asked, 90))
	text("how", 56, how(t))
	for i, s := range words {
		text("says", 82+float64(20*float64(i)), s)
	}
	at := func(x, y, wide, high float64) []string {
		return []string{"x", fixed(x, 1), "y", fixed(y, 1), "width", fixed(wide, 1), "height", fixed(high, 1)}
	}
	switch {
	case len(t.Rules) > 0:
		bars(w, t, at(answerMargin, from, barsWide, high)...)
	case axis >= 0:
		wide := (answerWide - 3*answerMargin) / 2
		name := t.Spec.Axes[axis].Name()
		ls, _ := lines(t, axis, yield)
		second, of := areaLines, "m² per set"
		if t.ByCost {
			second, of = costLines, strings.TrimSpace(t.Currency+" per set")
		}
		w.Leaf("text", of+" against "+name, "class", "head", "x", fixed(answerMargin, 0), "y", fixed(from+8, 0))
		w.Leaf("text", "net yield, %, against "+name, "class", "head", "x", fixed(2*answerMargin+wide, 0), "y", fixed(from+8, 0))
		drawLines(w, name, of, second(t, axis), at(answerMargin, from+14, wide, high)...)
		drawLines(w, name, "net yield, %", ls, at(2*answerMargin+wide, from+14, wide, high)...)
	}
	w.End()
	w.Line()
	return w.Flush()
}

const answerStyle = ".paper{fill:var(--paper)}.chart .asked{font-size:19px;font-weight:800}.chart .how{fill:var(--dim)}.chart .says{font-size:15px}.chart .head{font-weight:700}"

var (
	styleRoot     = regexp.MustCompile(`(?s):root\{.*?\}\n?`)
	styleDark     = regexp.MustCompile(`(?s)@media \(prefers-color-scheme:dark\)\{:root\{.*?\}\}\n?`)
	styleVariable = regexp.MustCompile(`--([a-z]+):([^;}]+)`)
	styleUse      = regexp.MustCompile(`var\(--([a-z]+)\)`)
)

// settled is a style sheet with the light colours written out: many programs
// that show SVG know no variables, and draw black instead.
func settled(css string) string {
	css = styleDark.ReplaceAllString(css, "")
	value := map[string]string{}
	for _, v := range styleVariable.FindAllStringSubmatch(styleRoot.FindString(css), -1) {
		value[v[1]] = v[2]
	}
	css = styleRoot.ReplaceAllString(css, "")
	return styleUse.ReplaceAllStringFunc(css, func(use string) string { return value[styleUse.FindStringSubmatch(use)[1]] })
}

// how says what the figures rest on.
func how(t *study.Table) string {
	s := fmt.Sprintf("%s, all checked; effort %d, ", count(t.Done, "nest", "nests"), t.Spec.Effort)
	if t.Spec.Seeds == 1 {
		s += fmt.Sprintf("seed %d", t.Spec.Seed)
	} else {
		s += fmt.Sprintf("seeds %d to %d", t.Spec.Seed, t.Spec.Seed+uint64(t.Spec.Seeds)-1)
	}
	if len(t.Rules) > 0 {
		return s + "; bars: " + perSet(t) + " saved where one rule is relaxed; whiskers: noise of the search"
	}
	return s + "; dots: means over the seeds; whiskers: least and most of them"
}

func areaLines(t *study.Table, axis int) []line {
	ls, _ := lines(t, axis, func(s study.Stat) (study.Sample, bool) { return s.Area, true })
	return ls
}

func costLines(t *study.Table, axis int) []line {
	ls, _ := lines(t, axis, func(s study.Stat) (study.Sample, bool) { return s.Cost, s.Priced })
	return ls
}

// wrapped breaks a sentence at spaces into lines of so many letters at most;
// a longer word stands alone.
func wrapped(s string, most int) []string {
	var out []string
	now := ""
	for _, word := range strings.Fields(s) {
		if now != "" && len([]rune(now))+1+len([]rune(word)) > most {
			out = append(out, now)
			now = ""
		}
		now = strings.TrimSpace(now + " " + word)
	}
	if now != "" {
		out = append(out, now)
	}
	return out
}
