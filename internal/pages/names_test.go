package pages_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall/checklist"
)

// TestANameIsOfferedFromAFewLetters: of genus and epithet, of a common name, and of a name that is former.
func TestANameIsOfferedFromAFewLetters(t *testing.T) {
	f := onSQLite(t)
	type offer struct{ Name, Value, Author, Family, Note string }
	offered := func(typed string) (all []offer) {
		b := f.at[access.Desk].get(event + "/names?q=" + typed).want(http.StatusOK)
		if err := json.Unmarshal([]byte(b.body), &all); err != nil {
			t.Fatal(err)
		}
		return all
	}
	for typed, want := range map[string]offer{
		"am+ph":  {"Amanita phalloides", "Amanita phalloides", "(Vaill. ex Fr.) Link", "Amanitaceae", ""},
		"deathc": {"Amanita phalloides", "Amanita phalloides", "(Vaill. ex Fr.) Link", "Amanitaceae", "Deathcap"},
	} {
		if got := offered(typed); len(got) == 0 || got[0].Name != want.Name || got[0].Value != want.Value || got[0].Author != want.Author || got[0].Family != want.Family || !strings.Contains(got[0].Note, want.Note) {
			t.Errorf("%s: %+v, want first %+v", typed, got, want)
		}
	}
	former := false
	for _, o := range offered("boletus+satanas") {
		former = former || strings.Contains(o.Note, "Rubroboletus satanas")
	}
	if !former {
		t.Error("a former name does not say what it is now")
	}
}

// TestASocietyFollowsAnotherListOfNames: chosen in the set-up, seen on the next page, and what a signed list's names
// would be under it.
func TestASocietyFollowsAnotherListOfNames(t *testing.T) {
	f := onSQLite(t).furnish()
	f.publish()
	const own = "taxonID,scientificName,scientificNameAuthorship,taxonRank,taxonomicStatus,acceptedNameUsageID,family\n" +
		"1,Venenarius phalloides,Someone,species,accepted,,Venenariaceae\n2,Amanita phalloides,(Vaill. ex Fr.) Link,species,synonym,1,\n"
	in, err := checklist.Import(t.Context(), f.s.Hall, archive.ChecklistFile("own.csv", strings.NewReader(own), int64(len(own))), "own.csv", nil)
	if err != nil {
		t.Fatal(err)
	}
	f.at[access.Visitor].get(event+"/list/2/today").want(http.StatusOK, "signed under the same list")
	organiser := f.at[access.Organiser]
	organiser.get(event+"/setup/event").want(http.StatusOK, "the names that come with Foray Hall", "own")
	organiser.send(event+"/setup/checklist", "checklist", in.ID.String())
	f.at[access.Visitor].get(event+"/list").want(http.StatusOK, "Venenarius phalloides")
	f.at[access.Visitor].get(event+"/list/2").want(http.StatusOK, "Amanita phalloides", "These names today")
	f.at[access.Visitor].get(event+"/list/2/today").want(http.StatusOK, "Amanita phalloides", "Venenarius phalloides", "It has another name").not("signed under the same list")
	f.at[access.Visitor].get(event+"/list/2/today/csv").want(http.StatusOK, "listed_name", "Venenarius phalloides")
	f.at[access.Visitor].get(event + "/list/9/today").want(http.StatusNotFound)
	f.at[access.Visitor].get(event+"/t/Amanita_phalloides").want(http.StatusOK, "Deadly")
	organiser.get(event+"/setup/event").send(event+"/setup/checklist", "checklist", "0195f000-0000-7000-8000-00000000abcd").want(http.StatusUnprocessableEntity, "There is no such list")
}
