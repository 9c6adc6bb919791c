package taxon

import (
	"regexp"
	"strings"
	"testing"
)

// How botanists of English tongue mostly say these, from memory: where the stress falls, and which letters are hard, soft
// or silent, is what each row would catch.
func TestANameIsRespeltAsItIsMostlySaid(t *testing.T) {
	for name, want := range map[string]string{
		"Amanita":                    "am-uh-NYE-tuh",                // long by its ending
		"Amanita muscaria":           "am-uh-NYE-tuh mus-KAIR-ee-uh", // a before r and two vowels
		"Amanita phalloides":         "am-uh-NYE-tuh fal-oh-EYE-deez",
		"Boletus edulis":             "boh-LEE-tus eh-DYOO-lis",
		"Agaricus":                   "uh-GAR-ih-kus",
		"Russula":                    "RUS-yoo-luh",     // a doubled letter is said once
		"Cantharellus":               "kan-thuh-REL-us", // closed
		"cibarius":                   "sye-BAIR-ee-us",  // soft c
		"Lactarius":                  "lak-TAIR-ee-us",
		"Hygrocybe":                  "hye-GROS-ih-bee",
		"coccinea":                   "kok-SIN-ee-uh", // hard, then soft
		"comatus":                    "koh-MAY-tus",
		"Cortinarius":                "kor-tih-NAIR-ee-us",
		"Galerina marginata":         "gal-eh-RYE-nuh mar-jih-NAY-tuh",
		"Macrolepiota procera":       "mak-roh-lep-ee-OH-tuh proh-SEE-ruh",
		"Mycena":                     "mye-SEE-nuh",
		"Psilocybe":                  "sye-LOS-ih-bee", // silent p
		"Pterula":                    "TER-yoo-luh",
		"gniophila":                  "nye-OF-ih-luh",
		"Xylaria hypoxylon":          "zye-LAIR-ee-uh hye-POKS-ih-lon", // x is z in front, ks within
		"Tricholoma":                 "trik-oh-LOH-muh",                // ch is k
		"Xerocomus":                  "zeh-ROK-oh-mus",
		"Suillus luteus":             "soo-IL-us LOO-tee-us",                         // eu parted at the end
		"Auricularia auricula-judae": "aw-rik-yoo-LAIR-ee-uh aw-RIK-yoo-luh JOO-dee", // ae is ee
		"Fistulina hepatica":         "fis-tyoo-LYE-nuh heh-PAT-ih-kuh",
		"Fomes fomentarius":          "FOH-meez fom-en-TAIR-ee-us",
		"Trametes versicolor":        "truh-MEE-teez ver-SIK-oh-lor",
		"Morchella esculenta":        "mor-KEL-uh es-kyoo-LEN-tuh",
		"Gyromitra":                  "jye-roh-MYE-truh", // soft g; tr does not close
		"Hydnum repandum":            "HID-num reh-PAN-dum",
		"molybdites":                 "mol-ib-DYE-teez",
		"Paxillus involutus":         "paks-IL-us in-voh-LOO-tus",
		"Laetiporus sulphureus":      "lee-TIP-oh-rus sul-FYOO-ree-us",
		"Pleurotus ostreatus":        "ploo-ROH-tus os-tree-AY-tus",
		"Geastrum":                   "jee-AS-trum",
		"Schizophyllum":              "skiz-oh-FIL-um",
		"Boletaceae":                 "bol-eh-TAY-see-ee",
		"Agaricales":                 "uh-gar-ih-KAY-leez",
		"sanguinea":                  "san-GWIN-ee-uh",
		"aquosa":                     "uh-KWOH-suh",
		"Peziza":                     "PEZ-ih-zuh",
		"Calvatia gigantea":          "kal-VAY-tee-uh jye-GAN-tee-uh",
		"Fuligo septica":             "fyoo-LYE-goh SEP-tih-kuh",
		"Stropharia aeruginosa":      "stroh-FAIR-ee-uh ee-roo-jih-NOH-suh",
		"Leccinum scabrum":           "LEK-sih-num SKAY-brum",
		"Armillaria mellea":          "ar-mil-AIR-ee-uh MEL-ee-uh",
		"Russula amoena var. rosea":  "RUS-yoo-luh uh-MEE-nuh variety ROH-see-uh",
		"Bresadolia":                 "bres-uh-DOH-lee-uh",
		"":                           "",
		"42":                         "",
	} {
		if got := Say(name); got != want {
			t.Errorf("%s is said %q, want %q", name, got, want)
		}
	}
}

var respelt = regexp.MustCompile(`^([A-Za-z]+(-[A-Za-z]+)*( [A-Za-z]+(-[A-Za-z]+)*)*)?$`)

// Every name that ships can be said, and one syllable of each word is stressed.
func FuzzSay(f *testing.F) {
	for _, name := range []string{"Amanita muscaria", "× Agaricus ærugineus", "qqq", "ngu", "xx scae", "ouei-yyy", "Ψ", "a\x00b", "gu", "phth", "s c e", "schsch"} {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) {
		said := Say(name)
		if !respelt.MatchString(said) {
			t.Errorf("%q is said %q", name, said)
		}
		for _, word := range strings.Fields(said) {
			stressed := 0
			for _, part := range strings.Split(word, "-") {
				if part == "" {
					t.Errorf("%q: %q has an empty part", name, said)
				} else if part == strings.ToUpper(part) {
					stressed++
				}
			}
			if strings.Contains(word, "-") && stressed != 1 {
				t.Errorf("%q: %q has %d stresses", name, said, stressed)
			}
		}
	})
}
