package fieldwork

import (
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Tally adds to a record; a negative one takes a slip of the finger back.
type Tally struct {
	Record foray.ID `json:"record"`
	N      int      `json:"n"`
}

// Stand is that somebody who may determine stands behind a record.
type Stand struct {
	Record     foray.ID `json:"record"`
	Determiner foray.ID `json:"determiner,omitzero"` // zero: whoever writes
}

// Strike takes a record back; it stays to be read.
type Strike struct {
	Record foray.ID `json:"record"`
	Reason string   `json:"reason"`
}

// AddTally counts more of what was recorded.
func AddTally(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Tally) (Stood, error) {
	cmd.Type, cmd.Body = "field.tally.v1", in
	return onRecord(ctx, h, actor, access.NameOwn, scope, cmd, in.Record, reacher.tallies, func(w *hall.Write, s hall.SeenThere) error {
		switch {
		case in.N == 0 || in.N > mostCount || in.N < -mostCount:
			return fault.Wrong("n", "seen.count-wrong", "most", mostCount)
		case s.Count+in.N < 0:
			return fault.Wrong("n", "seen.fewer-than-none", "n", s.Count)
		}
		if err := w.TakesIn(); err != nil {
			return err
		}
		return count(w, s.ID, in.N)
	})
}

// StandBehind makes a record count: an identifier's word, or a scribe's for one.
func StandBehind(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Stand) (Stood, error) {
	cmd.Type, cmd.Body = "field.stand.v1", in
	who, action := in.Determiner, access.ScribeSignOff
	if who.IsZero() || who == actor.Person {
		who, action = actor.Person, access.SignOff
	}
	return onRecord(ctx, h, actor, action, scope, cmd, in.Record, reacher.any, func(w *hall.Write, s hall.SeenThere) error {
		may, err := w.MayDetermine(who)
		switch {
		case err != nil:
			return err
		case !may:
			return fault.Wrong("determiner", "slip.determiner-missing")
		case s.Name == "" || s.NameRank == "form":
			return fault.New(fault.Refused, "seen.no-taxon")
		case slices.ContainsFunc(s.Stands, func(word store.FieldWord) bool { return word.PersonID == who }):
			return fault.New(fault.Refused, "seen.stands-already", "name", hall.Written(s.SlipName()))
		}
		return say(w, s.ID, hall.FieldStand, who, "")
	})
}

// StrikeRecord takes a record off the list, with the reason.
func StrikeRecord(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Strike) (Stood, error) {
	cmd.Type, cmd.Body = "field.strike.v1", in
	return onRecord(ctx, h, actor, access.NameOwn, scope, cmd, in.Record, reacher.strikes, func(w *hall.Write, s hall.SeenThere) error {
		reason := strings.TrimSpace(in.Reason)
		if reason == "" {
			return fault.Wrong("reason", "seen.reason-missing")
		}
		if len(reason) > mostText {
			return fault.Wrong("reason", "text.too-long", "most", mostText)
		}
		return say(w, s.ID, hall.FieldStrike, w.Actor.Person, reason)
	})
}

// onRecord writes to one record, one command after the other. What was struck takes no further word.
func onRecord(ctx context.Context, h *hall.Hall, actor access.Actor, action access.Action, scope access.Scope, cmd hall.Command, record foray.ID,
	may func(reacher, store.FieldRecord) (bool, error), write func(*hall.Write, hall.SeenThere) error) (Stood, error) {
	return hall.Do(ctx, h, actor, action, scope, cmd, func(w *hall.Write) (Stood, error) {
		if err := open(w); err != nil {
			return Stood{}, err
		}
		r, err := w.Tx.LockFieldRecord(scope.Society, scope.Event, record)
		if err != nil {
			return Stood{}, err
		}
		if ok, err := may(reacher{&w.Look}, r); err != nil || !ok {
			return Stood{}, orRefused(w, err)
		}
		s, err := one(&w.Look, r.ID)
		if err != nil {
			return Stood{}, err
		}
		if s.Struck != nil {
			return Stood{}, fault.New(fault.Refused, "seen.struck", "name", hall.Written(s.SlipName()))
		}
		if err := write(w, s); err != nil {
			return Stood{}, err
		}
		w.Note(strings.TrimSuffix(cmd.Type, ".v1"), r.ID, hall.Written(s.SlipName()))
		w.Changed("field", r.ID)
		return stood(w, r.ID)
	})
}

// orRefused: what a member may not see is not there; staff are told that they lack the right.
func orRefused(w *hall.Write, err error) error {
	switch {
	case err != nil:
		return err
	case w.Held.Can(access.NameAny):
		return hall.NotAllowed(access.SignOff)
	}
	return fault.Missing()
}

// reacher says which records somebody may write to.
type reacher struct{ *hall.Look }

func (reacher) any(store.FieldRecord) (bool, error) { return true, nil }

func (r reacher) own(f store.FieldRecord) bool {
	return r.Actor.SignedIn() && (f.ObserverID == r.Actor.Person || f.EnteredBy == r.Actor.Person)
}

// tallies: one's own, one's own team's, or any for who may name what others found.
func (r reacher) tallies(f store.FieldRecord) (bool, error) {
	if r.own(f) || r.Held.Can(access.NameAny) {
		return true, nil
	}
	if f.TeamID.IsZero() {
		return false, nil
	}
	teams, err := r.Tx.Teams(r.Scope.Society, r.Scope.Event)
	return slices.ContainsFunc(teams, func(t store.Team) bool { return t.ID == f.TeamID && leads(r.Look, t) }), err
}

// strikes: one's own, or any for who may determine or keeps the list.
func (r reacher) strikes(f store.FieldRecord) (bool, error) {
	return r.own(f) || r.Held.Can(access.SignOff) || r.Held.Can(access.PublishList), nil
}

func count(w *hall.Write, record foray.ID, n int) error {
	id, err := w.NewID()
	if err != nil {
		return err
	}
	return w.Tx.AddFieldTally(store.FieldTally{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, RecordID: record, N: n,
		CountedBy: w.Actor.Person, HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()})
}

func say(w *hall.Write, record foray.ID, kind string, who foray.ID, remarks string) error {
	id, err := w.NewID()
	if err != nil {
		return err
	}
	return w.Tx.AddFieldWord(store.FieldWord{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, RecordID: record, Kind: kind,
		PersonID: who, WriterID: w.Actor.Person, Remarks: remarks, HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()})
}

func one(l *hall.Look, id foray.ID) (hall.SeenThere, error) {
	all, err := l.SeenThere()
	for _, s := range all {
		if s.ID == id {
			return s, nil
		}
	}
	if err == nil {
		err = fault.Missing()
	}
	return hall.SeenThere{}, err
}

func stood(w *hall.Write, id foray.ID) (Stood, error) {
	s, err := one(&w.Look, id)
	return Stood{Record: id, Name: hall.Written(s.SlipName()), Count: s.Count, Confirmed: len(s.Stands) > 0 && s.Struck == nil, Struck: s.Struck != nil}, err
}
