package photographs

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Picture is a photograph as somebody may see it.
type Picture struct {
	ID            foray.ID
	Kind          string
	Subject       foray.ID // the collection, field record or incident
	Number        string   // of the collection; empty for others
	State         string   // how the collection is named, where that is told
	Private       bool
	Width, Height int // of the full one, in pixels
	Caption       string
	By            string // staff read the name, others as the person chose to appear
	TakenAt       time.Time
	RecordedAt    time.Time
	MayHide       bool
}

// album is an event's photographs with what is needed to show them.
type album struct {
	*hall.Look
	people  map[foray.ID]store.Person
	numbers map[foray.ID]string // of collections
	photos  []store.Photograph  // in view, and for these eyes
	hidden  map[foray.ID]bool   // finds whose place the public does not learn, unless these eyes do
}

// look opens an event's album for fn.
func look(ctx context.Context, h *hall.Hall, actor access.Actor, action access.Action, scope access.Scope, fn func(*album) error) error {
	return h.View(ctx, actor, action, scope, func(l *hall.Look) error {
		a := &album{Look: l, numbers: map[foray.ID]string{}}
		all, err := l.Tx.Photographs(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		if err := a.keep(all); err != nil {
			return err
		}
		if a.people, err = l.PeopleNames(); err != nil {
			return err
		}
		if err := a.readHidden(); err != nil {
			return err
		}
		return fn(a)
	})
}

func (a *album) keep(all []store.Photograph) error {
	for _, p := range all {
		sees, err := seenBy(a.Look, p)
		if err != nil {
			return err
		}
		if sees && p.HiddenAt.IsZero() {
			a.photos = append(a.photos, p)
		}
	}
	return nil
}

// readHidden reads of which finds the place is kept back, where a caption could tell it.
func (a *album) readHidden() error {
	captioned := func(p store.Photograph) bool { return p.Caption != "" && !a.tells(p) }
	if !slices.ContainsFunc(a.photos, captioned) {
		return nil
	}
	places, err := a.Places()
	if err != nil {
		return err
	}
	plates, err := a.AllNumbered()
	if err != nil {
		return err
	}
	a.hidden = map[foray.ID]bool{}
	for _, p := range plates {
		a.hidden[p.ID] = places.OfPlate(&p).GeneralisedM() > 0
	}
	seen, err := a.SeenThere()
	for _, s := range seen {
		a.hidden[s.ID] = places.Of(s.SiteID, s.SlipName()).GeneralisedM() > 0
	}
	return err
}

// tells reports whether these eyes may read whatever is written under a photograph: those of who took it and of whoever
// works in the hall.
func (a *album) tells(p store.Photograph) bool {
	return a.Held.Staff() || a.Actor.SignedIn() && p.TakenBy == a.Actor.Person
}

// readNumbers reads which number each collection has.
func (a *album) readNumbers() error {
	if len(a.photos) == 0 {
		return nil
	}
	collections, err := a.Tx.Collections(a.Scope.Society, a.Scope.Event)
	for _, c := range collections {
		a.numbers[c.ID] = c.Number().String()
	}
	return err
}

func (a *album) picture(p store.Photograph) Picture {
	out := Picture{ID: p.ID, Kind: p.Kind, Subject: shownBy(p), Number: a.numbers[p.CollectionID], Private: p.Private, Width: p.Width, Height: p.Height,
		Caption: p.Caption, TakenAt: p.TakenAt.Time, RecordedAt: p.RecordedAt.Time, MayHide: mayHide(a.Look, p)}
	if a.hidden[shownBy(p)] && !a.tells(p) {
		out.Caption = ""
	}
	if out.By = hall.CreditedName(a.people[p.TakenBy]); a.Held.Staff() {
		out.By = a.people[p.TakenBy].Name
	}
	return out
}

// SeeAll lists an event's photographs, oldest first: the public ones, and of the others those that the actor may open.
// With a number it is those of one collection.
func SeeAll(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, number string) ([]Picture, error) {
	pictures := []Picture{}
	err := look(ctx, h, actor, access.ReadPublic, scope, func(a *album) error {
		if err := a.readNumbers(); err != nil {
			return err
		}
		only, err := a.only(number)
		for _, p := range a.photos {
			if number == "" || a.numbers[p.CollectionID] == only && only != "" {
				pictures = append(pictures, a.picture(p))
			}
		}
		return err
	})
	return pictures, err
}

// only is a number as it is written here.
func (a *album) only(number string) (string, error) {
	if number == "" {
		return "", nil
	}
	event, err := a.Event()
	if err != nil {
		return "", err
	}
	n, err := foray.ParseNumber(number, event.Code)
	return n.String(), err
}

// SeeOwn is the photographs of what a member brought in, by its number.
func SeeOwn(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (map[string][]Picture, error) {
	own := map[string][]Picture{}
	err := look(ctx, h, actor, access.NameOwn, scope, func(a *album) error {
		if len(a.photos) == 0 {
			return nil
		}
		collections, err := a.Tx.Collections(scope.Society, scope.Event)
		mine := map[foray.ID]bool{}
		for _, c := range collections {
			a.numbers[c.ID], mine[c.ID] = c.Number().String(), c.CollectorID == actor.Person
		}
		for _, p := range a.photos {
			if mine[p.CollectionID] && p.Kind == OfFind {
				number := a.numbers[p.CollectionID]
				own[number] = append(own[number], a.picture(p))
			}
		}
		return err
	})
	return own, err
}

// Beside is the pictures of one collection next to those of others that may be the same.
type Beside struct {
	Find  []Picture
	Slip  []Picture // for those who may see it
	Piles []Pile
}

// Pile is pictures of other plates with the same name in question.
type Pile struct {
	Name     foray.SlipName
	Current  *taxon.Name // nil where the classification does not know it
	Pictures []Picture   // one a plate, the surest named first
}

// pileMost is how many plates stand for a name: more are looked for on the name's own page.
const pileMost = 6

// SeeBeside shows the pictures of a collection to anybody. A number without a collection has none.
func SeeBeside(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, n foray.Number) (Beside, error) {
	var b Beside
	err := look(ctx, h, actor, access.ReadPublic, scope, func(a *album) error {
		if len(a.photos) == 0 {
			return nil
		}
		this, err := a.PlateByNumber(n)
		if fault.Is(err, fault.NotFound) {
			return nil
		}
		if err != nil {
			return err
		}
		a.numbers[this.ID] = n.String()
		for _, p := range a.photos {
			switch {
			case p.CollectionID != this.ID:
			case p.Kind == OfFind:
				b.Find = append(b.Find, a.picture(p))
			case p.Kind == OfSlip:
				b.Slip = append(b.Slip, a.picture(p))
			}
		}
		b.Piles, err = a.piles(this)
		return err
	})
	return b, err
}

func (a *album) piles(this hall.Plate) ([]Pile, error) {
	if len(this.Standing.Question) == 0 {
		return nil, nil
	}
	plates, err := a.shown()
	if err != nil {
		return nil, err
	}
	plates = slices.DeleteFunc(plates, func(p hall.Plate) bool { return p.ID == this.ID })
	var piles []Pile
	told := map[string]bool{}
	for _, q := range this.Standing.Question {
		key := a.key(q.SlipName)
		if told[key] || key == "" {
			continue
		}
		told[key] = true
		pile := Pile{Name: q.SlipName, Current: a.Hall.Current(q.SlipName)}
		pile.Name.Reason = ""
		if pile.Pictures = a.ofName(plates, key, 1, pileMost); len(pile.Pictures) > 0 {
			piles = append(piles, pile)
		}
	}
	return piles, nil
}

// shown reads the plates of which there are pictures.
func (a *album) shown() ([]hall.Plate, error) {
	photographed := map[foray.ID]bool{}
	for _, p := range a.photos {
		photographed[p.CollectionID] = photographed[p.CollectionID] || p.Kind == OfFind
	}
	plates, err := a.Plates()
	for _, p := range plates {
		a.numbers[p.ID] = p.Number().String()
	}
	return slices.DeleteFunc(slices.Clone(plates), func(p hall.Plate) bool { return !photographed[p.ID] }), err
}

// key is the current name's, or that of a name which only this event knows. What is no name but a group of the hall has
// none: everything small and brown is not the same.
func (a *album) key(n foray.SlipName) string {
	key := n.Key
	if current := a.Hall.Current(n); current != nil {
		key = current.Key
	}
	if strings.HasPrefix(key, string(taxon.Form)+":") {
		return ""
	}
	return key
}

// ofName are pictures of plates with a name in question, the surest named first: each of at most some, most in all.
func (a *album) ofName(plates []hall.Plate, key string, each, most int) []Picture {
	var with []hall.Plate
	for _, p := range plates {
		if slices.ContainsFunc(p.Standing.Question, func(q foray.Asked) bool { return a.key(q.SlipName) == key }) {
			with = append(with, p)
		}
	}
	slices.SortStableFunc(with, func(x, y hall.Plate) int { return cmp.Compare(sureness(x), sureness(y)) })
	var pictures []Picture
	for _, plate := range with {
		for _, p := range a.firstOf(plate.ID, each) {
			picture := a.picture(p)
			picture.State = plate.StateWord()
			pictures = append(pictures, picture)
		}
	}
	return pictures[:min(most, len(pictures))]
}

// sureness orders plates: where nobody disagrees with a sign-off the name is surest.
func sureness(p hall.Plate) int {
	switch {
	case p.Standing.Naming == foray.Confirmed:
		return 0
	case p.Standing.Disputed:
		return 1
	}
	return 2
}

func (a *album) firstOf(collection foray.ID, most int) []store.Photograph {
	var first []store.Photograph
	for _, p := range a.photos {
		if p.CollectionID == collection && p.Kind == OfFind && len(first) < most {
			first = append(first, p)
		}
	}
	return first
}

// The pictures of a name's own page.
const (
	taxonEach = 3
	taxonMost = 24
)

// SeeTaxon is the pictures of a name at an event for anybody: of plates with the name in question, the surest first,
// then of what was seen outside.
func SeeTaxon(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, name string) ([]Picture, error) {
	var pictures []Picture
	err := look(ctx, h, actor, access.ReadPublic, scope, func(a *album) error {
		key := taxon.Key(name)
		if n, ok := h.Knowledge.Names.Lookup(key); ok {
			key = n.Current().Key
		}
		if len(a.photos) == 0 || key == "" {
			return nil
		}
		plates, err := a.shown()
		if err != nil {
			return err
		}
		pictures = a.ofName(plates, key, taxonEach, taxonMost)
		outside, err := a.outside(key)
		pictures = append(pictures, outside...)
		pictures = pictures[:min(taxonMost, len(pictures))]
		return err
	})
	return pictures, err
}

// outside are the pictures of field records of a name that nobody has taken back.
func (a *album) outside(key string) ([]Picture, error) {
	records, err := a.Tx.FieldRecords(a.Scope.Society, a.Scope.Event)
	if err != nil {
		return nil, err
	}
	words, err := a.Tx.FieldWords(a.Scope.Society, a.Scope.Event)
	if err != nil {
		return nil, err
	}
	of := map[foray.ID]bool{}
	for _, r := range records {
		of[r.ID] = cmp.Or(r.CurrentKey, r.NameKey) == key
	}
	for _, w := range words { // what was taken back stays so
		of[w.RecordID] = of[w.RecordID] && w.Kind != "strike"
	}
	var pictures []Picture
	for _, p := range a.photos {
		if p.Kind == OfField && of[p.RecordID] {
			pictures = append(pictures, a.picture(p))
		}
	}
	return pictures, nil
}

// Subject is what somebody may add a photograph to, with the pictures of it that they may see.
type Subject struct {
	ID       foray.ID
	Number   string // of a collection
	Pictures []Picture
}

// SeeSubject shows what a photograph is to be added to, to whoever may add one.
func SeeSubject(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, kind, text string) (Subject, error) {
	var out Subject
	err := look(ctx, h, actor, access.NameOwn, scope, func(a *album) error {
		s, err := named(a.Look, kind, text)
		if err != nil {
			return err
		}
		if err := s.mayAdd(a.Look); err != nil {
			return err
		}
		if out.ID, out.Number = s.id, s.number(); out.Number != "" {
			a.numbers[s.id] = out.Number
		}
		for _, p := range a.photos {
			if shownBy(p) == s.id {
				out.Pictures = append(out.Pictures, a.picture(p))
			}
		}
		return nil
	})
	return out, err
}
