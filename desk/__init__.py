"""Lanewright: a fit-and-clearance designer for tabletop roll-up target games made of flat parts."""

__version__ = "0.1.0"
