package main

import (
	"encoding/json"
	"fmt"

	"plyroom/export/summary"
	"plyroom/export/table"
	"plyroom/nest"
	"plyroom/nest/account"
)

// summary tells what a plan came to, as a table or as JSON.
func (a *app) summary(rec *nest.Record, out string, asJSON bool) error {
	led, err := account.Measure(rec)
	if err != nil {
		return cannot(err)
	}
	if !asJSON {
		if err := summary.Fabrics(rec, led).WriteText(a.stdout, 0); err != nil {
			return cannot(err)
		}
		if words := summary.Repeats(led); words != "" {
			fmt.Fprintln(a.stdout, words)
		}
		for _, t := range []*table.Table{summary.Divisions(rec), summary.Spreads(rec)} {
			if t == nil {
				continue
			}
			if err := t.WriteText(a.stdout, 0); err != nil {
				return cannot(err)
			}
		}
		if words := summary.Together(rec); words != "" {
			fmt.Fprintln(a.stdout, words)
		}
		fmt.Fprintf(a.stdout, "written to %s; open %s/report.html\n", out, out)
		return nil
	}
	type yields struct {
		account.Summary
		NetYield       float64 `json:"net_yield"`
		CutYield       float64 `json:"cut_yield"`
		NetYieldUsable float64 `json:"net_yield_usable"`
		CutYieldUsable float64 `json:"cut_yield_usable"`
		OverBound      float64 `json:"over_bound"`
	}
	with := func(s account.Summary) yields {
		b := s.Books
		return yields{s, b.NetYield(), b.CutYield(), b.NetYieldUsable(), b.CutYieldUsable(), s.Gap()}
	}
	doc := struct {
		Output   string              `json:"output"`
		Job      string              `json:"job"`
		Revision string              `json:"revision"`
		Currency string              `json:"currency,omitempty"`
		Search   nest.Search         `json:"search"`
		Fabrics  []yields            `json:"fabrics"`
		Total    yields              `json:"total"`
		Spreads  []nest.SpreadOption `json:"spread_options,omitempty"`
		Divided  []nest.Division     `json:"divisions,omitempty"`
		Together *nest.Together      `json:"together,omitempty"`
		Short    []nest.Short        `json:"short,omitempty"`
	}{out, rec.Job, rec.Revision, rec.Currency, rec.Search, []yields{}, with(led.Total), rec.SpreadOptions, rec.Divisions, rec.Together, rec.Short}
	for _, s := range led.Fabrics {
		doc.Fabrics = append(doc.Fabrics, with(s))
	}
	enc := json.NewEncoder(a.stdout)
	enc.SetIndent("", " ")
	if err := enc.Encode(doc); err != nil {
		return cannot(err)
	}
	return nil
}
