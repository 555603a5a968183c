"""Tests of the flat parts."""
