package drawing

import "fmt"

// benches is covers, blocks and folds of many sizes, with the longest words there are.
func benches() []Drawing {
	var all []Drawing
	ends, scale := [2]string{"head", "tail"}, Scale{50, "50 mm"}
	for _, size := range [][2]float64{{145.5, 204}, {74, 105}, {420, 297}, {100, 400}} {
		for _, thick := range []float64{8, 0.4, 60} {
			all = append(all, caseOf(size, thick, ends, scale), paperOf(size, thick, [2]string{"left end", "right end"}, scale), Block{
				Leaf: Stretch{"B", "leaf, width", size[0], "145.5 mm"}, Spine: Stretch{"T", "spine, thickness", thick * 1.3, "13 17/32 to 13 23/32 in"},
				Fore: Stretch{"U", "text block, thickness", thick, fmt.Sprintf("%g mm", thick)}, Curve: Stretch{"C", "spine, over its curve", thick * 1.5, "10 mm"},
				Round: thick * 0.3, Leaves: int(thick * 10), From: "tail", Scale: scale,
			})
		}
		all = append(all, Stations{Length: size[1], Ends: ends, Scale: scale, Holes: []Station{{At: 12, Trimmed: "12 mm"}, {At: size[1] - 12, Trimmed: "1 29/32 in"}}},
			Stations{Length: size[1], Head: 3, Tail: 4, Ends: ends, Scale: scale, Side: true, Bands: []Band{{30, 40}, {50, 51}},
				Holes: []Station{{12, "12 mm", "15 mm"}, {30, "30 mm", "33 mm"}, {40, "40 mm", "43 mm"}, {50, "50 mm", "53 mm"}, {51, "51 mm", "54 mm"}, {size[1] - 8, "1 29/32 in", "2 1/32 in"}}})
	}
	return all
}

func caseOf(size [2]float64, thick float64, ends [2]string, scale Scale) Cover {
	turn, joint := Stretch{"K", "turn-in", 19, "19 mm"}, Stretch{"J", "joint", 7, "6.5 to 7.5 mm"}
	board := Stretch{"E", "board, along the spine", size[0] - 4, "13 17/32 to 13 23/32 in"}
	spine := Stretch{"G", "spine strip, width", thick, fmt.Sprintf("%g mm", thick)}
	wide := 2*(turn.MM+joint.MM+board.MM) + thick
	return Cover{
		Parts: []Part{{TurnIn, turn}, {Board, board}, {Joint, joint}, {SpineStrip, spine}, {Joint, joint}, {Board, board}, {TurnIn, turn}},
		Along: []Stretch{turn, {"F", "board, height", size[1] + 6, "210 mm"}, turn}, Across: Stretch{"H", "cover, width", wide, "347 mm"},
		High: Stretch{"I", "cover, height", size[1] + 44, "248 mm"}, Corner: Stretch{"D", "board, thickness", 2.2, "13 17/32 to 13 23/32 in"}, Ends: ends, Scale: scale,
	}
}

func paperOf(size [2]float64, thick float64, ends [2]string, scale Scale) Cover {
	side, high := Stretch{"S", "front or back, width", size[0], "148 mm"}, Stretch{"I", "whole, height", size[1], "210 mm"}
	return Cover{
		Parts: []Part{{Flap, Stretch{}}, {Half, side}, {Spine, Stretch{"T", "spine, thickness", thick, fmt.Sprintf("%g mm", thick)}}, {Half, side}, {Flap, Stretch{}}},
		Along: []Stretch{high}, High: high, Across: Stretch{"H", "whole, width", 2*size[0] + thick, "300 mm"}, Ends: ends, Scale: scale,
	}
}
