package study

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"io"
	"strconv"
	"strings"

	"plyroom/export/markup"
	"plyroom/export/table"
	"plyroom/nest/study"
)

//go:embed style.css
var pageStyle string

//go:embed chart.css
var chartStyle string

// style is that of the page: of what a picture on its own needs, and the rest.
var style = chartStyle + pageStyle

// WritePage writes a study as one HTML file.
func WritePage(out io.Writer, t *study.Table) error {
	w := markup.New(out)
	w.Doctype()
	w.Start("html", "lang", "en")
	head(w, t)
	w.Start("body")
	w.Leaf("a", "Skip to the study", "class", "skip", "href", "#main")
	masthead(w, t)
	w.Start("main", "id", "main", "tabindex", "-1")
	answers(w, t)
	rules(w, t)
	curves(w, t)
	cases(w, t)
	pictures(w, t)
	method(w, t)
	w.End()
	w.End()
	w.End()
	w.Line()
	return w.Flush()
}

// head admits the style sheet by its hash and nothing else: no script, no
// network.
func head(w *markup.Writer, t *study.Table) {
	sum := sha256.Sum256([]byte(style))
	policy := "default-src 'none'; img-src data:; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'"
	w.Start("head")
	w.Line()
	w.Empty("meta", "charset", "utf-8")
	w.Empty("meta", "http-equiv", "Content-Security-Policy", "content", policy)
	w.Empty("meta", "name", "viewport", "content", "width=device-width, initial-scale=1")
	w.Empty("meta", "name", "color-scheme", "content", "light dark")
	w.Empty("meta", "name", "referrer", "content", "no-referrer")
	w.Leaf("title", title(t)+" – study")
	w.Empty("link", "rel", "icon", "href", "data:,")
	w.Raw("style", style)
	w.End()
	w.Line()
}

func title(t *study.Table) string {
	if t.Spec.Revision == "" {
		return t.Spec.Job
	}
	return t.Spec.Job + ", revision " + t.Spec.Revision
}

func masthead(w *markup.Writer, t *study.Table) {
	w.Start("header", "class", "mast")
	w.Start("div", "class", "job")
	w.Leaf("p", "Study", "class", "lab")
	w.Leaf("h1", t.Spec.Job)
	w.End()
	w.Start("div", "class", "rev")
	w.Leaf("p", "Revision", "class", "lab")
	rev := t.Spec.Revision
	if rev == "" {
		rev = "–"
	}
	w.Leaf("p", rev, "class", "big")
	w.End()
	w.Start("dl", "class", "figs")
	fig := func(name, value string) {
		w.Start("div")
		w.Leaf("dt", name)
		w.Leaf("dd", value)
		w.End()
	}
	if n := len(t.Rows); n > 0 {
		fig("cases", strconv.Itoa(n))
	}
	if n := len(t.Rules); n > 0 {
		fig("rules relaxed", strconv.Itoa(n))
	}
	fig("nests laid", strconv.Itoa(t.Done)+" of "+strconv.Itoa(t.Nests))
	fig("seeds", strconv.Itoa(t.Spec.Seeds))
	fig("effort", strconv.Itoa(t.Spec.Effort))
	w.End()
	w.End()
	w.Line()
}

func answers(w *markup.Writer, t *study.Table) {
	says := InWords(t)
	if len(says) == 0 {
		return
	}
	w.Start("section", "class", "care", "aria-labelledby", "says")
	w.Leaf("h2", "What it says", "id", "says")
	for _, s := range says {
		w.Leaf("p", s)
	}
	w.End()
	w.Line()
}

func cases(w *markup.Writer, t *study.Table) {
	if len(t.Rows) == 0 {
		return
	}
	w.Start("section", "aria-labelledby", "cases")
	w.Leaf("h2", "Every case", "id", "cases")
	w.Leaf("p", "A set is one of each part in the job's proportion. Figures are means over the seeds; ± is the standard deviation between seeds.", "class", "note")
	html(w, Cases(t), "grid")
	w.End()
	w.Line()
}

// html writes a table as it stands on a terminal.
func html(w *markup.Writer, t *table.Table, class string) {
	w.Start("div", "class", "scroll", "tabindex", "0", "role", "group", "aria-label", "table")
	w.Start("table", "class", class)
	w.Start("thead")
	w.Start("tr")
	for _, c := range t.Columns {
		if !c.FileOnly {
			name := c.Title
			if name == "" {
				name = strings.ReplaceAll(c.Key, "_", " ")
			}
			w.Leaf("th", name, "scope", "col", markup.If(c.Right, "class"), "n")
		}
	}
	w.End()
	w.End()
	w.Start("tbody")
	for _, r := range t.Rows {
		w.Start("tr")
		for i, c := range r {
			if !t.Columns[i].FileOnly {
				w.Leaf("td", c.String(), markup.If(t.Columns[i].Right, "class"), "n")
			}
		}
		w.End()
	}
	w.End()
	w.End()
	w.End()
}

func method(w *markup.Writer, t *study.Table) {
	w.Start("section", "aria-labelledby", "how")
	w.Leaf("h2", "How to read it", "id", "how")
	w.Leaf("p", "Every figure comes from a layout that was laid and checked by every rule, all with the same effort. Each fabric takes as much as it needs; stock is left out. Where a width is varied, a price per metre or roll is taken in proportion to the width.", "class", "note")
	if t.Spec.Seeds > 1 && (len(t.Rules) > 0 || len(t.Rows) > 1) {
		w.Leaf("p", "The search has luck in it. Cases are compared seed by seed. A difference is called clear where it passes Student's t at a level of 5 % shared out over all that are compared, with the spread of all comparisons taken together, or its own where that is larger: in nineteen studies of twenty nothing is called clear by luck.", "class", "note")
	}
	w.End()
	w.Line()
}
