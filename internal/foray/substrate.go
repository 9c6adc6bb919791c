package foray

// Substrates and Growths are what a find may grow on, and how, by the words that are offered; anything else is as somebody
// wrote it.
var (
	Substrates = []string{"soil", "litter", "wood_standing", "wood_fallen", "stump", "twig", "living_tree", "cone", "dung", "burnt_ground", "moss", "grass",
		"another_fungus", "insect", "other"}
	Growths = []string{"single", "scattered", "group", "tuft", "ring", "tiers"}
)
