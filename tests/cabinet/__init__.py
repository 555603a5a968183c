"""Tests of desk.cabinet."""
