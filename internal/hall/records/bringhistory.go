package records

import (
	"regexp"
	"slices"
	"strings"
	"time"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// readHistories reads every name of the archive, as readNames does: those written out first, so that an abbreviation is the
// name of the same archive before it is anything else.
func (im *importer) readHistories(all []archive.Occurrence) error {
	var recs []archive.Record
	for _, o := range all {
		rec := archive.Record{Names: o.Names}
		if len(o.Identifications) > 0 {
			rec.Names = nil
		}
		for _, row := range o.Identifications {
			if choice := choiceOf(row); choice.Verbatim != "" {
				rec.Names = append(rec.Names, choice)
			}
		}
		recs = append(recs, rec)
	}
	return im.readNames(recs)
}

func choiceOf(row map[string]string) archive.NamedChoice {
	c := archive.NamedChoice{Verbatim: tidy(row["verbatimIdentification"]), Qualifier: row["identificationQualifier"]}
	if c.Verbatim == "" {
		c.Verbatim = tidy(row["scientificName"])
	}
	return c
}

// nameOf reads one name of the history. Where what was written reads otherwise here than it was read there, the archive's
// reading holds, and what was written stands beside it.
func (im *importer) nameOf(row map[string]string) (foray.SlipName, error) {
	choice := choiceOf(row)
	n := im.read[choice]
	said := tidy(row["scientificName"])
	if said == "" || n.Name == said || n.NameRank == string(taxon.Form) {
		return n, nil
	}
	as, err := im.ReadName(hall.NameInput{Text: said, Qualifier: qualifier(choice.Qualifier)}, 1, map[string]bool{})
	if err != nil || as.CurrentKey == "" && n.CurrentKey != "" {
		return n, err
	}
	as.Verbatim, as.Position = choice.Verbatim, n.Position
	if as.Author == "" {
		as.Author = row["scientificNameAuthorship"]
	}
	return as, nil
}

// historyOf is the slips of a find: those of its history, else what its own columns say. ok is false where it is refused.
func (im *importer) historyOf(o archive.Occurrence, c store.Collection) (slips []foray.Slip, ok bool, err error) {
	if len(o.Identifications) == 0 {
		if o.Basis == "" {
			o.Basis = o.Terms["identificationRemarks"]
		}
		o.Confirmed = firm(o.Terms["identificationVerificationStatus"])
		return im.slipsOf(o.Record, c)
	}
	for _, row := range inOrder(o.Identifications) {
		if slips, err = im.addRow(slips, row, c, o.Record); err != nil {
			return nil, false, err
		}
	}
	for i := range slips {
		slips[i].Seq = i + 1
		for _, n := range slips[i].Names {
			im.seen.name(n)
		}
	}
	return im.permit(o.Record, slips)
}

// firm reads a status of others; nil where it says nothing that is known.
func firm(status string) *bool {
	yes, no := true, false
	switch strings.ToLower(strings.TrimSpace(status)) {
	case "unverified", "unconfirmed", "provisional", "disputed", "0":
		return &no
	case "verified", "confirmed", "accepted":
		return &yes
	}
	return nil
}

// inOrder leaves a history of the hall's own as it came; another is put in the order of its days where all have one.
func inOrder(rows []map[string]string) []map[string]string {
	for _, row := range rows {
		if kindOf(row) != "" || row["dateIdentified"] == "" {
			return rows
		}
	}
	rows = slices.Clone(rows)
	slices.SortStableFunc(rows, func(a, b map[string]string) int { return strings.Compare(a["dateIdentified"], b["dateIdentified"]) })
	return rows
}

var kinds = map[string]foray.SlipKind{unconfirmed: foray.FieldName, confirmed: foray.SignOff, unnameable: foray.NotNameable, noFungus: foray.NotFungus}

// kindOf is what a slip of the hall was; empty for what others wrote.
func kindOf(row map[string]string) foray.SlipKind {
	status, _, _ := strings.Cut(row["identificationVerificationStatus"], ",")
	return kinds[status]
}

// addRow adds a row of the history: to the slip before it where it is one more of its names.
func (im *importer) addRow(slips []foray.Slip, row map[string]string, c store.Collection, rec archive.Record) ([]foray.Slip, error) {
	said := im.reasonsOf(row)
	n, err := im.nameOf(row)
	if err != nil {
		return nil, err
	}
	n.Rank, n.Reason = 1, said.why
	if last := len(slips) - 1; said.rank > 1 && last >= 0 && len(slips[last].Names) == said.rank-1 && slips[last].Kind == kindOf(row) {
		n.Rank = said.rank
		slips[last].Names = append(slips[last].Names, n)
		return slips, nil
	}
	s := foray.Slip{CollectionID: c.ID, Writer: im.Actor.Person, RecordedAt: im.Now, Remarks: said.remarks}
	if s.ID, _, err = im.idOf(row["identificationID"]); err != nil {
		return nil, err
	}
	if s.Determiner, s.Kind, err = im.whoSaid(row); err != nil {
		return nil, err
	}
	if n.Verbatim != "" {
		s.Names = []foray.SlipName{n}
	}
	if s.Kind == foray.SignOff {
		s.Basis = said.basis
	} else if said.basis != foray.NotStated {
		s.Remarks = row["identificationRemarks"]
	}
	s.HappenedAt, s.Remarks = im.when(row["dateIdentified"], c, rec, s.Remarks)
	slips = append(slips, s)
	if strings.HasSuffix(row["identificationVerificationStatus"], ", "+takenBack) {
		slips = append(slips, foray.Slip{CollectionID: c.ID, Kind: foray.Strike, Strikes: s.ID, Determiner: s.Determiner, Writer: s.Writer,
			HappenedAt: s.HappenedAt, RecordedAt: im.Now, Remarks: im.say("records.taken-back", "")})
	}
	return slips, nil
}

// whoSaid is the determiner, and what the slip is: for what others wrote as in a table.
func (im *importer) whoSaid(row map[string]string) (who foray.ID, kind foray.SlipKind, err error) {
	kind = kindOf(row)
	rec := archive.Record{Determiner: row["identifiedBy"], NumberAsWritten: row["identificationID"]}
	if kind == "" {
		rec.Confirmed = firm(row["identificationVerificationStatus"])
	}
	if kind == foray.FieldName || tidy(rec.Determiner) == "" && kind == "" {
		if who, err = im.named(rec.Determiner); who.IsZero() && err == nil {
			who, err = im.somebody()
		}
		return who, foray.FieldName, err
	}
	if tidy(rec.Determiner) == "" {
		im.seen.unnamed++
		if who, err = im.somebody(); err != nil {
			return who, kind, err
		}
		rec.Determiner = im.names[who]
	}
	who, signs, err := im.determiner(rec)
	switch {
	case !signs && (kind == "" || kind == foray.SignOff):
		kind = foray.FieldName
	case kind == "":
		kind = foray.SignOff
	}
	return who, kind, err
}

// somebody is one person for all whom the archive does not name: they chose it, or nobody knew.
func (im *importer) somebody() (foray.ID, error) {
	name := im.say("records.somebody", "")
	if id, there := im.people[taxon.Fold(name)]; there {
		return id, nil
	}
	id, err := im.named(name)
	if err != nil {
		return id, err
	}
	im.newPeople[len(im.newPeople)-1].Credit = "none"
	return id, nil
}

// when reads the time of a determination as the hall writes it, or a day as people do; without one it is the find's.
func (im *importer) when(text string, c store.Collection, rec archive.Record, remarks string) (time.Time, string) {
	if at, err := time.Parse(time.RFC3339, text); err == nil {
		if at.After(im.Now) {
			at = im.Now
		}
		return at.UTC(), remarks
	}
	d := archive.Day(text, im.reading())
	add := func(key, written string) string {
		said := im.say(key, written)
		if strings.Contains(remarks, said) {
			return remarks
		}
		return strings.TrimPrefix(remarks+"; "+said, "; ")
	}
	switch {
	case text == "" && strings.Contains(remarks, im.say("records.kept-date", "")):
		return c.HappenedAt.Time, remarks
	case text == "":
		return c.HappenedAt.Time, add("records.not-dated", "")
	case d.From.IsZero() || !d.From.Equal(d.To):
		return im.moment(rec.Picked), add("records.kept-date", text)
	}
	return im.moment(d), remarks
}

// reasons is what identificationRemarks says in the hall's own words.
type reasons struct {
	rank         int
	basis        foray.Basis
	remarks, why string
}

// english is the language in which records go out, whoever takes them out.
var english = message.For(message.English)

var choiceText = regexp.MustCompile(`^` + strings.NewReplacer("1000001", `(\d)`, "1000002", `\d`).Replace(regexp.QuoteMeta(
	english.Say("records.choice", "rank", 1000001, "n", 1000002))) + `(?:; |$)`)

// reasonsOf takes apart what reasons put together.
func (im *importer) reasonsOf(row map[string]string) reasons {
	r := reasons{basis: foray.NotStated}
	rest := row["identificationRemarks"]
	if m := choiceText.FindStringSubmatch(rest); m != nil {
		r.rank, rest = int(m[1][0]-'0'), rest[len(m[0]):]
	}
	if kindOf(row) == foray.SignOff {
		word, after, _ := strings.Cut(rest, "; ")
		for _, b := range append(slices.Clone(foray.Bases), foray.NotStated) {
			if word == english.Say("pages.basis."+string(b)) {
				r.basis, rest = b, after
				break
			}
		}
	}
	mark := english.Say("records.why", "reason", "")
	if at := strings.LastIndex(rest, "; "+mark); at >= 0 {
		r.remarks, r.why = rest[:at], rest[at+len("; "+mark):]
	} else if why, found := strings.CutPrefix(rest, mark); found {
		r.why = why
	} else {
		r.remarks = rest
	}
	return r
}
