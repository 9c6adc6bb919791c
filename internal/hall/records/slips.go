package records

import (
	"maps"
	"slices"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// readNames reads every name of the table. Names written out are read first, so that "A. fulva" is the Amanita of the
// same table before it is anything else.
func (im *importer) readNames(recs []archive.Record) error {
	prefer, err := im.EventNames()
	if err != nil {
		return err
	}
	for range 2 {
		found := map[string]bool{}
		for _, rec := range recs {
			for _, choice := range rec.Names {
				if old, done := im.read[choice]; done && old.CurrentKey != "" {
					continue
				}
				n, err := im.ReadName(hall.NameInput{Text: choice.Verbatim, Qualifier: qualifier(choice.Qualifier)}, 1, prefer)
				if err != nil {
					return err
				}
				im.read[choice] = n
				if n.CurrentKey != "" {
					found[n.Key] = true
				}
			}
		}
		maps.Copy(prefer, found)
	}
	return nil
}

// qualifier brings what stands in a column of its own to the spelling that names have; "" where it is none.
func qualifier(written string) string {
	if written == "" {
		return ""
	}
	for _, text := range []string{"Amanita " + written + " muscaria", "Amanita muscaria " + written} {
		if q := taxon.Read(text).Qualifier; q != taxon.None {
			return string(q)
		}
	}
	return ""
}

// slipsOf is the slips of a row: a field name where there is a choice of names or nobody stands behind one, and a
// sign-off where somebody does. ok is false where the row is refused.
func (im *importer) slipsOf(rec archive.Record, c store.Collection) (slips []foray.Slip, ok bool, err error) {
	names := im.namesOf(rec)
	if len(names) == 0 {
		return nil, true, nil
	}
	determiner, signs, err := im.determiner(rec)
	if err != nil {
		return nil, false, err
	}
	writer, err := im.named(rec.Writer)
	if err != nil {
		return nil, false, err
	}
	if writer.IsZero() {
		writer = im.Actor.Person
	}
	slip := foray.Slip{CollectionID: c.ID, Determiner: determiner, Writer: writer, HappenedAt: im.determinedAt(rec), RecordedAt: im.Now}
	if determiner.IsZero() {
		slip.Determiner = writer
	}
	if !signs || len(names) > 1 {
		slips = append(slips, withKind(slip, foray.FieldName, names))
	}
	if signs {
		slips = append(slips, withKind(slip, foray.SignOff, names[:1]))
	}
	im.describe(rec, slips)
	return im.permit(rec, slips)
}

// determinedAt is when a row was named; where that is not said, when it was picked.
func (im *importer) determinedAt(rec archive.Record) time.Time {
	if rec.DateDetermined.IsZero() {
		return im.moment(rec.Picked)
	}
	return im.moment(rec.DateDetermined)
}

func withKind(s foray.Slip, kind foray.SlipKind, names []foray.SlipName) foray.Slip {
	s.Kind, s.Names = kind, names
	return s
}

// namesOf is the names of a row by rank; one that says the same as an earlier one is left out.
func (im *importer) namesOf(rec archive.Record) []foray.SlipName {
	var names []foray.SlipName
	for _, choice := range rec.Names {
		n := im.read[choice]
		if slices.ContainsFunc(names, n.SameAs) {
			continue
		}
		n.Rank = len(names) + 1
		names = append(names, n)
		im.seen.name(n)
	}
	return names
}

// determiner is who named a row's collection, and whether that is a sign-off: it is unless the row says that it is not
// confirmed, or nobody is known to determine at this event by that name.
func (im *importer) determiner(rec archive.Record) (id foray.ID, signs bool, err error) {
	if id, err = im.named(rec.Determiner); err != nil {
		return id, false, err
	}
	denied := rec.Confirmed != nil && !*rec.Confirmed
	switch {
	case id.IsZero():
		if rec.Confirmed != nil && *rec.Confirmed {
			im.seen.nobody.add(rec.NumberAsWritten)
		}
		return id, false, nil
	case denied:
		return id, false, nil
	case im.determiners[id]:
		return id, true, nil
	case im.opts.KnownDeterminers:
		im.seen.strangers.add(tidy(rec.Determiner))
		return id, false, nil
	}
	im.determiners[id] = true
	im.newRights = append(im.newRights, store.EventRight{SocietyID: im.Scope.Society, EventID: im.Scope.Event, PersonID: id,
		Held: access.Identifier, GivenBy: im.Actor.Person, GivenAt: im.Stamp()})
	im.seen.identifiers.add(im.names[id])
	return id, true, nil
}

// describe gives slips their basis and keeps as remarks what a slip has no field for.
func (im *importer) describe(rec archive.Record, slips []foray.Slip) {
	basis, kept := readBasis(rec.Basis)
	remarks := []string{}
	if kept != "" {
		remarks = append(remarks, im.say("records.kept-basis", kept))
	}
	switch d := rec.DateDetermined; {
	case d.IsZero() && rec.Determiner != "":
		remarks = append(remarks, im.say("records.not-dated", ""))
	case !d.IsZero() && !d.From.Equal(d.To):
		remarks = append(remarks, im.say("records.kept-date", d.Text))
	}
	if q := rec.Names[0].Qualifier; q != "" && qualifier(q) == "" {
		remarks = append(remarks, im.say("records.kept-qualifier", q))
	}
	for i := range slips {
		slips[i].Seq, slips[i].Remarks = i+1, strings.Join(remarks, "; ")
		if slips[i].Kind != foray.SignOff {
			continue
		}
		slips[i].Basis = basis
		if basis == foray.NotStated {
			im.seen.baseless++
		}
	}
}

func (im *importer) say(key, written string) string {
	return message.For(message.English).Say(key, "written", written)
}

// basisWords is how a basis is written beside its own name (common practice).
var basisWords = map[string]foray.Basis{"macro": "macroscopic", "micro": "microscopy", "microscope": "microscopy", "microscopic": "microscopy",
	"reagents": "reagent", "chemical": "reagent", "sporeprint": "spore_print", "dna": "sequence", "sequenced": "sequence", "its": "sequence",
	"photo": "photograph_only", "photograph": "photograph_only", "photoonly": "photograph_only", "field": "in_the_field"}

// readBasis gives NotStated, and the words, where they name no basis.
func readBasis(written string) (basis foray.Basis, kept string) {
	word := strings.NewReplacer(" ", "", "_", "", "-", "", ".", "").Replace(taxon.Fold(written))
	if b, there := basisWords[word]; there {
		return b, ""
	}
	for _, b := range foray.Bases {
		if word == strings.ReplaceAll(string(b), "_", "") {
			return b, ""
		}
	}
	return foray.NotStated, tidy(written)
}

// permit asks the rules of the hall about each slip in turn, as if it were written now.
func (im *importer) permit(rec archive.Record, slips []foray.Slip) ([]foray.Slip, bool, error) {
	for i := range slips {
		var err error
		if slips[i].ID.IsZero() {
			if slips[i].ID, err = im.NewID(); err != nil {
				return nil, false, err
			}
		}
		hand := foray.Hand{Person: im.Actor.Person, MaySign: im.Held.Can(access.SignOff), MayScribe: im.Held.Can(access.ScribeSignOff),
			MaySettle: im.Held.Can(access.Settle), MayName: im.Held.Can(access.NameAny), Determiner: im.determiners[slips[i].Determiner], Past: true}
		err = foray.Replay(slips[:i]).Permit(slips[i], hand, slips[:i], im.Now)
		if err == nil {
			continue
		}
		f := fault.From(err)
		if f.Kind == fault.Internal || f.Kind == fault.NotAllowed {
			return nil, false, err
		}
		im.refuse(rec, "name", slips[i].Name().Verbatim, firstReason(f))
		return nil, false, nil
	}
	return slips, true, nil
}

func firstReason(f *fault.Error) message.Text {
	for _, field := range slices.Sorted(maps.Keys(f.Fields)) {
		return f.Fields[field]
	}
	return f.Text
}
