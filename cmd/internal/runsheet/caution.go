package runsheet

// Caution is a danger to hands or machines, and how to avoid it.
type Caution int

const (
	HandbookFirst Caution = iota + 1
	CleanSheets
	HotParts
	Knives
	Needles
	Adhesives
)

var cautionSays = map[Caution]Text{
	HandbookFirst: {Lead: say("The printer's handbook and the rules of the place where you work come first.")},
	CleanSheets: {Lead: say("Feed clean, square sheets only. Never feed paper that was cut with a knife, or that is torn, taped, stapled, damp or stained: " +
		"a laser printer presses it against a hot roller. Cut after printing. Paper cut by machine at a shop is fine.")},
	HotParts:  {Lead: say("A laser printer is hot inside where the paper comes out, and stays so for a while.")},
	Knives:    {Lead: say("Knives: cut along a metal straightedge, with several light strokes and the fingers behind its edge. Old blades go into a container of their own.")},
	Needles:   {Lead: say("Needles and awls: stick them into a cork, count them before and after, and hold no finger behind the fold that you {}.", wPierce)},
	Adhesives: {Lead: say("Glue and leather dust: open a window, and wear a mask where there is dust.")},
}

func (c Caution) Text() Text { return cautionSays[c] }
