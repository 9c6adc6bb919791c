package archive

import (
	"strconv"
	"time"
)

// Dataset is what an archive is about, in the words that EML has for it. Everything in it is public.
type Dataset struct {
	ID         string // UUID of the dataset, the same in all its versions
	Version    string // 1.4
	Language   string // of words and titles, ISO 639-2: eng
	Title      string
	Published  time.Time
	Made       time.Time
	Publisher  Party
	Abstract   []string // paragraphs
	Keywords   []string
	Licence    Licence
	Link       string // where the list can be seen; may be empty
	Area       string // in words
	Box        *Box
	From, To   string // ISO dates
	Scope      string // which organisms, in words
	Taxa       []Taxon
	Steps      []string // how records come about
	Extent     string   // how far the sampling went
	Sampling   string
	Quality    string
	Upkeep     string // what may change
	Project    string
	Design     string
	Citation   string
	Identifier string // by which the citation is known
}

// Party is who stands behind a dataset: an organisation, and whom to ask there.
type Party struct {
	Organisation, Person, Mail, Web string
}

// Box is the bounds of the public points in decimal degrees.
type Box struct{ West, East, North, South float64 }

// Taxon is a group that a dataset covers.
type Taxon struct{ Rank, Name string }

// The shapes of EML 2.2.0 in the GBIF metadata profile 1.3; their order is the schema's.
type emlDoc struct {
	XMLName  struct{}     `xml:"eml:eml"`
	EML      string       `xml:"xmlns:eml,attr"`
	DC       string       `xml:"xmlns:dc,attr"`
	XSI      string       `xml:"xmlns:xsi,attr"`
	Location string       `xml:"xsi:schemaLocation,attr"`
	Package  string       `xml:"packageId,attr"`
	System   string       `xml:"system,attr"`
	Scope    string       `xml:"scope,attr"`
	Lang     string       `xml:"xml:lang,attr"`
	Dataset  emlDataset   `xml:"dataset"`
	More     emlAdditions `xml:"additionalMetadata>metadata>gbif"`
}

type emlDataset struct {
	Alternate    []string        `xml:"alternateIdentifier"`
	Title        emlWords        `xml:"title"`
	Creator      emlParty        `xml:"creator"`
	Provider     emlParty        `xml:"metadataProvider"`
	PubDate      string          `xml:"pubDate"`
	Language     string          `xml:"language"`
	Abstract     emlParas        `xml:"abstract"`
	Keywords     emlKeywords     `xml:"keywordSet"`
	Rights       emlRights       `xml:"intellectualRights>para"`
	Licensed     emlLicensed     `xml:"licensed"`
	Distribution *emlDistributed `xml:"distribution"`
	Coverage     emlCoverage     `xml:"coverage"`
	Maintenance  emlMaintenance  `xml:"maintenance"`
	Contact      emlParty        `xml:"contact"`
	Publisher    emlParty        `xml:"publisher"`
	Methods      emlMethods      `xml:"methods"`
	Project      emlProject      `xml:"project"`
}

type emlWords struct {
	Lang string `xml:"xml:lang,attr"`
	Text string `xml:",chardata"`
}

type emlParty struct {
	Person       *emlName `xml:"individualName"`
	Organisation string   `xml:"organizationName"`
	Mail         string   `xml:"electronicMailAddress,omitempty"`
	Web          string   `xml:"onlineUrl,omitempty"`
	Role         string   `xml:"role,omitempty"`
}

type emlName struct {
	Surname string `xml:"surName"`
}

type emlParas struct {
	Para []string `xml:"para"`
}

type emlKeywords struct {
	Keyword   []string `xml:"keyword"`
	Thesaurus string   `xml:"keywordThesaurus"`
}

type emlRights struct {
	Before string  `xml:",chardata"`
	Link   emlLink `xml:"ulink"`
}

type emlLink struct {
	URL   string `xml:"url,attr"`
	Title string `xml:"citetitle"`
}

type emlLicensed struct {
	Name string `xml:"licenseName"`
	URL  string `xml:"url"`
	Key  string `xml:"identifier"`
}

type emlDistributed struct {
	URL emlURL `xml:"online>url"`
}

type emlURL struct {
	Function string `xml:"function,attr"`
	Address  string `xml:",chardata"`
}

type emlCoverage struct {
	Area *emlArea `xml:"geographicCoverage"`
	Time emlTime  `xml:"temporalCoverage"`
	Taxa *emlTaxa `xml:"taxonomicCoverage"`
}

type emlArea struct {
	Words string `xml:"geographicDescription"`
	West  string `xml:"boundingCoordinates>westBoundingCoordinate"`
	East  string `xml:"boundingCoordinates>eastBoundingCoordinate"`
	North string `xml:"boundingCoordinates>northBoundingCoordinate"`
	South string `xml:"boundingCoordinates>southBoundingCoordinate"`
}

type emlTime struct {
	Single *emlDay   `xml:"singleDateTime"`
	Range  *emlRange `xml:"rangeOfDates"`
}

type emlDay struct {
	Day string `xml:"calendarDate"`
}

