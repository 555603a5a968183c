"""What the commands say of themselves under --help."""

OVERVIEW = """\
lanewright opens the window on the starting design, lanewright DESIGN on a file. Commands work without a window:

  lanewright check DESIGN [--set ID=VALUE]... [--json]
  lanewright dims DESIGN [--json]
  lanewright export DESIGN --to DIR [--despite-conflicts] [--replace]
  lanewright snapshot DESIGN --to FILE.png|.svg
  lanewright play DESIGN [--throws N] [--seed S] [--json]
  lanewright size --ball SIZE [--balls N] --to FILE.lane

lanewright COMMAND --help tells more about a command. Exit status: 0 done and nothing in conflict, 1 conflicts stand,
2 the input cannot be used."""

CHECK = """\
Tells what does not work in a design, by how much, and what to change. Exit status 1 when anything is in conflict.
Whether every ball comes back is judged by ten thousand throws. Findings that the design mutes do not count and are
told with the reason.

With --json, one object on stdout: design, summary (conflict, tight, clear, muted), findings, worst first, idle_mutes
(key, reason; they mute nothing here). Each finding has check, key, status, muted (the reason, empty where it counts),
title, parts, measured, needed, margin, unit, because, source (text, flag), place and remedies (address, value, text).
place is a list of {kind, points}: kind is area (a closed polygon), line or point; points are [x, y, z] in mm,
x from the player to the back, y from the player's left to the right, z up from the table."""

DIMS = """\
Lists every dimension of a design: id, value, lowest and highest value allowed, label. With --json, one object with
design and dimensions, each with id, label, value, unit, low, high, step, group and views, lengths in mm."""

EXPORT = """\
Writes the flat parts as DXF, one drawing for each sheet thickness and one for each part, with a cut list and a hardware
list. While conflicts stand nothing is written and the exit status is 1. Muted findings stand in every file with their
reasons. The same design may be exported into the same folder again. Where another design's flat parts, a file that was
changed since, or one that no export wrote would be replaced, nothing is written and the exit status is 2, unless
--replace is given."""

SNAPSHOT = """\
Draws the sharing picture: sections, plan, board face, leading sizes and findings on one page. An SVG picture needs no
Qt."""

SIZE = """\
Writes a new design, proportioned to a ball. Given in inches (1/2in), the design shows inches. A file that exists and
holds another design is not written over, and the name has to end in .lane. Exit status 1 when the design, which is
written all the same, has conflicts left; they are named."""

PLAY = """\
Throws balls as the design's people throw them, and tells how often each target is hit, what a round is worth, which
speed scores what, and whether every ball comes back. Exit status 1 when a ball stops on its way, or when more leave the
cabinet than the limit allows. The same seed gives the same throws.

With --json, one object on stdout: design, throws, seed, people, balls, ends (end, target, score, count, share, error),
ball (mean score), round (score, error), back, lost, time, strays (throw, speed, aim, end, leg, at), findings (status,
title, because, muted), landings (side, squares) and speeds (low, high, end, target, score). end is target, gutter,
back, lost or stopped; errors are standard errors; mm, degrees, seconds, m/s."""
