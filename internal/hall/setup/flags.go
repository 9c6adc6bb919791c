package setup

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Flag is that a taxon is protected or controlled where the event takes place. The source is whoever says so, such as
// the schedule of a law.
type Flag struct {
	Name   string `json:"name"`
	Flag   string `json:"flag"`
	Source string `json:"source"`
	Permit string `json:"permit,omitempty"` // the permit that names the taxon
}

// FlagChange is a flag whose source or permit is to be another.
type FlagChange struct {
	ID   foray.ID `json:"id"`
	Flag Flag     `json:"flag"`
}

// FlagTaken is a flag to be taken back.
type FlagTaken struct {
	ID foray.ID `json:"id"`
}

// AddFlag flags a taxon.
func AddFlag(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Flag) (Made, error) {
	cmd.Type, cmd.Body = "flag.add.v1", in
	return addTo(ctx, h, actor, scope, cmd, "flag", func(w *hall.Write, id foray.ID) error { return addFlag(w, id, in) })
}

func addFlag(w *hall.Write, id foray.ID, in Flag) error {
	f, err := readFlag(w, id, in)
	if err != nil {
		return err
	}
	flags, err := w.Tx.TaxonFlags(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return err
	}
	if other, there := sameFlag(flags, f); there {
		return fault.Wrong("name", "setup.flag-taken", "name", other.Name)
	}
	return w.Tx.AddTaxonFlag(f)
}

// readFlag is a flag as it is stored.
func readFlag(w *hall.Write, id foray.ID, in Flag) (store.TaxonFlag, error) {
	f := store.TaxonFlag{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, Flag: in.Flag, Source: tidy(in.Source),
		Permit: tidy(in.Permit), AddedBy: w.Actor.Person, AddedAt: w.Stamp()}
	switch {
	case !slices.Contains(hall.FlagKinds, in.Flag):
		return f, fault.Wrong("flag", "setup.flag-kind")
	case f.Source == "" || len(f.Source) > mostName:
		return f, fault.Wrong("source", "setup.flag-source")
	case len(f.Permit) > mostName:
		return f, fault.Wrong("permit", "setup.name-missing")
	}
	n, err := readFlagged(&w.Look, in.Name)
	f.NameKey, f.CurrentKey, f.Name = n.Key, n.CurrentKey, n.Name
	return f, err
}

// readFlagged reads the one taxon that a flag names: the event's own abbreviations do not help, and a form group is none.
func readFlagged(l *hall.Look, name string) (foray.SlipName, error) {
	n, err := l.ReadName(hall.NameInput{Text: name}, 1, map[string]bool{})
	if err == nil && (n.CurrentKey == "" || n.Qualifier != "" || n.NameRank == string(taxon.Form)) {
		err = fault.Wrong("name", "setup.flag-name", "name", name)
	}
	return n, err
}

// sameFlag is the flag of the same taxon and kind that is there already.
func sameFlag(flags []store.TaxonFlag, f store.TaxonFlag) (store.TaxonFlag, bool) {
	i := slices.IndexFunc(flags, func(other store.TaxonFlag) bool { return other.CurrentKey == f.CurrentKey && other.Flag == f.Flag })
	if i < 0 {
		return store.TaxonFlag{}, false
	}
	return flags[i], true
}

// ChangeFlag writes another source or permit: the flag as it was is taken back and stays to be read.
func ChangeFlag(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in FlagChange) (Made, error) {
	cmd.Type, cmd.Body = "flag.change.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		was, err := takeFlag(w, in.ID)
		if err != nil {
			return Made{}, err
		}
		id, err := w.NewID()
		if err != nil {
			return Made{}, err
		}
		return changed(w, "flag", id, was, addFlag(w, id, in.Flag))
	})
}

// TakeFlag takes a flag back.
func TakeFlag(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in FlagTaken) (Made, error) {
	cmd.Type, cmd.Body = "flag.take.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		was, err := takeFlag(w, in.ID)
		if err != nil {
			return Made{}, err
		}
		w.Note("flag.take", in.ID, was.Flag+" "+was.Name)
		w.Changed("flag", in.ID)
		return Made(in), nil
	})
}

func takeFlag(w *hall.Write, id foray.ID) (Flag, error) {
	flags, err := w.Tx.TaxonFlags(w.Scope.Society, w.Scope.Event)
	for _, f := range flags {
		if f.ID == id {
			return FlagOf(f), w.Tx.RemoveTaxonFlag(w.Scope.Society, w.Scope.Event, id, w.Actor.Person, w.Stamp())
		}
	}
	return Flag{}, missing(err)
}

// FlagOf is a flag as it was typed in.
func FlagOf(f store.TaxonFlag) Flag {
	return Flag{Name: f.Name, Flag: f.Flag, Source: f.Source, Permit: f.Permit}
}
