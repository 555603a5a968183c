"""How a ball behaves in the cabinet: where its middle can be, where it comes to rest, how it moves.

What the rest of the program calls (lengths in mm, speeds in m/s, aim in degrees to the right, times in s; no Qt,
nothing random unless a seed is given, the same throw always ends the same way):

- ``rests.survey(leg, diameter, least_slope)``: centre region, resting places, blocked sources of one leg. -
``motion.path(cabinet, speed, aim) -> Path``: one throw; ``Path.stretches`` are the legs in order, each with times,
points in the leg's plane and the ball's middle in the world; ``Path.at(time)`` gives leg, point and world point
for playing. - ``motion.drop(cabinet, leg_id, point) -> Path``: let a ball go from anywhere on a leg ("face" too).
- ``motion.let_go(cabinet, leg_id, point, across) -> Path``: the same, followed through every leg it comes to.
- ``motion.queue(cabinet)``: where all balls of the box wait; ``motion.behind(path, cabinet, waiting)``: the way of
a ball that finds so many there. - ``course.course(cabinet)``: the cabinet made ready for motion, remembered;
``throw.throw(course, Throws(speed, aim))``: any number of throws at once -> ``Outcome`` arrays (result: target
number, or ``throw.GUTTER``, ``BACK``, ``LOST``, ``STOPPED``; score, leg, time, landing, speeds at hole and lip). -
``course.CannotPlayError``: the cabinet leaves no room for the ball, or it was dropped inside wood.

Inside: ``edges`` and ``chains`` make an ``outline`` of a leg; ``plane`` moves balls in a section from event to event in
closed form; ``ground`` and ``board`` are the same for the board face in space; ``contact`` holds the coefficients.
"""