type emlRange struct {
	From emlDay `xml:"beginDate"`
	To   emlDay `xml:"endDate"`
}

type emlTaxa struct {
	Words string     `xml:"generalTaxonomicCoverage"`
	Taxa  []emlTaxon `xml:"taxonomicClassification"`
}

type emlTaxon struct {
	Rank string `xml:"taxonRankName,omitempty"`
	Name string `xml:"taxonRankValue"`
}

type emlMaintenance struct {
	Words     emlParas `xml:"description"`
	Frequency string   `xml:"maintenanceUpdateFrequency"`
}

type emlMethods struct {
	Step     []emlStep   `xml:"methodStep"`
	Sampling emlSampling `xml:"sampling"`
	Quality  emlStep     `xml:"qualityControl"`
}

type emlStep struct {
	Words emlParas `xml:"description"`
}

type emlSampling struct {
	Extent emlStep  `xml:"studyExtent"`
	Words  emlParas `xml:"samplingDescription"`
}

type emlProject struct {
	ID        string   `xml:"id,attr"`
	Title     string   `xml:"title"`
	Personnel emlParty `xml:"personnel"`
	Design    emlStep  `xml:"designDescription"`
}

type emlAdditions struct {
	Stamp     string      `xml:"dateStamp"`
	Hierarchy string      `xml:"hierarchyLevel"`
	Citation  emlCitation `xml:"citation"`
}

type emlCitation struct {
	Identifier string `xml:"identifier,attr,omitempty"`
	Text       string `xml:",chardata"`
}

// eml writes the document. packageId ends with the version, as GBIF's publishing tools write and read it.
func (d Dataset) eml() ([]byte, error) {
	return document(emlDoc{EML: "https://eml.ecoinformatics.org/eml-2.2.0", DC: "http://purl.org/dc/terms/", XSI: "http://www.w3.org/2001/XMLSchema-instance",
		Location: "https://eml.ecoinformatics.org/eml-2.2.0 https://rs.gbif.org/schema/eml-gbif-profile/1.3/eml.xsd",
		Package:  d.ID + "/v" + d.Version, System: "http://gbif.org", Scope: "system", Lang: d.Language, Dataset: d.dataset(),
		More: emlAdditions{Stamp: d.Made.UTC().Format(time.RFC3339), Hierarchy: "dataset", Citation: emlCitation{d.Identifier, d.Citation}}})
}

func (d Dataset) dataset() emlDataset {
	by := d.Publisher.eml()
	whole := emlDataset{Alternate: []string{"urn:uuid:" + d.ID}, Title: emlWords{d.Language, d.Title}, Creator: by, Provider: by, Contact: by,
		Publisher: emlParty{Organisation: d.Publisher.Organisation, Web: d.Publisher.Web}, PubDate: d.Published.Format(time.DateOnly), Language: d.Language,
		Abstract: emlParas{d.Abstract}, Keywords: emlKeywords{d.Keywords, "n/a"}, Rights: emlRights{"This work is licensed under ", emlLink{d.Licence.URL, d.Licence.Title}},
		Licensed: emlLicensed{d.Licence.Title, d.Licence.URL, d.Licence.Key}, Coverage: d.coverage(),
		Maintenance: emlMaintenance{emlParas{[]string{d.Upkeep}}, "asNeeded"}, Methods: d.methods(), Project: d.project()}
	if d.Link != "" {
		whole.Distribution = &emlDistributed{emlURL{"information", d.Link}}
	}
	return whole
}

func (p Party) eml() emlParty {
	party := emlParty{Organisation: p.Organisation, Mail: p.Mail, Web: p.Web}
	if p.Person != "" {
		party.Person = &emlName{p.Person}
	}
	return party
}

func (d Dataset) coverage() emlCoverage {
	c := emlCoverage{Time: emlTime{Single: &emlDay{d.From}}}
	if d.To != "" && d.To != d.From {
		c.Time = emlTime{Range: &emlRange{emlDay{d.From}, emlDay{d.To}}}
	}
	if d.Box != nil {
		c.Area = &emlArea{d.Area, decimalText(d.Box.West), decimalText(d.Box.East), decimalText(d.Box.North), decimalText(d.Box.South)}
	}
	if len(d.Taxa) > 0 {
		c.Taxa = &emlTaxa{Words: d.Scope}
		for _, t := range d.Taxa {
			c.Taxa.Taxa = append(c.Taxa.Taxa, emlTaxon(t))
		}
	}
	return c
}

func decimalText(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (d Dataset) methods() emlMethods {
	var steps []emlStep
	for _, s := range d.Steps {
		steps = append(steps, step(s))
	}
	return emlMethods{Step: steps, Sampling: emlSampling{step(d.Extent), emlParas{[]string{d.Sampling}}}, Quality: step(d.Quality)}
}

func step(words string) emlStep { return emlStep{emlParas{[]string{words}}} }

func (d Dataset) project() emlProject {
	who := d.Publisher.eml()
	who.Role = "publisher"
	return emlProject{ID: "urn:uuid:" + d.ID, Title: d.Project, Personnel: who, Design: step(d.Design)}
}
