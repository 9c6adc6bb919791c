package archive

// Licence is on which terms records may be used. GBIF takes these three and reads them by their addresses (GBIF data
// publisher agreement and licensing, 2014).
type Licence struct {
	Key   string // SPDX identifier
	Title string
	URL   string // of the legal code, as machines compare it
}

// Licences lists them, the freest first.
var Licences = []Licence{
	{"CC0-1.0", "Public Domain (CC0 1.0)", "http://creativecommons.org/publicdomain/zero/1.0/legalcode"},
	{"CC-BY-4.0", "Creative Commons Attribution (CC-BY) 4.0 License", "http://creativecommons.org/licenses/by/4.0/legalcode"},
	{"CC-BY-NC-4.0", "Creative Commons Attribution Non Commercial (CC-BY-NC) 4.0 License", "http://creativecommons.org/licenses/by-nc/4.0/legalcode"},
}

// LicenceKeys lists their SPDX identifiers.
func LicenceKeys() []string {
	keys := make([]string, len(Licences))
	for i, l := range Licences {
		keys[i] = l.Key
	}
	return keys
}

// LicenceBy finds a licence by its identifier.
func LicenceBy(key string) (Licence, bool) {
	for _, l := range Licences {
		if l.Key == key {
			return l, true
		}
	}
	return Licence{}, false
}
