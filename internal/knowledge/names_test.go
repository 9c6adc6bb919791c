package knowledge

import (
	"strings"
	"testing"
	"testing/fstest"
)

const (
	nameHead   = "name,author,rank,status,accepted,parent,section,reason,disputed,source\n"
	commonHead = "name,common,language,source\n"
)

func files(names, commons string) fstest.MapFS {
	return fstest.MapFS{"names.csv": {Data: []byte(names)}, "common_names.csv": {Data: []byte(commons)}}
}

func TestReadNamesBuildsTheIndex(t *testing.T) {
	ix, err := ReadNames(files("\ufeff"+nameHead+
		"Amanitaceae,,family,accepted,,,,,,from memory\n"+
		"Amanita,Pers.,genus,accepted,,Amanitaceae,,,,from memory\n"+
		"Amanita phalloides,(Vaill. ex Fr.) Link,species,accepted,,,Phalloideae,,,from memory\n"+
		"Agaricus phalloides,Fr.,species,former,Amanita phalloides,,,moved,,from memory\n",
		commonHead+"Amanita phalloides,Death Cap,en,common practice\n"))
	if err != nil {
		t.Fatal(err)
	}
	m := ix.Match("agaricus faloides")
	if ix.Len() != 4 || m.Found == nil || m.Found.Current().Name != "Amanita phalloides" || m.Found.Family != "Amanitaceae" {
		t.Errorf("%d names, %+v", ix.Len(), m.Found)
	}
	if m := ix.Match("death cap"); m.Found == nil || m.Found.Author != "(Vaill. ex Fr.) Link" || m.Found.Section != "Phalloideae" {
		t.Errorf("common name: %+v", m)
	}
}

func TestReadNamesTakesColumnsInAnyOrder(t *testing.T) {
	ix, err := ReadNames(files("source,rank,name,status,more,author,accepted,parent,section,reason,disputed\nfrom memory,genus,Amanita,accepted,x,,,,,,\n", commonHead))
	if err != nil || ix.Len() != 1 {
		t.Errorf("%v", err)
	}
}

func TestReadNamesSaysFileAndLine(t *testing.T) {
	row := "Amanita,Pers.,genus,accepted,,,,,,from memory\n"
	for rule, c := range map[string]struct{ names, commons, want string }{
		"wrong row":          {nameHead + row + "\nAgaricus,,tribe,accepted,,,,,,from memory\n", commonHead, `names.csv: line 4: Agaricus: unknown rank "tribe"`},
		"two wrong rows":     {nameHead + row + row + row, commonHead, "names.csv: line 4: Amanita: the name stands already in line 2"},
		"wrong common name":  {nameHead + row, commonHead + "Nobody,x,en,y\n", "common_names.csv: line 2: Nobody: is not in the list of names"},
		"too few cells":      {nameHead + "Amanita,Pers.\n", commonHead, "names.csv: record on line 2: wrong number of fields"},
		"missing column":     {"name,rank\n", commonHead, `names.csv: line 1: the column "author" is missing`},
		"empty file":         {"", commonHead, "names.csv: line 1: EOF"},
		"source left out":    {nameHead + "Amanita,Pers.,genus,accepted,,,,,,\n", commonHead, "names.csv: line 2: Amanita: the source is missing"},
		"accepted left out":  {nameHead + row + "Agaricus x,,species,former,,,,moved,,s\n", commonHead, "names.csv: line 3: Agaricus x: the accepted name is missing"},
		"a source of blanks": {nameHead + row, commonHead + "Amanita,x,en,  \n", "common_names.csv: line 2: Amanita: the source is missing"},
	} {
		_, err := ReadNames(files(c.names, c.commons))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", rule, err, c.want)
		}
	}
	if _, err := ReadNames(fstest.MapFS{}); err == nil || !strings.Contains(err.Error(), "names.csv") {
		t.Errorf("missing file: %v", err)
	}
}
