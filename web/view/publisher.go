package view

// FormPublisher is the form in which a society says on which terms it gives its records out.
const FormPublisher = "publisher"

// SetupPublisher is under whose name and on which terms a society gives its records out.
type SetupPublisher struct {
	Part
	Lines []PublisherLine // what stands, for who may not change it
	Edit  *PublisherForm
}

// PublisherLine is one thing that the society says.
type PublisherLine struct {
	Label string // key
	Text  string
}

// PublisherForm posts licence, name, contact, mail, web, about, institution, collection.
type PublisherForm struct {
	Form                                                     Form
	Licences                                                 []Option
	Society                                                  string // its own name, which stands where no other is written
	Name, Contact, Mail, Web, About, Institution, Collection string
}
