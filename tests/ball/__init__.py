"""Tests of desk.ball."""
