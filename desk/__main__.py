"""Runs the command line: ``python -m desk``."""

from __future__ import annotations

import sys

from desk.cli import main

sys.exit(main())
