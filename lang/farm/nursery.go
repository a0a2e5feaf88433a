package farm

// Tray is a kind of tray that seed is sown in.
type Tray struct {
	Decl
	Name          Text
	Cells         Count
	Length, Width Length // outside
	Price         Number // of one
}

// Pot is a kind of pot that seedlings are stepped up into.
type Pot struct {
	Decl
	Name  Text
	Width Length // across the rim, and the side of the square that it stands on
	Price Number // of one
}

// Nursery is where transplants are raised.
type Nursery struct {
	Decl
	Name           Text
	Bench          Amount // area that trays and pots may stand on
	Temperature    Amount // of the growing medium in the house
	MatPlaces      Count  // trays that have room on heat mats
	MatTemperature Amount // of the growing medium on the mats
	Spare          Amount // more seedlings than plants, ratio
	StepUp         Count  // days from sowing to stepping up into pots
	Harden         Count  // days outdoors before planting day
}

// Seed is what a plan says of a crop's seed beyond what the crop table holds.
type Seed struct {
	PackSeeds  Count  // seeds in a pack
	PackWeight Amount // of a pack
	PackPrice  Number
}
