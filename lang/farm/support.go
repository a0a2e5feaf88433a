package farm

// Trellis holds up what grows in a row.
type Trellis struct {
	Decl
	Row       *Row
	With      *Row // a second row that hangs on the same posts, nil when there is none
	Style     Text
	Height    Length // of the top line or rail
	On        DateArg
	Posts     Length // from post to post
	Between   Count  // plants between two stakes
	Post      Length // length of a post or stake, whole
	Depth     Length // that stands in the ground
	First     Length // height of the first string
	Interval  Length // from one string to the next
	RailStock Length // the length that rails are sold in
	Loop      Flag   // the rail runs round both rows and closes
	Rail      Text   // what the rail is
	Stems     Count  // that each plant is pruned to; not pruned when not given
	Reserve   Length // string on each stem for lowering
	Mesh      Length // length of wire mesh in one cage
}
