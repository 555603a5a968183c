"""Plane and space geometry: closed loops with true arcs, frames, bit and ball offsets. Millimetres throughout."""
