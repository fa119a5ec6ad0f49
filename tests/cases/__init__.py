"""What went wrong in other people's rebuilds, each told as a story on a build of a plan that ships.

In each story either the slip is refused, or a loose end stands before the gate where it would have hurt, and goes when
it is mended rightly and only then. The number in a story's docstring is that of the case.

Beyond a program, wholly or in part:

B-3   What a click wrench does at its set value is felt in the hand; a program can tell of it, not prevent it.
B-9   That a bolt backed out on the *last* engine is known only when somebody writes it down for this one.
B-17  Whether red sealant is on a face only eyes see; the story asks for the second pair.
C-17, E-5, E-7  Which way round a part went in, and what a photo shows, only eyes can tell; the lines ask, place by
      place, and a photo is only asked for, not judged.
E-3   Which way somebody pulls the bar is not known; the plan says the direction, and the two turns are asked again.
G-1   Whether the oil and the springs were right for the cam is the cam maker's knowledge.
G-7   Whether the installer or a hammer was used; the line names the tool.
W-9   What a build costs is not what it lacks; costs are not kept.
W-11  A search over notes belongs to the window; the open question as a thing on the list is told here.
W-1, W-13  Labels and tags are paper; what they say is told here, that they hold is not.
D-11  Which of two methods is better is the trade's judgement; which was used is kept with each reading.
"""
