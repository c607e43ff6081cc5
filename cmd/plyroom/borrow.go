package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/nest"
	"plyroom/nest/plan"
	"plyroom/nest/relay"
	"plyroom/nest/remnant"
	"plyroom/shapes"
)

// borrowed are the remnants a run holds until its folder stands. Without a
// store it holds none, and everything goes its usual way.
type borrowed struct {
	session *remnant.Session
	pieces  []remnant.Remnant
}

func remnantsFlag(cmd *cobra.Command, dir *string) {
	cmd.Flags().StringVar(dir, "remnants", "", "folder of remnants that are used first")
}

// borrow reserves the free remnants of a store that a job could use.
func borrow(dir string, job *shapes.Job) (*borrowed, error) {
	b := &borrowed{}
	if dir == "" {
		return b, nil
	}
	s, err := remnant.Open(dir)
	if err != nil {
		return nil, err
	}
	b.session = s.Begin()
	held, err := b.session.ReserveFree(func(r remnant.Remnant) bool { return len(relay.Usable(job, []remnant.Remnant{r})) > 0 })
	if err != nil {
		b.close()
		return nil, err
	}
	b.pieces = relay.Usable(job, held)
	return b, nil
}

// lay fills the remnants and lays the rest of the job on its rolls.
func (b *borrowed) lay(ctx context.Context, job *shapes.Job, s plan.Settings, progress func(plan.Progress)) (*nest.Record, error) {
	return relay.OnRemnants(ctx, job, b.pieces, s, progress)
}

// fill lays pieces of a record that are not cut on the remnants, which become
// rolls of the record.
func (b *borrowed) fill(ctx context.Context, rec *nest.Record, cut []nest.Layout, job *shapes.Job, s *plan.Settings) ([]nest.Layout, error) {
	return relay.Fill(ctx, rec, cut, job, b.pieces, s)
}

// usedBy lists the remnants that layouts of a record are cut from.
func (b *borrowed) usedBy(rec *nest.Record) []string {
	var out []string
	for _, p := range b.pieces {
		if slices.ContainsFunc(rec.Layouts, func(l nest.Layout) bool {
			return slices.ContainsFunc(l.Layers, func(ly nest.Layer) bool { return ly.Fabric == p.Fabric && ly.Roll == p.ID })
		}) {
			out = append(out, p.ID)
		}
	}
	return out
}

// commit puts the folder in place and says what became of the remnants. Killed
// at any moment, the store can tell from the folder.
func (b *borrowed) commit(folder *export.Folder, rec *nest.Record, out string) error {
	if b.session == nil {
		return folder.Commit()
	}
	ids := b.usedBy(rec)
	var data bytes.Buffer
	if err := rec.Write(&data); err != nil {
		return err
	}
	sum := sha256.Sum256(data.Bytes())
	return b.settle(folder, ids, remnant.End{Job: rec.Job, Digest: hex.EncodeToString(sum[:]), Date: rec.Date}, filepath.Join(out, export.RecordName))
}

// settle commits a folder whose file shows the use of remnants.
func (b *borrowed) settle(folder *export.Folder, ids []string, end remnant.End, shown string) error {
	path, err := filepath.Abs(shown)
	if err != nil {
		return err
	}
	end.Record = path
	if end.Date == "" {
		if end.Date, err = dayOf(""); err != nil {
			return err
		}
	}
	if err := b.session.Intend(ids, end); err != nil {
		return err
	}
	if err := folder.Commit(); err != nil {
		return err
	}
	return b.session.Use(ids)
}

// close frees what was not used. It may stand in a defer.
func (b *borrowed) close() {
	if b.session != nil {
		_ = b.session.Close()
	}
}

// told says which remnants a run used, and what it leaves for the store.
func (a *app) told(b *borrowed, rec *nest.Record, store, out string) {
	if b.session == nil {
		return
	}
	for _, id := range b.usedBy(rec) {
		fmt.Fprintf(a.stderr, "remnant %s is used\n", id)
	}
	offers, err := remnant.Offers(rec, remnant.OfferSettings{})
	offers = slices.DeleteFunc(offers, func(o remnant.Offer) bool { return o.OnRoll })
	if n := len(offers); err == nil && n > 0 {
		fmt.Fprintf(a.stderr, "%d %s left over: plyroom remnants keep %s %s\n", n, plural(n, "piece is", "pieces are"), store, out)
	}
}
