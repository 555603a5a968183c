"""Tests of desk.assembly."""
