// Package testsheet draws the sheets with which a printer is learned and
// tried, and says where everything on them stands.
//
// The test sheet tells what a printer does with paper. [Sheet.Front] and
// [Sheet.Back] are its two faces, [Files] its print files and [Write] a folder
// of them. Everything a person reads off the sheet is a value here, so that a
// program can read it as well:
//
//   - [Corner] is the pin mark of a corner, with [Letters] on the front and
//     [Numbers] on the back beside it, as words of one character that occur
//     nowhere else on their face;
//   - [Circle] is where the pencil cross is looked for;
//   - [Rulers] run from pin mark to pin mark, along both axes, and tell the scale;
//   - [Ladders] stand at the four edges and tell how far the printer reaches;
//   - [Verniers] tell, held to the light, how far the back lies from the front.
//
// [CheckSheet] is the trial sheet that goes with every job. It is printed
// through the job's profile and shows whether the profile still holds.
//
// Both faces are drawn as the plan's frames have it (package reorder): in feed
// orientation, the back as it is seen after turning the sheet about its long
// edge. The back of the test sheet is never turned in its file, because the
// turn is what the sheet is to find out.
//
// Not here: what follows from an answer, and what is done with it.
package testsheet
