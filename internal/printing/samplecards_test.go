package printing

// Real fungi with the longest of names, invented people of many scripts.
func sampleCards() []Card {
	link := "https://hall.example.org/hollinbeck/hb26/find/"
	return []Card{
		{Number: "HB26 0417", Names: []Name{{{"Amanita phalloides", true}, {" (Vaill. ex Fr.) Link", false}}}, Common: "Deathcap", Family: "Amanitaceae",
			State: Confirmed, Hazard: &Hazard{5, "Amatoxin hepatotoxicity"}, Notice: "a sac at the base of the stem, often left in the ground",
			Collector: "Ines Okafor", Place: "Hollinbeck Hanging Wood", Host: "Quercus robur", Substrate: "soil", Determiner: "Bartosz Wójcik", Link: link + "0417"},
		{Number: "HB26 0418", Names: []Name{{{"Agaricus campestris", true}, {" L.", false}}}, Common: "Field Mushroom", Family: "Agaricaceae",
			State: Provisional, Hazard: &Hazard{1, "Individual intolerance, raw or spoiled material"}, Notice: "gills pink when young, later chocolate",
			Doubles:   []CardDouble{{Italic("Amanita phalloides"), "3"}, {Italic("Amanita virosa"), ""}, {Italic("Agaricus xanthodermus"), "7"}},
			Collector: "Đặng Thị Hồng", Place: "Lower Pasture", Substrate: "grazed grass", Determiner: "Łucja Ćwik", Link: link + "0418"},
		{Number: "HB26 0419", Names: []Name{{{"Galerina marginata", true}, {" (Batsch) Kühner", false}}, {{"Kuehneromyces mutabilis", true}, {" (Schaeff.) Singer & A.H. Sm.", false}}},
			State: Disputed, Hazard: &Hazard{5, "Amatoxin hepatotoxicity"}, Family: "Hymenogastraceae", Collector: "José Ñíguez", Place: "Beck Side", Host: "Betula", Substrate: "stump", Link: link + "0419"},
		{Number: "HB26 0420", Group: "small brown agaric", State: BroughtIn, Hazard: &Hazard{}, Collector: "Σοφία Νικολάου", Place: "Long Ride", Link: link + "0420"},
		{Number: "HB26 0421", Names: []Name{{{"Paralepistopsis amoenolens", true}, {" (Malençon) Vizzini", false}}}, Current: nil, Common: "Paralysis Funnel", Family: "Tricholomataceae",
			State: Confirmed, Hazard: &Hazard{3, "Erythromelalgia (acromelic acid)"}, Notice: "a smell of jasmine or ripe pear; the stem is the colour of the cap",
			Collector: "Ürün Šćepanović", Place: "Hollinbeck Arboretum, the old cedar walk beneath the lodge", Host: "Cedrus atlantica", Substrate: "needle litter", Determiner: "Per Ødegård", Link: link + "0421"},
		{Number: "HB26 0422", Names: []Name{{{"Hygrophoropsis aurantiaca", true}, {" var. ", false}, {"macrospora", true}, {" (D.A. Reid) Kuyper", false}}, {{"Hygrophoropsis rufa", true}, {" (D.A. Reid) Knudsen", false}},
			{{"Cantharellus", true}, {" cf. ", false}, {"cibarius", true}, {" Fr.", false}}, {{"Omphalotus illudens", true}, {" (Schwein.) Bresinsky & Besl", false}}}, Current: Name{{"Hygrophoropsis macrospora", true}, {" (D.A. Reid) Kuyper", false}},
			Common: "False Chanterelle", Family: "Hygrophoropsidaceae", State: Provisional, Hazard: &Hazard{3, "Severe gastrointestinal irritant"}, Notice: "gills fork again and again and come away from the flesh under a thumb",
			Doubles:   []CardDouble{{Italic("Omphalotus illudens"), "10"}},
			Collector: "Ángel Čapek", Place: "Hollinbeck Forest, compartment 14", Host: "Picea abies", Substrate: "woody debris", Determiner: "Зоя Ильина", Link: link + "0422"},
		{Number: "HB26 0423a", Names: []Name{{{"Boletus", true}, {" sp.", false}}}, State: State("not_nameable"), Hazard: &Hazard{0, ""}, Link: link + "0423a"},
		{Number: "HB26 0424", Names: []Name{{{"Mycena pura", true}, {" (Pers.) P. Kumm.", false}}}, Common: "Lilac Bonnet", Family: "Mycenaceae", State: Confirmed, Hazard: &Hazard{2, "Muscarinic (cholinergic)"},
			Collector: "I. O.", Place: "Hanging Wood", Substrate: "leaf litter", Determiner: "B. W.", Link: link + "0424"},
	}
}

// smallest is the smallest card that Check lets pass.
var smallest = Stock{"40 × 25 mm", 210, 297, 40, 25, 4, 10, 10, 10, 5, 2, true}
