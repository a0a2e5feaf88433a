package farm

// Previous is the plan of an earlier year that this plan looks back to.
type Previous struct {
	Decl
	Path   Text   // as the plan wrote it
	Entry  string // the earlier plan's first file, from the plan's root
	Farm   *Farm  // what the earlier plan declares
	Errors int    // findings of reading it that make Farm incomplete
}
