package view

// The keys of a collection's page.
var (
	keyAgree  = Key{"a", "keys.agree"}
	keyOther  = Key{"n", "keys.other-name"}
	keyStrike = Key{"s", "keys.strike"}

	keyAllSeen  = Key{"v", "keys.all-seen"}
	keyNoneSeen = Key{"o", "keys.none-seen"}

	keyUndo   = Key{"u", "keys.undo"}
	keyNext   = Key{"j", "keys.plate-after"}
	keyBefore = Key{"k", "keys.plate-before"}
	keyLooked = Key{"l", "keys.looked"}
	keyBack   = Key{"q", "keys.back"}
)

// acts are the keys of a collection's acts, by form. A name is signed with a key of its own: keyAgree, keyOther or the
// digit of a name in question.
var acts = map[string]Key{FormFieldName: {"f", "keys.field-name"}, FormNote: {"c", "keys.note"}, FormHandOn: {"p", "keys.hand-on"},
	FormPlace: {"w", "keys.place"}, FormNameless: {"x", "keys.nameless"}}

// keyOfName is the digit of a name in question; there is none behind the fifth.
func keyOfName(i int) Key {
	if i >= 5 {
		return Key{}
	}
	return Key{itoa(i + 1), "keys.choose"}
}

// keys are those of what this person may do here.
func (p Collection) keys() (keys []Key) {
	add := func(may bool, key ...Key) {
		if may {
			keys = append(keys, key...)
		}
	}
	add(p.Agree != nil, keyAgree)
	if p.Sign != nil {
		for i := range p.Sign.Choices {
			add(i < 5, keyOfName(i))
		}
		add(true, keyOther)
	}
	add(p.lookedFor(), keyAllSeen, keyNoneSeen)
	add(p.Nameless != nil, acts[FormNameless])
	add(p.mayStrike(), keyStrike)
	add(p.Undo != nil, keyUndo)
	add(p.FieldName != nil, acts[FormFieldName])
	add(p.Note != nil, acts[FormNote])
	add(p.HandOn != nil, acts[FormHandOn])
	add(p.Place != nil, acts[FormPlace])
	if p.Bar != nil {
		add(p.Bar.Looked != "", keyLooked)
		add(p.Bar.Next != "", keyNext)
		add(p.Bar.Before != "", keyBefore)
		add(p.Bar.Back != "", keyBack)
	}
	return keys
}

// lookedFor reports whether one of the forms asks for signs; the first that does has the keys.
func (p Collection) lookedFor() bool {
	return p.Agree != nil && len(p.Agree.LookFor) > 0 || p.Sign != nil && len(p.Sign.LookFor) > 0
}

func (p Collection) mayStrike() bool {
	for _, s := range p.Slips {
		if s.Strike != nil {
			return true
		}
	}
	return false
}

// strikeKey is for the newest slip that this person may strike.
func (p Collection) strikeKey(slip string) Key {
	for _, s := range p.Slips {
		if s.Strike != nil {
			if s.ID == slip {
				return keyStrike
			}
			return Key{}
		}
	}
	return Key{}
}
