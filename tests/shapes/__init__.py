"""Tests of desk.shapes."""
