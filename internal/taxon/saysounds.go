package taxon

import "strings"

// sayPart spells one syllable as it sounds. One that is open and stressed before the last two, or bears the lesser stress
// that falls on every other syllable before it, is short and takes the consonant that follows.
func sayPart(parts []syllable, i, stress int) string {
	p := parts[i]
	onset := sayOnset(parts, i)
	if i > 0 && takes(parts, i-1, stress) {
		_, onset = firstSound(parts, i)
	} else if i > 0 && strings.HasSuffix(sayCoda(parts, i-1), onset) {
		onset = "" // doubled
	}
	if broadA(parts, i-1, stress) {
		onset = strings.TrimPrefix(onset, "r")
	}
	switch {
	case broadA(parts, i, stress):
		return onset + "air"
	case takes(parts, i, stress):
		taken, _ := firstSound(parts, i+1)
		return onset + closed(p.vowel) + taken
	case len(p.vowel) == 2:
		return onset + glide(twoSounds[p.vowel], onset) + sayCoda(parts, i)
	case p.coda != "":
		return onset + sayClosed(parts, i)
	case i == stress:
		return onset + long(p.vowel, onset)
	}
	return onset + sayWeak(parts, i, onset)
}

var twoSounds = map[string]string{"ae": "ee", "oe": "ee", "au": "aw", "eu": "yoo", "ei": "eye", "ou": "oo"}

// closed is a vowel before a consonant of its own syllable: short.
func closed(vowel string) string {
	if vowel == "y" {
		return "i"
	}
	return vowel
}

// sayClosed knows the ending -es, which is long ("-eez").
func sayClosed(parts []syllable, i int) string {
	if p := parts[i]; i == len(parts)-1 && i > 0 && p.vowel == "e" && p.coda == "s" {
		return "eez"
	}
	return closed(parts[i].vowel) + sayCoda(parts, i)
}

var longSounds = map[string]string{"a": "ay", "e": "ee", "i": "ye", "o": "oh", "u": "yoo", "y": "ye"}

func long(vowel, onset string) string {
	if onset == "" && (vowel == "i" || vowel == "y") {
		return "eye"
	}
	return glide(longSounds[vowel], onset)
}

// glide leaves the y of "yoo" away where English does: after r, l, s, sh, j, z and w.
func glide(sound, onset string) string {
	if sound == "yoo" && onset != "" && strings.ContainsRune("rlsjzw", rune(onset[len(onset)-1])) {
		return "oo"
	}
	return sound
}

var weakSounds = map[string]string{"a": "uh", "e": "eh", "i": "ih", "o": "oh", "u": "yoo", "y": "ih"}

// sayWeak is an open syllable without stress.
func sayWeak(parts []syllable, i int, onset string) string {
	v, last := parts[i].vowel, i == len(parts)-1
	switch {
	case last && (v == "i" || v == "y"), i == 0 && (v == "i" || v == "y"):
		return long(v, onset)
	case last && v == "e", !last && parts[i+1].onset == "" && strings.Contains("eiy", v):
		return "ee"
	case !last && parts[i+1].onset == "" && v == "a":
		return "ay"
	}
	return glide(weakSounds[v], onset)
}

// lengthened reports whether a, e or o stands before a consonant and then e or i with another vowel: so it is long in
// English though it is not the last syllable but one ("-aria", "-aceae").
func lengthened(parts []syllable, i int) bool {
	return i+2 < len(parts) && strings.Contains("aeo", parts[i].vowel) && parts[i+1].onset != "" && parts[i+1].coda == "" &&
		strings.Contains("ei", parts[i+1].vowel) && parts[i+2].onset == ""
}

// broadA is a long a before r: "-AIR-".
func broadA(parts []syllable, i, stress int) bool {
	return i >= 0 && i == stress && i+1 < len(parts) && parts[i].vowel == "a" && parts[i].coda == "" && parts[i+1].onset == "r" &&
		(i >= len(parts)-2 || lengthened(parts, i))
}

// takes reports whether a syllable is short and takes the next consonant.
func takes(parts []syllable, i, stress int) bool {
	p := parts[i]
	if p.coda != "" || len(p.vowel) == 2 || p.vowel == "u" || i+1 >= len(parts) || parts[i+1].onset == "" {
		return false
	}
	if i == stress {
		return i < len(parts)-2 && !lengthened(parts, i)
	}
	return i < stress && (stress-i)%2 == 0 && !(i == 0 && p.vowel == "y")
}

// firstSound parts what a syllable begins with into what the one before takes and what stays.
func firstSound(parts []syllable, i int) (taken, stays string) {
	first, rest := firstLetters(parts[i].onset)
	next := rest
	if next == "" {
		next = parts[i].vowel
	}
	taken, stays = spelt(first, next), spelt(rest, parts[i].vowel)
	if first == "qu" {
		return "k", "w"
	}
	return taken, stays
}

// firstLetters is the first consonant, of one letter or more.
func firstLetters(onset string) (first, rest string) {
	for _, d := range []string{"sch", "ch", "ph", "th", "rh", "qu", "gu"} {
		if strings.HasPrefix(onset, d) {
			return d, onset[len(d):]
		}
	}
	return onset[:1], onset[1:]
}

// silent are letters that nobody says at the beginning of a word.
var silent = map[string]string{"ps": "s", "pt": "t", "gn": "n", "mn": "n", "cn": "n", "ct": "t", "pn": "n", "x": "z", "ts": "s", "phth": "th"}

func sayOnset(parts []syllable, i int) string {
	onset := parts[i].onset
	if i == 0 {
		for _, n := range []int{4, 2, 1} {
			if len(onset) >= n && silent[onset[:n]] != "" {
				return silent[onset[:n]] + spelt(onset[n:], parts[i].vowel)
			}
		}
	}
	return spelt(onset, parts[i].vowel)
}

func sayCoda(parts []syllable, i int) string {
	next := ""
	if i+1 < len(parts) {
		if next = parts[i+1].onset; next == "" {
			next = parts[i+1].vowel
		}
	}
	return spelt(parts[i].coda, next)
}

// several are letters that make one sound, the longest first.
var several = []struct{ letters, sound string }{{"sch", "sk"}, {"ch", "k"}, {"ph", "f"}, {"rh", "r"}, {"qu", "kw"}, {"x", "ks"}, {"ck", "k"}}

// spelt spells consonants; next is what follows them.
func spelt(letters, next string) string {
	var b strings.Builder
	for at := 0; at < len(letters); {
		rest := letters[at:]
		after := rest[1:] + next
		step, sound := 1, rest[:1]
		for _, s := range several {
			if strings.HasPrefix(rest, s.letters) {
				step, sound = len(s.letters), s.sound
				break
			}
		}
		switch {
		case step > 1 || sound == "ks":
		case rest == "gu":
			step, sound = 2, "gw"
		case rest[0] == 's' && strings.HasPrefix(after, "c") && isSoft(after[1:]):
			sound = "" // scirpus is said with one s
		case rest[0] == 'c' && isSoft(after):
			sound = "s"
		case rest[0] == 'c':
			sound = "k"
		case rest[0] == 'g' && isSoft(after):
			sound = "j"
		}
		b.WriteString(sound)
		at += step
	}
	return b.String()
}

// isSoft reports whether c and g are soft before what follows: e, i, y, ae, oe.
func isSoft(after string) bool {
	return after != "" && strings.ContainsRune("eiy", rune(after[0])) || strings.HasPrefix(after, "ae") || strings.HasPrefix(after, "oe")
}
