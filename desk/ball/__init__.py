"""How a ball behaves in the cabinet: where its middle can be, where it comes to rest, how it moves.

Lengths are in mm, speeds in m/s, aims in degrees to the right of straight ahead, times in s. Nothing here knows Qt, and
nothing is random without a seed: the same throw always ends the same way.

``rests.survey(leg, diameter, least_slope)``: centre region, resting places and blocked sources of one leg.

``motion.path(cabinet, speed, aim)``: one throw. ``Path.stretches`` are the legs in order, each with times, points
in the leg's plane and the ball's middle in the world; ``Path.at(time)`` tells where the ball is.

``motion.drop(cabinet, leg_id, point)``: let a ball go from anywhere on one leg; ``motion.let_go`` follows it on.

``lift.lifted(cabinet)``: the waiting ball, raised with the lifter, on its way over the lip into the tray.

``course.course(cabinet)``: the cabinet made ready for motion, remembered by what motion reads of it.

``throw.throw(course, Throws(speed, aim))``: any number of throws at once; ``Outcome`` tells of each the target's
number or ``GUTTER``, ``BACK``, ``LOST``, ``STOPPED``, with score, leg, time, landing, and speeds at hole and lip.

``play.play(course, people, balls, total, seed)``: throws as people make them, counted piece by piece.

``course.CannotPlayError`` is raised where there is no room for the ball.

Inside, ``edges`` and ``chains`` make an ``outline`` of a leg and ``plane`` moves balls along it from event to event
in closed form, ``exits`` tells what lies beyond its border; ``ground``, ``board`` and ``face`` do the same for the
board face in space; ``numbers`` lets one code work on one ball and on thousands; ``contact`` holds the coefficients.
"""
