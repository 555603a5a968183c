"""Drawings of the cabinet as values: the window, the SVG writer and the tests read the same lists."""
