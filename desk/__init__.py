"""Lanewright designs ball-rolling games as cabinets of flat parts and checks that they fit and run."""

__version__ = "0.1.0"
